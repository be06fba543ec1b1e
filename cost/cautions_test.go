package cost_test

import (
	"strings"
	"testing"
)

// TestCautions: what a bill of materials says of its parts calls up the cautions
// of that topic and no other. (What cells, solder and plastics are called is
// common practice, no source.)
func TestCautions(t *testing.T) {
	topics := map[string]string{"mains": "mains voltage", "lithium": "lithium cells", "lead": "lead limit", "styrene": "styrene"}
	for _, row := range []struct{ why, text, want string }{
		{"a word of its own", "Mains inlet", "mains"},
		{"in capitals", "MAINS FILTER", "mains"},
		{"a voltage", "relay 230 V AC", "mains"},
		{"a voltage in one word", "fuse 250V 230VAC", "mains"},
		{"a voltage with the sign of alternating current", "switch 230 V~", "mains"},
		{"a low voltage", "relay 12 V", ""},
		{"the lowest voltage", "110V AC relay", "mains"},
		{"a voltage between", "adapter 115 Vac", "mains"},
		{"the other voltage", "120V~", "mains"},
		{"220 volts", "220 v ac", "mains"},
		{"240 volts", "240 V~ timer", "mains"},
		{"a voltage beside them", "250 V AC film capacitor", ""},
		{"a voltage in a longer number", "X230 V~", ""},
		{"an inlet by its standard", "socket IEC 60320 C14", "mains"},
		{"a wire", "live wire, brown", "mains"},
		{"part of a word", "remainsorter", ""},
		{"a chemistry", "Li-Ion cell", "lithium"},
		{"the other spelling", "LiPo 400 mAh", "lithium"},
		{"a size of cell", "holder for 18650", "lithium"},
		{"a long pouch", "lipoly pouch, li-polymer", "lithium"},
		{"the word", "lithium thionyl", "lithium"},
		{"a phosphate", "LiFePO4 cell 3.2 V", "lithium"},
		{"the end of a life", "life cell", "lithium"},
		{"a life without a cell", "lifetime grease", ""},
		{"another size of cell", "21700 holder", "lithium"},
		{"a coin cell", "CR2032", "lithium"},
		{"another coin cell", "BR1225", "lithium"},
		{"a longer number", "CR20321", ""},
		{"a size within a longer number", "118650", ""},
		{"an alkaline cell", "LR6 alkaline", ""},
		{"a solder", "Sn60/Pb40 wire", "lead"},
		{"another solder", "sn63 pb37", "lead"},
		{"its metals", "tin-lead bar", "lead"},
		{"its proportions", "solder 60/40", "lead"},
		{"other proportions", "63/37 0.5 mm", "lead"},
		{"the word for it", "leaded wire", "lead"},
		{"a part with leads", "leads, 3 mm", ""},
		{"a plastic of a part that is not printed", "housing ABS", ""},
		{"two topics", "Li-Ion charger 230 V~ mains", "mains lithium"},
	} {
		in := steady.with("unit.csv", "Quantity,Part number,Description,Kind\n1,THING,\""+row.text+"\",other\n",
			"prices/offers.csv", "Part number,Supplier,Price\nTHING,Corner Parts,1\n")
		e := compute(t, in.read(t))
		for topic, words := range topics {
			said := false
			for _, c := range e.Cautions {
				said = said || strings.Contains(c.Text, words)
			}
			if want := strings.Contains(row.want, topic); said != want {
				t.Errorf("%s (%s): caution about %s: %v; want %v", row.why, row.text, topic, said, want)
			}
		}
	}
}

// TestPrintedCautions: what is printed is looked at for its plastic too.
func TestPrintedCautions(t *testing.T) {
	for plastic, want := range map[string]bool{"PLA white": false, "ABS white": true, "asa": true, "HIPS": true, "styrene-free": true, "absolute white": false} {
		in := lamp.with()
		for name, text := range in {
			in[name] = strings.ReplaceAll(text, "PLA white", plastic)
		}
		said := false
		for _, c := range compute(t, in.read(t)).Cautions {
			said = said || strings.Contains(c.Text, "styrene")
		}
		if said != want {
			t.Errorf("%s: caution about styrene: %v; want %v", plastic, said, want)
		}
	}
}

// TestHazardCautions: a hazard calls up the caution by itself, whatever the line is called.
func TestHazardCautions(t *testing.T) {
	in := input{
		"unit.csv":            "Quantity,Part number,Description,Kind,Hazard\n1,PWR-7,power pack,other,\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nPWR-7,Corner Parts,1\n",
	}
	for what, c := range map[string]struct {
		in   input
		want bool
	}{
		"none":        {in, false},
		"another":     {in.with("unit.csv", "Quantity,Part number,Description,Kind,Hazard\n1,PWR-7,power pack,other,magnets\n"), false},
		"on the line": {in.with("unit.csv", "Quantity,Part number,Description,Kind,Hazard\n1,PWR-7,power pack,other,\"magnets, Lithium cell\"\n"), true},
	} {
		said := false
		for _, x := range compute(t, c.in.read(t)).Cautions {
			said = said || strings.Contains(x.Text, "lithium cells are dangerous goods")
		}
		if said != c.want {
			t.Errorf("hazard %s: caution about lithium: %v; want %v", what, said, c.want)
		}
	}
}
