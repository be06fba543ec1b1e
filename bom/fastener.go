package bom

import (
	"slices"
	"strings"
)

// Said is what a description, or a value, tells of a line.
type Said struct {
	Kind      Kind  // KindFastener, KindInsert or KindWire; empty where it tells none
	Mount     Mount // MountNone where it tells none
	NotFitted bool  // DNP, "do not place", NA
	Nothing   bool  // nothing to buy: a mounting hole, a test pad
}

// ReadDescription reads a description or a value: designations of fastener
// standards (ISO 7045 M3x8, DIN 912), inserts, wires and cables, words of mount,
// and words for what is not fitted. A word counts where it is what the text is
// about: a switch with a nut is no nut. Of a long text the beginning is read.
func ReadDescription(text string) (s Said) {
	if len(text) > valueBytes {
		text = strings.ToValidUTF8(text[:valueBytes], "")
	}
	folded := foldName(text)
	r := nameReading{name: folded, tokens: nameTokens(folded)}
	r.scan()
	s.Mount, s.NotFitted = r.said(), r.notFitted()
	// Words that are not known may make a part of it: a test point of brass.
	s.Nothing = r.hit[roleNothing].word != nil && r.hit[roleLoop].word == nil && r.unknown == 0
	if !s.Nothing {
		s.Kind = r.kind()
	}
	return s
}

// WordSet is a set of words; _ is the space of a phrase.
func WordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[strings.ReplaceAll(w, "_", " ")] = true
	}
	return set
}

// Words for what is left out, common practice, no source. The last list counts
// as the whole text only.
var (
	leftOut      = WordSet("DNP DNF DNI NOSTUFF NOPOP NOFIT NOLOAD NOTFITTED NOTPLACED NOTPOPULATED DONOTFIT DONOTPLACE DONOTPOPULATE DONOTINSTALL UNPOPULATED UNFITTED")
	leftOutAfter = WordSet("NOT_FITTED NOT_PLACED NOT_POPULATED NOT_INSTALLED NOT_MOUNTED NOT_ASSEMBLED NOT_STUFFED NOT_LOADED " +
		"NOT_FIT NOT_PLACE NOT_POPULATE NOT_INSTALL NOT_MOUNT NOT_ASSEMBLE NOT_STUFF NOT_LOAD " +
		"NO_STUFF NO_FIT NO_POP NO_POPULATE NO_LOAD NO_PLACE NO_MOUNT NO_INSTALL")
	leftOutAlone = WordSet("NA NC NF NM NP")
	leftEmpty    = WordSet("EMPTY UNUSED SPARE") // Empty (spare), not a spare one
)

// notFitted tells that the part is left out. A phrase must end there, for "do
// not place near the edge" is about something else.
func (r *nameReading) notFitted() bool {
	t := r.tokens
	letters, numbers := "", false
	for i := range t {
		if numbers = numbers || t[i].number; len(letters) <= 2 {
			letters += t[i].text
		}
		if t[i].number || glued(t, i) || glued(t, i+1) {
			continue
		}
		if leftOut[t[i].text] {
			return true
		}
		if next := wordAt(t, i+1); (t[i].text == "NOT" || t[i].text == "NO") && next != "" && leftOutAfter[t[i].text+" "+next] && r.endsAfter(i+1) {
			return true
		}
	}
	if letters == "NA" && strings.ContainsAny(r.name, "/.") {
		return false // N/A: there is none of what the column is for
	}
	return !numbers && (leftOutAlone[letters] || allOf(t, leftEmpty))
}

// allOf tells whether all tokens are words of a list, and the first is not SPARE.
func allOf(t []nameToken, list map[string]bool) bool {
	other := func(x nameToken) bool { return !list[x.text] }
	return len(t) > 0 && t[0].text != "SPARE" && !slices.ContainsFunc(t, other)
}

// endsAfter tells whether a phrase ends with token i: nothing follows, or a sign.
func (r *nameReading) endsAfter(i int) bool {
	t := r.tokens
	if i+1 >= len(t) {
		return true
	}
	gap := r.name[t[i].at+len(t[i].text) : t[i+1].at]
	return strings.Trim(gap, " \t\r") != ""
}

// kind tells fasteners, inserts and wires.
func (r *nameReading) kind() Kind {
	switch {
	case r.insert():
		return KindInsert
	case r.fastener():
		return KindFastener
	case r.wire():
		return KindWire
	}
	return ""
}

// Standards of fasteners, by number: screws, nuts, washers, pins, rings and
// rivets. Numbers from memory of the standards' titles.
var (
	fastenerISO = WordSet("1207 1234 1479 1481 1482 1483 1580 2009 2010 2338 2339 2340 2341 2342 4014 4016 4017 4018 4026 4027 4028 4029 " +
		"4032 4033 4034 4035 4036 4161 4162 4762 4766 7040 7041 7042 7043 7045 7046 7047 7048 7049 7050 7051 7089 7090 7091 7092 7093 7094 " +
		"7380 7434 7435 7436 7719 7720 8673 8674 8675 8676 8734 8735 8737 8738 8739 8740 8741 8742 8743 8744 8745 8746 8747 8748 8750 8752 8765 " +
		"10509 10510 10511 10512 10513 10642 10644 10669 10673 12125 12126 12474 13337 14579 14580 14581 14582 14583 14584 14585 14586 14587 14588 14589 " +
		"15071 15072 15480 15481 15482 15483 15973 15974 15975 15976 15977 15978 15979 15980 15981 15982 15983 15984 21269 21670")
	fastenerDIN = WordSet("84 85 93 94 95 96 97 125 126 127 128 137 315 316 404 417 427 433 434 435 436 438 439 440 463 464 465 471 472 508 " +
		"551 553 555 557 558 561 562 564 571 580 582 601 603 604 605 607 608 653 660 661 662 674 705 787 835 906 908 910 911 912 913 914 915 916 917 " +
		"923 924 927 928 929 931 933 934 935 936 937 938 939 940 960 961 963 964 965 966 967 970 971 972 975 976 979 980 981 982 985 986 988 " +
		"1440 1441 1443 1444 1445 1470 1471 1472 1473 1474 1475 1476 1477 1479 1480 1481 1587 1624 5406 6319 6325 6330 6331 6334 6340 6791 6792 6796 " +
		"6797 6798 6799 6884 6885 6888 6899 6900 6901 6902 6903 6904 6905 6907 6908 6912 6914 6915 6916 6921 6922 6923 6924 6925 6926 6927 7337 7338 7339 " +
		"7340 7343 7344 7346 7349 7500 7504 7513 7516 7603 7967 7968 7969 7971 7972 7973 7976 7977 7978 7979 7980 7981 7982 7983 7984 7985 7987 7988 7989 7990 7991 " +
		"7992 7993 7994 7995 7996 7997 7998 7999 9021 11024 28129 34818")
	fastenerWords = WordSet("SCREW SCREWS BOLT BOLTS NUT NUTS WASHER WASHERS STANDOFF STANDOFFS SPACER SPACERS RIVET RIVETS SETSCREW CIRCLIP CIRCLIPS LOCKNUT LOCKNUTS " +
		"SCHRAUBE SCHRAUBEN HOLZSCHRAUBE HOLZSCHRAUBEN BLECHSCHRAUBE BLECHSCHRAUBEN ZYLINDERSCHRAUBE ZYLINDERSCHRAUBEN SENKSCHRAUBE SENKSCHRAUBEN MADENSCHRAUBE MADENSCHRAUBEN " +
		"MUTTER MUTTERN SECHSKANTMUTTER SECHSKANTMUTTERN SCHEIBE SCHEIBEN UNTERLEGSCHEIBE UNTERLEGSCHEIBEN ABSTANDSBOLZEN ABSTANDSHÜLSE ABSTANDSHÜLSEN NIET NIETE NIETEN " +
		"VIS ÉCROU ÉCROUS ECROU ECROUS RONDELLE RONDELLES ENTRETOISE ENTRETOISES TORNILLO TORNILLOS TUERCA TUERCAS ARANDELA ARANDELAS DISTANZIALE DISTANZIALI ABSTANDHALTER VITE VITI DADO DADI RONDELLA SCHROEF SCHROEVEN MOER MOEREN")
	noFastener = WordSet("TERMINAL TERMINALS TERMINALBLOCK CONNECTOR CONNECTORS CONN SWITCH JACK RELAY POTENTIOMETER TRIMMER DRIVER SCREWDRIVER " +
		"WRENCH SPANNER BIT HEADER PLUG HOLE HOLES MOTOR HOUSING ENCLOSURE BRACKET GLAND LUG FERRULE ANTENNA SENSOR PRINTED GEDRUCKT GEDRUCKTE " +
		"KIT KITS ASSORTMENT ASSORTMENTS ASSORTED SORTIMENT ASSORTIMENT SURTIDO SURTIDOS ASSORTITI " + // bought as one, and none of it is lost
		"KLEMME KLEMMEN SCHRAUBKLEMME SCHRAUBKLEMMEN MORSETTO MORSETTI MORSETTIERA BORNIER BORNIERS BORNE BORNES BORNERA BORNERAS CONECTOR CONECTORES CONNETTORE CONNETTORI CONNECTEUR CONNECTEURS")
	insertWords = WordSet("HEAT HEATSET SET THREADED THREAD BRASS KNURLED PRESS PRESSED MOULDED MOLDED ULTRASONIC NUT TAPPED")
	aboutElse   = WordSet("WITH W INCL INCLUDING INCLUDES FOR WITHOUT TO")
)

// insert tells threaded inserts; DIN 16903 has those that are molded in.
func (r *nameReading) insert() bool {
	at, set := -1, false
	for i := range r.tokens {
		switch w := wordAt(r.tokens, i); {
		case w == "INSERT", w == "INSERTS":
			at = i
		case w == "DIN" && wholeAt(r.tokens, i+1) == 16903:
			return true
		case insertWords[w]:
			set = true
		}
	}
	heatSet := r.pair("HEAT", "SET") || hasWord(r.tokens, "HEATSET")
	if at < 0 && !(heatSet && r.thread() >= 0) || anyWord(r.tokens, noFastener) {
		return false
	}
	return (set || r.thread() >= 0) && !otherBefore(r.tokens, at)
}

// fastener tells screws, nuts, washers, pins and rivets: by the number of their
// standard, by a thread with its length (M3x8), or by a word that is what the
// text is about.
func (r *nameReading) fastener() bool {
	t := r.tokens
	if anyWord(r.tokens, noFastener) || r.setOfThem() {
		return false
	}
	thread := r.thread()
	if thread >= 0 && wordAt(t, thread+2) == "X" && thread+3 < len(t) && t[thread+3].number {
		return true
	}
	for i := range t {
		w := wordAt(t, i)
		switch {
		case (w == "ISO" || w == "DIN") && i+1 < len(t) && t[i+1].whole:
			if n := t[i+1].text; w == "ISO" && fastenerISO[n] || w == "DIN" && fastenerDIN[n] {
				return true
			}
		case w == "ASME" && wordAt(t, i+1) == "B" && i+2 < len(t) && strings.HasPrefix(t[i+2].text, "18"):
			return true // ASME B18 is fasteners
		case fastenerWords[w] && !otherBefore(t, i):
			if i == 0 || thread >= 0 || r.sizeAfter(i) && i < 4 {
				return true
			}
		}
	}
	return r.pair("STAND", "OFF") && thread >= 0
}

// Words for several fasteners that are bought as one; common practice, no source.
var (
	packWords   = WordSet("SETS PACK PACKS PK PKG PACKET PACKETS BOX BOXES BAG BAGS")
	pieceCounts = WordSet("PCS PIECES PC STK STÜCK CT COUNT")
)

// setOfThem tells a set or a pack of fasteners, which is bought as one, from a set screw.
func (r *nameReading) setOfThem() bool {
	for i := range r.tokens {
		w, next := wordAt(r.tokens, i), wordAt(r.tokens, i+1)
		if packWords[w] || w == "SET" && next != "SCREW" && next != "SCREWS" || pieceCounts[w] && i > 0 && r.tokens[i-1].whole {
			return true
		}
	}
	return false
}

// sizeAfter tells whether nothing but a size follows token i: 3x20, 2.9 × 9.5 mm.
func (r *nameReading) sizeAfter(i int) bool {
	return !slices.ContainsFunc(r.tokens[i+1:], func(t nameToken) bool { return !t.number && t.text != "X" && t.text != "MM" })
}

// thread finds a metric thread, M2.5 or ST2.9, or one of inches by its series.
func (r *nameReading) thread() int {
	t := r.tokens
	for i := range t {
		w := wordAt(t, i)
		switch {
		case (w == "M" || w == "ST") && t[i].sep != 0 && glued(t, i+1) && len(t[i+1].text) <= 3 && t[i+1].text[0] != '0':
			if n := t[i+1].text; strings.IndexByte(n, '.') >= 0 || atoi(n) <= 39 {
				return i
			}
		case w == "UNC" || w == "UNF":
			return i
		}
	}
	return -1
}

var (
	wireWords = WordSet("WIRE WIRES CABLE CABLES HOOKUPWIRE LITZ")
	wireNames = WordSet("LIY LIYY LIYCY LIYV LIYZ LIFY LIYD LIYW") // DIN VDE 0812, from memory
	noWire    = WordSet("CONNECTOR CONNECTORS CONN TERMINAL TERMINALS HEADER TIE TIES GLAND CLAMP HOLDER WOUND WIREWOUND HOUSING CRIMP FERRULE LUG LUGS " +
		"SOCKET RECEPTACLE BOARD SENSOR INTERFACE CLIP STRIPPER CUTTER SPLICE RESISTOR INDUCTOR COIL DUCT MARKER SLEEVE ENTRY BUS FAN MOTOR GAUGE MOUNT CHAIN " +
		"ADAPTER ADAPTOR SWITCH")
)

// wire tells wires and cables: by designations of EN 50525 (H05V-K) and DIN VDE
// 0812 (LiYY), by a style of UL 758 (UL1007), by a size in AWG, or by their word.
func (r *nameReading) wire() bool {
	t := r.tokens
	if anyWord(r.tokens, noWire) {
		return false
	}
	for i := range t {
		if t[i].number {
			continue
		}
		number := glued(t, i+1) && t[i+1].whole
		switch w := t[i].text; {
		case w == "H" && t[i].sep != 0 && number && (t[i+1].text == "03" || t[i+1].text == "05" || t[i+1].text == "07") && glued(t, i+2):
			if c := wordAt(t, i+2); c != "" && strings.IndexByte("BEGNRSVZ", c[0]) >= 0 {
				return true
			}
		case w == "UL" && number && len(t[i+1].text) >= 4 && len(t[i+1].text) <= 5:
			return true
		case w == "AWG" && (i > 0 && t[i-1].number || i+1 < len(t) && t[i+1].number), wireNames[w]:
			return !otherBefore(t, i)
		case wireWords[w] && !otherBefore(t, i):
			if i == 0 || t[i].sep != '-' || !t[i-1].number { // not 4-wire
				return true
			}
		}
	}
	return false
}

// pair tells whether two words stand there one after the other.
func (r *nameReading) pair(a, b string) bool {
	for i := range r.tokens {
		if wordAt(r.tokens, i) == a && wordAt(r.tokens, i+1) == b {
			return true
		}
	}
	return false
}

func anyWord(t []nameToken, words map[string]bool) bool {
	return slices.ContainsFunc(t, func(x nameToken) bool { return words[x.text] })
}

// otherBefore tells whether what stands at i is named besides something else: a
// speaker with cable.
func otherBefore(t []nameToken, i int) bool { return anyWord(t[:max(i, 0)], aboutElse) }
