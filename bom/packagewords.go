package bom

import (
	"cmp"
	"strings"
)

// nameRole is what a word is for in the name of a package.
type nameRole int

const (
	roleAside    nameRole = iota // tells nothing and speaks against nothing
	roleOpener                   // begins a phrase
	roleChip                     // stands beside the code of a chip
	roleSMT                      // states the mount
	roleTHT                      // the same
	roleNothing                  // nothing to buy
	roleLoop                     // a test point that is a part
	rolePad                      // pad for heat
	roleTab                      // tab that is soldered
	roleLeaded                   // family with its number of pins
	roleWide                     // the wide one of a family
	rolePrefix                   // goes with a number: SOT-23
	roleOutline                  // the same, without a number: DPAK
	roleLand                     // begins a land pattern by IPC-7351
	roleHeader                   // connector by rows and columns
	roleFemale                   // of a connector
	roleLying                    // the same
	roleHold                     // pads that hold a connector down
	rolePort                     // Universal Serial Bus
	roleCrystal                  // crystal, oscillator
	roleRound                    // crystal in a can
	roleTantalum                 // molded capacitor
	rolePlain                    // family by a word alone
	roleCan                      // the same, if nothing else is said
	roleSwitch                   // switch
	rolePush                     // that is pushed
	rolePoles                    // switch by its poles
	roleArray                    // several chips in one package
	roleBar                      // a word of what is no chip
	roles
)

// notChips are the roles of words beside which digits are no chip.
var notChips = []nameRole{roleNothing, roleTHT, roleLeaded, roleOutline, roleLand, roleHeader, rolePort, roleCrystal,
	rolePlain, roleSwitch, rolePush, rolePoles, roleBar}

// nameWord is a known word or phrase.
type nameWord struct {
	role      nameRole
	name      string // of the family
	mount     Mount
	joints    int    // of one piece; of a family with pins, pads for heat besides them
	sized     bool   // bodies of one number of pins differ
	needsPins bool   // too short a word, or too wide, without its pins
	wide      bool   // the wide one of the family
	coax      bool   // a word of coaxial connectors
	pitch     string // the usual one, mm
	opens     bool   // phrases begin with it
}

// leadRows are families that are written with their number of pins: name (empty: each
// word has its own), mount, what holds besides (pad: a pad for heat as well, H by JESD30;
// sized: bodies of one number of pins differ; needs: too short a word without its pins),
// words.
const leadRows = `
SOIC|SMT||SOIC SOICN
SOIC|SMT|wide|SOICW
SOIC|SMT|needs|SO
|SMT||SOP SSOP TSSOP MSOP VSSOP QSOP TSOP VSOP LSSOP SOJ
|SMT|pad|HSOP HSSOP HTSSOP HVSSOP HMSOP HTSOP HSOIC ESOP
|SMT|sized|QFP LQFP TQFP VQFP PQFP MQFP CQFP BQFP EQFP UQFP QFN VQFN WQFN UQFN TQFN XQFN LQFN PQFN VFQFN VFQFPN UFQFPN
|SMT|sized|DFN TDFN UDFN VDFN WDFN XDFN X2DFN SON VSON WSON USON XSON X2SON LCC CLCC PLCC JLCC LFCSP LGA CGA CCGA
|SMT|sized|BGA FBGA TFBGA UFBGA VFBGA LFBGA PBGA CBGA FCBGA DSBGA UBGA WLCSP WLP UCSP CSP
|SMT|sized pad|HVQFN HWQFN HUQFN HXQFN DHVQFN HTQFP HLQFP HQFP HUSON HWSON HVSON
DIP|THT||DIP PDIP CDIP CERDIP DIL PDIL
SMDIP|SMT||SMDIP SMDIL
SIP|THT|needs|SIP SIL
|THT|needs|ZIP
D-SUB|THT||DSUB D_SUB
|THT||SDIP SPDIP SKDIP CPGA PGA
`

// landRows are the prefixes of land patterns that are no families of their own:
// name, mount, joints (0: they stand at the end), prefixes. IPC-7351B for the
// surface; for holes, IPC-7251, from memory.
const landRows = `
chip|SMT|2|RESC CAPC INDC LEDC DIOC FUSC THRMC VARC CAPCP CAPCWR INDCP
array|SMT|0|RESCAV RESCAF RESCAXE RESCAXS CAPCAV CAPCAF INDCAV INDCAF
molded|SMT|2|RESM CAPM CAPMP INDM INDMP INDP DIOM LEDM FUSM
MELF|SMT|2|DIOMELF RESMELF CAPMELF
electrolytic|SMT|2|CAPAE CAPPAE
SOD|SMT|2|SODFL
SOT|SMT|0|SOTFL
oscillator|SMT|0|OSCCC OSCSC OSCJ OSCL OSCLCC
crystal|SMT|2|XTAL
axial|THT|2|RESAD RESADV CAPAD CAPADV CAPPA CAPPAD DIOAD DIOADV INDAD INDADV FUSAD RESAR CAPAR
radial|THT|2|CAPRD CAPRR CAPRB CAPPR CAPPRD RESRD RESRR RESRB INDRD INDRR LEDRD FUSRD FUSRR
pin header|THT|0|HDRV HDRH HDRRA
pin socket|THT|0|SKTV HDRVS
SIP|THT|0|SIPS
DIP|THT|0|DIPS
`

// wordRows are the words of other families: role, name, mount, joints, words and
// phrases. Joints and mounts: common practice, no source.
const wordRows = `
nothing|mounting hole|||MOUNTINGHOLE MOUNTING_HOLE MOUNTHOLE MOUNT_HOLE MTGHOLE MTG_HOLE MTGNP MTGP NPTH HOLE TOOLINGHOLE TOOLING_HOLE SCREW_HOLE
nothing|test pad|||TESTPOINT TEST_POINT TESTPAD TEST_PAD PROBEPAD PROBE_PAD
nothing|fiducial|||FIDUCIAL FID FIDUCIALMARK FIDUCIAL_MARK
nothing|solder jumper|||SOLDERJUMPER SOLDER_JUMPER SOLDERBRIDGE SOLDER_BRIDGE SOLDERBLOB SOLDER_BLOB
nothing|net tie|||NETTIE NET_TIE
nothing|break-away|||BREAKAWAY BREAK_AWAY MOUSEBITE MOUSE_BITE BREAKTAB BREAK_TAB
nothing|logo|||LOGO SILKSCREEN_ART GRAPHIC
loop|||| LOOP TURRET TERMINAL_POST
pad||||EP EPAD EXPOSEDPAD EXPOSED_PAD THERMALPAD THERMAL_PAD HEATPAD HEAT_PAD
tab||||TAB TABPIN TAB_PIN
wide||||WIDE WB
smt||||SMD SMT SURFACEMOUNT SURFACE_MOUNT SURFACEMOUNTED SURFACE_MOUNTED SURFACE_MOUNTING
tht||||THT PTH TH THD THROUGHHOLE THROUGH_HOLE THRUHOLE THRU_HOLE
outline|TO-252|||DPAK
outline|TO-263|||D2PAK DDPAK
outline|TO-268|||D3PAK
outline|TO-251|||IPAK
outline|TO-262|||I2PAK
outline|MELF|||MELF
outline|MiniMELF|||MINIMELF MINI_MELF
outline|MicroMELF|SMT|2|MICROMELF MICRO_MELF
outline|SMAF|SMT|2|SMAF
outline|SMBF|SMT|2|SMBF
outline|SMF|||SMF
coax|SMA|||SMA
coax|SMB|||SMB
coax|SMC|||SMC
coaxial||||COAX COAXIAL RF ANTENNA EDGE JACK MALE PLUG RPSMA BNC BULKHEAD
header|pin header|THT||HEADER PINHEADER PIN_HEADER PINHD PIN_HD HDR PINSTRIP PIN_STRIP MALEHEADER MALE_HEADER HEADER_MALE
header|pin socket|THT||PINSOCKET PIN_SOCKET SOCKETSTRIP SOCKET_STRIP FEMALEHEADER FEMALE_HEADER HEADER_FEMALE
header|pin socket|THT|needs|SOCKET
header|box header|THT||BOXHEADER BOX_HEADER IDC IDCHEADER IDC_HEADER SHROUDEDHEADER SHROUDED_HEADER BOXED_HEADER
header|terminal block|THT||TERMINALBLOCK TERMINAL_BLOCK TERMBLOCK TERM_BLOCK SCREWTERMINAL SCREW_TERMINAL
header|terminal block|THT|needs|TERMINAL
header|FFC connector|SMT||FFC FPC FFC_CONNECTOR FPC_CONNECTOR
header|connector|THT|needs|CONNECTOR CONN CON WAFER
female||||FEMALE RECEPTACLE
lying||||HORIZONTAL ANGLED RIGHTANGLE RIGHT_ANGLE RIGHT_ANGLED
hold||||MP
port|USB|||USB
port|USB-A|||USBA
port|USB-B|||USBB
port|USB-C|||USBC
port|USB mini B|||MINIUSB MINI_USB USBMINI
port|USB micro B|||MICROUSB MICRO_USB USBMICRO
crystal|crystal|||CRYSTAL XTAL QUARTZ
crystal|oscillator|||OSCILLATOR OSC XO TCXO
crystal|resonator|||RESONATOR
round||||ROUND CYLINDER CYLINDRICAL
tantalum||||TANTALUM TANT CASE
plain|axial|THT|2|AXIAL
plain|radial|THT|2|RADIAL
can|disc capacitor|THT|2|DISC_CAPACITOR CERAMIC_DISC
can|disc capacitor|THT|needs 2|DISC DISK
can|box capacitor|THT|2|BOX_CAPACITOR
can|box capacitor|THT|needs 2|RECT
can|electrolytic||2|ELECTROLYTIC ELEC
plain|test loop|THT|1|TESTLOOP TEST_LOOP
plain|trimmer|THT|3|TRIMMER TRIMPOT TRIM_POT
plain|potentiometer|THT|3|POTENTIOMETER POT
plain|relay|THT||RELAY
plain|battery holder|||BATTERYHOLDER BATTERY_HOLDER CELLHOLDER CELL_HOLDER COINHOLDER COIN_HOLDER BATTERYCLIP BATTERY_CLIP
plain|fuse holder|||FUSEHOLDER FUSE_HOLDER FUSECLIP FUSE_CLIP
plain|barrel jack|THT|3|BARRELJACK BARREL_JACK DCJACK DC_JACK POWERJACK POWER_JACK DC_POWER
plain|audio jack|||AUDIOJACK AUDIO_JACK PHONEJACK PHONE_JACK JACK_3.5MM
plain|buzzer||2|BUZZER
plain|rotary encoder|THT||ROTARYENCODER ROTARY_ENCODER ENCODER
plain|transformer|THT||TRANSFORMER
plain|module|||MODULE
switch||||SW SWITCH SWITCHE
switch|tactile||4|TACT TACTILE TACTSWITCH
push||||PUSH PUSHBUTTON BUTTON
poles|SPST||2|SPST
poles|SPDT||3|SPDT
poles|DPST||4|DPST
poles|DPDT||6|DPDT
poles|SP3T||4|SP3T
poles|SP4T||5|SP4T
array||||ARRAY NETWORK CONVEX CONCAVE RN RA NET
bar||||RGB RGBW BICOLOR BICOLOUR DUAL QUAD BATTERY BAT CELL HOLDER DISPLAY LCD OLED SENSOR KNOB SLOT CARD SIM KEY MOTOR HEATSINK FAN
chip||||R RES RESISTOR C CP CAP CAPACITOR L IND INDUCTOR D DIODE LED F FUSE FB FERRITE BEAD CHIP PTC NTC THERMISTOR VARISTOR
chip||||WIDERSTAND KONDENSATOR SPULE CONDENSATEUR RESISTANCE RÉSISTANCE CONDENSADOR RESISTENCIA CONDENSATORE RESISTENZA WEERSTAND DIODO
chip||||TVS ESD POLYFUSE SHUNT CASE_SIZE EIA RC CC
aside||||SIZE PACKAGE PKG CODE CASECODE FOOTPRINT METRIC INCH IMPERIAL IN MM M MIL HANDSOLDER HANDSOLDERING HAND SOLDER SOLDERING
aside||||CASTELLATED CLOCKWISE ROUNDED NARROW NOM NOMINAL THICK THIN FILM CERAMIC MLCC REVERSE VERTICAL STRAIGHT TYPE MALE
aside||||PLATED UNPLATED COPPER MASK OPEN CLOSED BRIDGED
aside|unit|||Ω KΩ MΩ ΜF ΜH OHM OHMS KOHM KOHMS MOHM MOHMS PF NF UF NH UH MH HZ KHZ MHZ MW MA
aside||||CER COG NP TOL
aside||||RED GREEN BLUE YELLOW WHITE AMBER ORANGE PASSIVE PASSIVES GENERIC STANDARD STD
`

var roleNames = map[string]nameRole{"nothing": roleNothing, "loop": roleLoop, "pad": rolePad, "tab": roleTab, "wide": roleWide,
	"smt": roleSMT, "tht": roleTHT, "outline": roleOutline, "coax": roleOutline, "coaxial": roleBar, "header": roleHeader,
	"female": roleFemale, "lying": roleLying, "hold": roleHold, "port": rolePort, "crystal": roleCrystal, "round": roleRound,
	"tantalum": roleTantalum, "plain": rolePlain, "can": roleCan, "switch": roleSwitch, "push": rolePush, "poles": rolePoles,
	"array": roleArray, "bar": roleBar, "chip": roleChip, "aside": roleAside}

// packageWords are all that are known.
var packageWords = func() map[string]*nameWord {
	words := map[string]*nameWord{}
	addRows(words, leadRows, func(f []string, word string) nameWord {
		w := nameWord{role: roleLeaded, name: cmp.Or(f[0], word), mount: Mount(f[1]), wide: f[2] == "wide", needsPins: f[2] == "needs",
			sized: strings.HasPrefix(f[2], "sized")}
		if strings.HasSuffix(f[2], "pad") {
			w.joints = 1
		}
		return w
	})
	for _, prefix := range strings.Fields("SOT TSOT SC SOD TO DO HC LL RJ") {
		words[prefix] = &nameWord{role: rolePrefix, name: prefix, mount: SMT}
	}
	addRows(words, landRows, func(f []string, _ string) nameWord {
		return nameWord{role: roleLand, name: f[0], mount: Mount(f[1]), joints: atoi(f[2])}
	})
	addRows(words, wordRows, func(f []string, _ string) nameWord {
		w := nameWord{role: roleNames[f[0]], name: f[1], mount: Mount(f[2]), needsPins: strings.HasPrefix(f[3], "needs"),
			joints: atoi(strings.TrimPrefix(f[3], "needs "))}
		if w.coax = strings.HasPrefix(f[0], "coax"); w.role == roleHeader && strings.HasPrefix(w.name, "pin ") || w.name == "box header" {
			w.pitch = "2.54"
		}
		return w
	})
	for name := range words {
		if first, _, two := strings.Cut(name, " "); two {
			if words[first] == nil {
				words[first] = &nameWord{role: roleOpener}
			}
			words[first].opens = true
		}
	}
	words["CONNECTOR"].coax, words["CONN"].coax, words["FEMALE"].coax, words["RECEPTACLE"].coax = true, true, true, true
	return words
}()

// addRows enters the words of a table, whose fields stand between strokes and
// whose last holds the words; _ is the space of a phrase.
func addRows(words map[string]*nameWord, rows string, read func(fields []string, word string) nameWord) {
	for _, row := range strings.Split(strings.TrimSpace(rows), "\n") {
		f := strings.Split(row, "|")
		for _, word := range strings.Fields(f[len(f)-1]) {
			w := read(f, word)
			words[strings.ReplaceAll(word, "_", " ")] = &w
		}
	}
}
