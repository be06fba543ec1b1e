package sum

import (
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"

	"github.com/shopspring/decimal"
)

// Words call a figure or a result by a thing, by what of it, and tell the unit of its
// value: "order to Corner Parts", "duty", "EUR".
type Words struct {
	Thing, What, Unit string
	Why               string // of a figure that stands nowhere: by what rule it was counted or decided
}

// String gives "thing: what"; of what stands alone one of the two.
func (w Words) String() string {
	if w.Thing == "" || w.What == "" {
		return w.Thing + w.What
	}
	return w.Thing + ": " + w.What
}

// none tells that there are no words.
func (w Words) none() bool { return w.Thing == "" && w.What == "" }

// within is what something is called where another thing is told of.
func (w Words) within(thing string) string {
	if w.Thing == thing && w.What != "" {
		return w.What
	}
	return w.String()
}

// Telling says how results are told.
type Telling struct {
	// Words call figures and results. What they have none for stands in the place where
	// it is used: a figure as its value, a result as what it is worked out from.
	Words func(Key) Words
	Depth int // levels below the result; 0: all
	Terms int // that are written out of a sum; the rest is counted; 0: all
}

// Told is a result, or a figure, and what it comes from.
type Told struct {
	Key     Key
	Name    string // as Words call it; where the one above is of the same thing, without that
	Unit    string
	Value   decimal.Decimal // what is known of it
	Unknown bool
	Digits  int32 // decimals that it is rounded to; [Loose] for none

	// How is the expression that the value comes from, over the names in Of; empty where
	// it was read or decided. Beside +, −, ×, ÷ there are round(a, decimals),
	// round up(a, step), least(a, …), greatest(a, …), "3 that are 0" or "3 more" for terms of a sum,
	// "since a is over b, and c is at least d: e", and "share 2 of a by b : c, to 2 decimals",
	// which is by largest remainder. Left out are terms of 0 beside others, rounding that
	// changes nothing that is seen or is that to Digits, and the thing of a name where it stands before.
	How    string
	Figure *Figure // where it was read or decided; nil for a result
	Why    string  // by what rule, where it was decided
	Sum    int     // terms that How adds up, where it is a sum of names and nothing else
	Above  bool    // Of stands where the same was told before
	Of     []Told
}

// Explain tells how a node comes about.
func (s *Sheet) Explain(r Ref, t Telling) Told {
	e := explainer{Sheet: s, Telling: t, told: map[Ref]bool{}}
	return e.tell(r, "", 0)
}

// HowOf tells a result in one step: its How, see [Told], and what that names.
func (s *Sheet) HowOf(r Ref, t Telling) (how string, of []Ref) {
	e := explainer{Sheet: s, Telling: t}
	_, words := e.words(r)
	how, of, _ = e.how(r, words.Thing, e.digits(r))
	return how, of
}

// ShareKey is the key of the share that stands at a place, from 0, among those of a key.
func ShareKey(k Key, at int) Key {
	k.What += ", " + strconv.Itoa(at+1)
	return k
}

// keyOfShare is the key of a share.
func keyOfShare(s *Sheet, r Ref) Key {
	at := int(s.nodes[r].extra)
	first := r - Ref(at) // shares of one total stand one after the other
	i, _ := slices.BinarySearchFunc(s.shares, first, func(x Shares, first Ref) int { return int(x.Refs[0] - first) })
	return ShareKey(s.shares[i].Key, at)
}

// explainer remembers what was told.
type explainer struct {
	*Sheet
	Telling
	told map[Ref]bool
}

// words call a node, by its own name, as a share, or by the figure that it is.
func (e *explainer) words(r Ref) (Key, Words) {
	if n := e.nameOf(r); n != nil {
		if w := e.Words(n.key); !w.none() {
			return n.key, w
		}
	}
	if e.nodes[r].op == opShare {
		k := keyOfShare(e.Sheet, r)
		return k, e.Words(k)
	}
	if f := e.Sheet.FigureOf(r); f != nil {
		return f.Key, e.Words(f.Key)
	}
	return Key{}, Words{}
}

// tell tells a node within another thing.
func (e *explainer) tell(r Ref, thing string, depth int) Told {
	n := &e.nodes[r]
	k, words := e.words(r)
	out := Told{Key: k, Name: words.within(thing), Unit: words.Unit, Value: n.value, Unknown: n.unknown, Digits: e.digits(r)}
	if out.Figure = e.Sheet.FigureOf(r); out.Figure != nil {
		if out.Why = words.Why; out.Figure.Unit != "" {
			out.Unit = out.Figure.Unit
		}
		return out
	}
	var of []Ref
	var base Ref
	out.How, of, base = e.how(r, words.Thing, out.Digits)
	terms := e.terms(base)
	if len(terms) > 1 && len(terms) == len(of) && !slices.ContainsFunc(terms, func(x Ref) bool { return !slices.Contains(of, x) }) {
		out.Sum = len(terms)
	}
	if out.Above = e.told[base] && len(of) > 0; out.Above || e.Depth > 0 && depth == e.Depth {
		return out
	}
	e.told[base] = true
	for _, x := range of {
		out.Of = append(out.Of, e.tell(x, words.Thing, depth+1))
	}
	return out
}

// digits are those that a node is rounded to.
func (e *explainer) digits(r Ref) int32 {
	if named := e.nameOf(r); named != nil {
		return named.digits
	} else if e.nodes[r].op == opShare {
		return int32(e.Value(e.argsOf(r)[1]).IntPart())
	}
	return Loose
}

// how writes what a node is worked out from, and gives what that names and the node that is
// opened: where a result is another one by another name, that one.
func (e *explainer) how(r Ref, thing string, digits int32) (text string, of []Ref, base Ref) {
	for base = r; ; base = of[0] {
		first := phrase{explainer: e, thing: thing}
		first.sentence(base, digits)
		p := phrase{explainer: e, thing: thing, only: first.only, said: map[string]bool{}}
		text, of = p.sentence(base, digits).text, p.of
		if len(of) == 1 && e.Sheet.FigureOf(of[0]) == nil {
			if _, words := e.words(of[0]); text == words.within(thing) {
				continue
			}
		}
		return strings.TrimSuffix(text, toDecimals(decimal.NewFromInt32(digits))), of, base
	}
}

// rounds tells of a rounding that it need not be told: it changes nothing that anybody would
// see, or is that to the digits of what is told.
func (e *explainer) rounds(r Ref, digits int32) bool {
	const unseen = 9
	a := e.argsOf(r)
	to := e.Value(a[1]).IntPart()
	return !e.Unknown(r) && e.Value(a[0]).Equal(e.Value(r)) || to >= unseen || to == int64(digits)
}

// terms are those of a sum that are not 0; none of what is no sum.
func (s *Sheet) terms(r Ref) []Ref {
	return slices.DeleteFunc(slices.Clone(summands(s, r)), func(x Ref) bool { return isNothing(s, x) })
}

// nothing tells that a term adds nothing.
func isNothing(s *Sheet, r Ref) bool { return s.Value(r).IsZero() && !s.Unknown(r) }

// YesIsOne is the unit of what is so, 1, or is not, 0.
const YesIsOne = "(yes: 1)"

// choice is a term that goes on to the end of its sentence.
const choice = loose - 1

// phrase is an expression on its way, with what it names.
type phrase struct {
	*explainer
	thing string
	of    []Ref
	keys  []Key             // of those
	only  map[string]string // what -> the thing that alone has it here; empty: several have
	said  map[string]bool   // things that are named; nil: all are named each time
}

// called is what a node is called here: its thing is named once where what of it says all.
func (p *phrase) called(w Words) string {
	if p.said == nil { // see how
		had, again := p.only[w.What]
		if p.only == nil {
			p.only = map[string]string{}
		}
		if p.only[w.What] = w.Thing; again && had != w.Thing {
			p.only[w.What] = ""
		}
		return w.String()
	}
	if w.What != "" && w.Thing != "" && p.said[w.Thing] && p.only[w.What] == w.Thing {
		return w.What
	}
	p.said[w.Thing] = true
	return w.within(p.thing)
}

// sentence tells a node; of a choice the branch that holds, and since when it does.
func (p *phrase) sentence(r Ref, digits int32) term {
	var since []string
	named := false
	for !named {
		switch op := p.nodes[r].op; {
		case op == opRound && p.rounds(r, digits):
			r = p.argsOf(r)[0]
		case op >= opAtLeast && op <= opEqual:
			var why string
			if why, r = p.condition(r); why != "" {
				since = append(since, why)
			}
		default:
			return p.since(since, p.open(r))
		}
		named = p.named(r)
	}
	return p.since(since, p.term(r))
}

// since puts conditions before what follows from them.
func (p *phrase) since(why []string, then term) term {
	if len(why) == 0 {
		return then
	}
	return term{"since " + strings.Join(why, ", and ") + ": " + then.within(choice), choice}
}

// named tells whether a node has words.
func (p *phrase) named(r Ref) bool {
	_, words := p.words(r)
	return !words.none()
}

// condition tells why a choice is taken as it is; nothing where it is none to a reader: one
// between numbers without words, or that what is or is not, is.
func (p *phrase) condition(r Ref) (why string, taken Ref) {
	a := p.argsOf(r)
	left, right := p.Value(a[0]), p.Value(a[1])
	relation, holds := "", false
	blank := p.nodes[r].op == opAtLeast && isBlank(p.Sheet, a[1])
	switch p.nodes[r].op {
	case opAtLeast:
		holds = !blank && left.GreaterThanOrEqual(right)
		relation = map[bool]string{true: " is at least ", false: " is under "}[holds]
	case opMore:
		holds = left.GreaterThan(right)
		relation = map[bool]string{true: " is over ", false: " is not over "}[holds]
	default:
		holds = left.Equal(right)
		relation = map[bool]string{true: " is ", false: " is not "}[holds]
	}
	if taken = a[3]; holds {
		taken = a[2]
	}
	if blank {
		return p.term(a[1]).within(loose) + " is blank", taken
	}
	if _, words := p.words(a[0]); holds && words.Unit == YesIsOne {
		return "", taken
	}
	had := len(p.of)
	text := [2]string{p.term(a[0]).within(loose), p.term(a[1]).within(loose)}
	if _, err := decimal.NewFromString(text[0] + text[1]); err == nil && len(p.of) == had {
		return "", taken
	}
	return text[0] + relation + text[1], taken
}

// term is what a node is called, else its value or what it is worked out from.
func (p *phrase) term(r Ref) term {
	k, words := p.words(r)
	if !words.none() {
		if !slices.Contains(p.keys, k) {
			p.of, p.keys = append(p.of, r), append(p.keys, k)
		}
		return term{p.called(words), whole}
	}
	if p.Sheet.FigureOf(r) != nil || p.nodes[r].op == opMatch {
		return p.number(r)
	}
	return p.open(r)
}

func (p *phrase) number(r Ref) term {
	d := p.Value(r)
	if d.IsNegative() {
		return term{"−" + d.Neg().String(), loose}
	}
	return term{d.String(), whole}
}

// open tells a node by its operation.
func (p *phrase) open(r Ref) term {
	a, n := p.argsOf(r), &p.nodes[r]
	switch n.op {
	case opSame:
		return p.term(a[0])
	case opAdd, opOf:
		return p.total(summands(p.Sheet, r))
	case opSub:
		return term{p.term(a[0]).within(loose) + " − " + p.term(a[1]).within(tight), loose}
	case opMul:
		return p.product(a)
	case opDiv:
		return term{p.term(a[0]).within(tight) + " ÷ " + p.term(a[1]).within(whole), tight}
	case opRound:
		if p.rounds(r, Loose) {
			return p.term(a[0])
		}
		return p.call("round", a)
	case opUp:
		return p.call("round up", a)
	case opMin:
		return p.call("least", a)
	case opMax:
		return p.call("greatest", a)
	case opAtLeast, opMore, opEqual:
		return p.sentence(r, Loose)
	case opShare:
		return p.share(r)
	}
	return p.number(r)
}

func (p *phrase) call(word string, a []Ref) term {
	parts := bom.Each(a, func(x *Ref) string { return p.term(*x).within(loose) })
	return term{word + "(" + strings.Join(parts, ", ") + ")", whole}
}

// product leaves out factors of 1 that have no words, or that something is so.
func (p *phrase) product(a []Ref) term {
	var parts []string
	var only term
	for _, x := range a {
		if _, words := p.words(x); words.Unit == YesIsOne && p.Value(x).Equal(decimal.NewFromInt(1)) {
			continue
		}
		if t := p.term(x); t.text != "1" {
			parts, only = append(parts, t.within(tight)), t
		}
	}
	switch len(parts) {
	case 0:
		return term{"1", whole}
	case 1:
		return only
	}
	return term{strings.Join(parts, " × "), tight}
}

// total adds up what is not 0. Of nothing but zeros some are named, and the rest is counted;
// of what is so or is not, how many are.
func (p *phrase) total(a []Ref) term {
	const named, few = 3, 2 // of nothing but zeros; of a sum that is short as it is
	var parts []string
	var only term
	zeros, more := 0, 0
	all := !slices.ContainsFunc(a, func(x Ref) bool { return !isNothing(p.Sheet, x) })
	what, many := p.alike(a)
	for _, x := range a {
		switch _, words := p.words(x); {
		case p.Terms > 0 && len(parts) == p.Terms && !isNothing(p.Sheet, x):
			more++
		case !isNothing(p.Sheet, x), !words.none() && (len(a) <= few || all && len(parts) < named):
			only = p.term(x)
			parts = append(parts, only.within(loose))
		case !words.none() && all:
			zeros++
		}
	}
	if many > few {
		return term{strconv.Itoa(many) + " " + what, whole}
	}
	if more > 0 {
		parts = append(parts, strconv.Itoa(more)+" more")
	}
	switch {
	case zeros == 1:
		parts = append(parts, "1 that is 0")
	case zeros > 1:
		parts = append(parts, strconv.Itoa(zeros)+" that are 0")
	case len(parts) == 1:
		return only
	case len(parts) == 0:
		return term{"0", whole}
	}
	return term{strings.Join(parts, " + "), loose}
}

// alike tells of terms that are or are not the same, how many are.
func (p *phrase) alike(a []Ref) (what string, many int) {
	for _, x := range a {
		if isNothing(p.Sheet, x) {
			continue
		}
		if _, words := p.words(x); words.Unit != YesIsOne || what != "" && words.What != what {
			return "", 0
		} else {
			what, many = words.What, many+1
		}
	}
	return what, many
}

func (p *phrase) share(r Ref) term {
	a, n := p.argsOf(r), &p.nodes[r]
	weights := bom.Each(a[2:], func(w *Ref) string { return p.term(*w).within(tight) })
	return term{"share " + strconv.Itoa(int(n.extra)+1) + " of " + p.term(a[0]).within(tight) + " by " + strings.Join(weights, " : ") + toDecimals(p.Value(a[1])), choice}
}

// toDecimals ends a share.
func toDecimals(digits decimal.Decimal) string { return ", to " + digits.String() + " decimals" }
