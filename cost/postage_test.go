package cost_test

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/cost"
)

// bells posts one bell in a box of 100 × 80 × 60 mm, with a leaflet.
var bells = input{
	"unit.csv": "Quantity,Part number,Kind,Mass g,Length mm,Width mm,Height mm\n1,BELL,other,50,900,900,900\n" +
		"1,BOX,packing,0,100,80,60\n1,LEAFLET,packing,0,100,70,1\n",
	"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
	"prices/offers.csv":   "Part number,Supplier,Price\nBELL,Corner Parts,5\nBOX,Corner Parts,0\nLEAFLET,Corner Parts,0\n",
}

// TestSizeOfAParcel: without a carton it is that of the packing line that takes up the most
// room, whatever the unit itself measures; it may be turned, and a limit holds what is just as
// long. A limit that is blank is none.
func TestSizeOfAParcel(t *testing.T) {
	for _, c := range []struct{ why, limits, want string }{
		{"just as long", "100,80,60", "box"},
		{"too long by a hair", "99.9,80,60", "van"},
		{"too wide by a hair", "100,79.9,60", "van"},
		{"too high by a hair", "100,80,59.9", "van"},
		{"turned", "100,60,80", "box"},
		{"turned", "80,100,60", "box"},
		{"turned", "80,60,100", "box"},
		{"turned", "60,100,80", "box"},
		{"turned", "60,80,100", "box"},
		{"the same room in another shape", "120,66,61", "van"},
		{"two sides are limited", "80,,60", "box"},
		{"two sides are limited too low", "79,,79", "van"},
	} {
		in := bells.with("prices/postage.csv", "Service,Max length mm,Max width mm,Max height mm,Price\nbox,"+c.limits+",1\nvan,,,,7\n")
		if p := one(t, in.read(t), 1).Posts[0]; p.Service != c.want {
			t.Errorf("%s, limits %s: %s, want %s", c.why, c.limits, p.Service, c.want)
		}
	}
}

// TestSizeWithCarton: a zone's carton is the size of its parcels, and what is not known of it is
// said; the box of one unit is not the size of a parcel of several.
func TestSizeWithCarton(t *testing.T) {
	const large, unknown = "van", "the size of the carton to \"club\" is not known; limits on size and volumetric mass are not checked"
	for _, c := range []struct{ why, row, want, warned string }{
		{"one in a larger carton", "1,10,300,200,150", large, ""},
		{"one in a carton of which a side is known", "1,10,300,,", large, unknown},
		{"one without a carton", "1,,,,", large, ""},
		{"one in a smaller carton", "1,10,50,50,50", "box", ""},
		{"several in a carton of unknown size", "2,10,,,", "box", unknown},
		{"several in a carton of which nothing is known", "2,,,,", "box", unknown},
	} {
		in := bells.with("prices/postage.csv", "Service,Max length mm,Max width mm,Max height mm,Price\nbox,60,60,60,1\nvan,,,,7\n",
			"prices/recipients.csv", "Zone,Count,Units per parcel,Carton g,Carton length mm,Carton width mm,Carton height mm\nclub,2,"+c.row+"\n")
		run := in.read(t)
		run.Batches = []int{2}
		e := compute(t, run)
		if p := e.Batches[0].Posts[0]; p.Service != c.want {
			t.Errorf("%s: %s, want %s", c.why, p.Service, c.want)
		}
		text := strings.Join(e.Warnings, "\n")
		if strings.Contains(text, "the size of the") != (c.warned != "") || !strings.Contains(text, c.warned) {
			t.Errorf("%s: warned %q, want %q", c.why, text, c.warned)
		}
	}
}

// TestBoxOfSeveral: where parcels hold several units the size of the carton is asked for and not
// that of the box.
func TestBoxOfSeveral(t *testing.T) {
	in := bells.with("unit.csv", "Quantity,Part number,Kind,Mass g\n1,BELL,other,50\n1,BOX,packing,0\n", "prices/postage.csv", "Service,Max length mm,Price\npost,90,1\n",
		"prices/recipients.csv", "Zone,Count,Units per parcel,Carton g\nclub,2,2,5\n")
	text := strings.Join(compute(t, in.read(t)).Warnings, "\n")
	if strings.Contains(text, "the size of the parcel") || strings.Count(text, "the size of the carton to \"club\"") != 1 {
		t.Errorf("asked for: %s", text)
	}
}

// TestSizeIsAskedFor: where nothing is known of the box it is said once, if a service has a limit
// on a size or goes by volume, and if some parcel has the size of the box.
func TestSizeIsAskedFor(t *testing.T) {
	const carton = "Zone,Count,Units per parcel,Carton g,Carton length mm,Carton width mm,Carton height mm\n"
	for _, c := range []struct {
		why, postage, recipients string
		asked                    bool
	}{
		{"no limit", "Service,Price\npost,1\n", "", false},
		{"a limit on the length", "Service,Max length mm,Price\npost,90,1\n", "", true},
		{"a limit on the width", "Service,Max width mm,Price\npost,90,1\n", "", true},
		{"a limit on the height", "Service,Max height mm,Price\npost,90,1\n", "", true},
		{"by volume", "Service,Volumetric divisor,Price\npost,6000,1\n", "", true},
		{"every zone has a carton", "Service,Max length mm,Price\npost,90,1\n", carton + "club,1,1,5,50,50,50\n", false},
		{"one of two has none", "Service,Max length mm,Price\npost,90,1\n", carton + "club,1,1,5,50,50,50\nhome,1,,,,,\n", true},
		{"the first of two has none", "Service,Max length mm,Price\npost,90,1\n", carton + "home,2,,,,,\nclub,1,1,5,50,50,50\n", true},
		{"a carton of unknown size, no limit", "Service,Price\npost,1\n", carton + "club,2,2,5,,,\n", false},
		{"no limit on the sizes of a carton", "Service,Price\npost,1\n", carton + "club,1,1,5,50,,\n", false},
		{"all are several in a carton", "Service,Max length mm,Price\npost,90,1\n", carton + "club,2,2,5,50,50,50\n", false},
	} {
		in := bells.with("unit.csv", "Quantity,Part number,Kind,Mass g\n1,BELL,other,50\n1,BOX,packing,0\n", "prices/postage.csv", c.postage)
		if c.recipients != "" {
			in["prices/recipients.csv"] = c.recipients
		}
		text := strings.Join(compute(t, in.read(t)).Warnings, "\n")
		if got := strings.Count(text, "the size of the parcel is not known"); got > 1 || (got == 1) != c.asked {
			t.Errorf("%s: asked for %d times, want %v\n%s", c.why, got, c.asked, text)
		}
		if strings.Contains(text, "the size of the carton") {
			t.Errorf("%s: the size of the carton is asked for\n%s", c.why, text)
		}
	}
}

// TestZonesWithoutParcels: a zone that counts nobody is none, and one that gets no unit of a
// small batch costs nothing; neither is missed a service.
func TestZonesWithoutParcels(t *testing.T) {
	in := byZone.with("prices/recipients.csv", "Zone,Count\nmoon,0\nhome,3\nfar,1\n", "prices/postage.csv", "Service,To,Price\nletter,home,2\n")
	run := in.read(t)
	run.Batches = []int{1}
	e := compute(t, run)
	b := e.Batches[0]
	var got []string
	for _, p := range b.Posts {
		got = append(got, fmt.Sprintf("%s %d %s %v", p.Zone, p.Parcels, p.Cash, p.Unpriced))
	}
	if want := "home 1 2 false; far 0 0 false"; strings.Join(got, "; ") != want {
		t.Errorf("got %s, want %s", strings.Join(got, "; "), want)
	}
	fees := 0
	for _, f := range b.Fees {
		if f.Category == cost.Postage {
			fees++
		}
	}
	if text := strings.Join(e.Warnings, "\n"); fees != 1 || b.Total.Unpriced || strings.Contains(text, "no postal service") {
		t.Errorf("%d fees of postage, unpriced %v, %s", fees, b.Total.Unpriced, text)
	}
}

// TestServicesInUse: the rate of a service is listed where some parcel may go by it: a dearer one
// is looked at where the cheaper has a limit on the value or does not take a full parcel.
func TestServicesInUse(t *testing.T) {
	for _, c := range []struct{ why, cheap, want string }{
		{"no limit", ",", "letter, rates EUR"},
		{"a limit on the value, not reached", ",9", "letter, rates EUR USD"},
		{"a limit on the value, reached", ",1", "van, rates EUR USD"},
		{"a limit on the mass of a full parcel", "120,", "van, rates EUR USD"},
	} {
		in := byZone.with("prices/postage.csv", "Service,Max g,Max value,Price,Currency\nletter,"+c.cheap+",1,EUR\nvan,,,7,USD\n", "prices/exchange.csv", "Currency,Rate\nUSD,0.9\n",
			"prices/recipients.csv", "Zone,Count,Units per parcel,Carton g\nhome,3,3,0\n", "prices/offers.csv", "Part number,Supplier,Price\nBELL,Corner Parts,2\n")
		run := in.read(t)
		run.Batches = []int{3}
		e := compute(t, run)
		got := e.Batches[0].Posts[0].Service + ", rates"
		for _, r := range e.Terms.Rates {
			got += " " + r.Currency.Code
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.why, got, c.want)
		}
	}
}

// TestNearestServices: three services are named, the others counted.
func TestNearestServices(t *testing.T) {
	for n, want := range map[int]string{
		2: "(s1: mass 50.0 g over 10 g; s2: mass 50.0 g over 10 g)",
		3: "(s1: mass 50.0 g over 10 g; s2: mass 50.0 g over 10 g; s3: mass 50.0 g over 10 g)",
		5: "(s1: mass 50.0 g over 10 g; s2: mass 50.0 g over 10 g; s3: mass 50.0 g over 10 g; 2 more)",
	} {
		rows := "Service,Max g,Price\n"
		for i := range n {
			rows += fmt.Sprintf("s%d,10,%d\n", i+1, i+1)
		}
		_, problems := cost.Compute(bells.with("prices/postage.csv", rows).read(t))
		if got := said(problems); !strings.Contains(got, want) {
			t.Errorf("%d services: %s, want %s", n, got, want)
		}
	}
}

// TestZoneIsPostTo: where the tab recipients tells no zone, all goes where the setting says, and is
// said to; without services nothing is posted.
func TestZoneIsPostTo(t *testing.T) {
	in := bells.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nPost to,shire\n",
		"prices/postage.csv", "Service,To,Price\nbox,shire,3\nvan,isles,1\n")
	if p := one(t, in.read(t), 2).Posts[0]; p.Zone != "shire" || p.Service != "box" {
		t.Errorf("to %q by %s; want to shire by box", p.Zone, p.Service)
	}
	delete(in, "prices/postage.csv")
	if p := one(t, in.read(t), 2).Posts[0]; p.Zone != "" {
		t.Errorf("to %q without any service", p.Zone)
	}
}
