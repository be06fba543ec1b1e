package cost_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost"
)

// byZone sends three bells home at 2.00 and one far away at 6.00. Members pay
// half of the postage and all of the bells.
var byZone = input{
	"unit.csv":              "Quantity,Part number,Kind,Mass g\n1,BELL,other,50\n",
	"prices/settings.csv":   "Setting,Value\nHome currency,EUR\n",
	"prices/offers.csv":     "Part number,Supplier,Price\nBELL,Corner Parts,5\n",
	"prices/postage.csv":    "Service,To,Price\nletter,home,2\nletter,far,6\nslow letter,FAR,6\n",
	"prices/recipients.csv": "Zone,Count\nHome,3\nfar,1\n",
	"prices/who-pays.csv":   "Applies to,Payer,Share %\nBELL,recipients,100\npostage,recipients,50\npostage,maker,50\n",
}

// TestZonesByHand: postage 3 × 2 + 1 × 6 = 12, of which members pay 6, half of
// it for home (1.00 each) and half for far (3.00). With 5.00 for a bell they are
// asked for 6.00 and 8.00, or for (20 + 6) / 4 = 6.50 all alike.
func TestZonesByHand(t *testing.T) {
	b := one(t, byZone.read(t), 4)
	for i, want := range []struct {
		zone, service, cash, asked string
		parcels                    int
	}{{"Home", "letter", "6.00", "6.00", 3}, {"far", "letter", "6.00", "8.00", 1}} {
		p := b.Posts[i]
		if p.Zone != want.zone || p.Service != want.service || p.Parcels != want.parcels {
			t.Errorf("%d parcels to %s by %s, want %+v", p.Parcels, p.Zone, p.Service, want)
		}
		equal(t, want.zone+": postage", p.Cash, want.cash)
		equal(t, want.zone+": asked of each", p.Asked, want.asked)
	}
	equal(t, "asked of each", b.Ask.Each, "6.50")
	// In steps of 2.50 it is 7.50 and 10.00: 32.50 of all, and not 4 × 7.50.
	stepped := one(t, byZone.with("prices/settings.csv", byZone["prices/settings.csv"]+"Round price up to,2.5\n").read(t), 4)
	equal(t, "asked of each on the mean", stepped.Ask.Each, "8.13")
	// 10 units: 7.5 and 2.5 parcels; the larger zone gets the one that is left.
	b = one(t, byZone.read(t), 10)
	if b.Posts[0].Parcels != 8 || b.Posts[1].Parcels != 2 {
		t.Errorf("%d and %d parcels, want 8 and 2", b.Posts[0].Parcels, b.Posts[1].Parcels)
	}
}

// TestZonesThatBearNothing: recipients who bear a category that costs nothing are asked for
// nothing, and the quote has no lines of 0.00 for their zones.
func TestZonesThatBearNothing(t *testing.T) {
	b := one(t, byZone.with("prices/who-pays.csv", "Applies to,Payer,Share %\ntooling,recipients,100\n").read(t), 4)
	if lines := b.Quote.Lines; len(lines) != 1 || lines[0].Share {
		t.Errorf("quoted are %+v", lines)
	}
}

// club sends lamps of 400 g in boxes: 12 to a club in one carton of 5, 5 and 2, and 2 home.
// The lamp holds a cell that the letter does not carry.
var club = input{
	"unit.csv":            "Quantity,Part number,Kind,Mass g,Length mm,Width mm,Height mm,Hazard\n1,LAMP,other,350,,,,\n1,CELL,other,45,,,,\"Lithium cells, magnets\"\n1,BOX,packing,5,100,80,60,\n",
	"prices/settings.csv": "Setting,Value\nHome currency,EUR\nSales tax %,20\n",
	"prices/offers.csv":   "Part number,Supplier,Price\nLAMP,Corner Parts,8\nCELL,Corner Parts,2\nBOX,Corner Parts,0\n",
	"prices/postage.csv": "Service,To,Max g,Max length mm,Max width mm,Max height mm,Max value,Excludes,Price,Volumetric divisor\n" +
		"letter,,,,,,,LITHIUM  cells,2,\nsmall,,1000,,,,,magnet,5,\nlarge,,5000,400,300,200,,,9,6000\nfreight,,,,,,,,30,\n",
	"prices/recipients.csv": "Zone,Count,Units per parcel,Carton g,Carton length mm,Carton width mm,Carton height mm\nclub,12,5,200,300,200,150\nhome,2,,,,,\n",
	"prices/who-pays.csv":   "Applies to,Payer,Share %\npostage,recipients,100\n",
}

// sent tells how a batch is posted.
func sent(b cost.Batch) string {
	var out []string
	for _, p := range b.Posts {
		out = append(out, fmt.Sprintf("%s: %d × %s, %d units, %g g for %g", p.Zone, p.Parcels, p.Service, p.Units, p.Chargeable, p.MassG))
	}
	return strings.Join(out, "; ")
}

// TestCartonsByHand: two cartons of 5 × 400 + 200 = 2200 g are over the 1000 g of the small
// parcel, and go large at 9.00; the last one of 2 × 400 + 200 = 1000 g goes small at 5.00. Those
// at home go small, one by one: the cheaper letter takes no cell. Postage is 18 + 5 + 10 = 33,
// of which each of the twelve at the club pays 23 / 12 = 1.9167, by unit and not by parcel, and
// each at home 5, all with 20 % sales tax: 2.30 and 6.00. They come to 12 × 2.30 + 2 × 6.00 =
// 39.60, where 33 / 14 × 1.2 = 2.83 of each would be 39.62; and to the same whichever is given
// away. With 10 % and 0.50 for a payment who is given one is asked (23 / 12 + 0.50) × 1.2 / 0.88 =
// 3.30 at the club and 5.50 × 1.2 / 0.88 = 7.50 at home, 12 × 3.30 + 2 × 7.50 = 54.60 if all were:
// with one of 14 in any zone that is (13 × 39.60 + 54.60) / 14 = 40.67.
func TestCartonsByHand(t *testing.T) {
	b := one(t, club.read(t), 14)
	if got, want := sent(b), "club: 2 × large, 10 units, 2200 g for 2200; club: 1 × small, 2 units, 1000 g for 1000; home: 2 × small, 2 units, 400 g for 400"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	equal(t, "postage", b.Categories[cost.Postage].Cash, "33")
	for i, want := range []string{"2.30", "2.30", "6"} {
		equal(t, b.Posts[i].Zone+": asked of each", b.Posts[i].Asked, want)
	}
	equal(t, "asked in all", b.Charge.Income.Asked, "39.60")
	run, given := club.read(t), int64(1)
	run.Free = &given
	equal(t, "asked in all, with one unit given away", one(t, run, 14).Charge.Income.Asked, "39.60")
	run = club.with("prices/settings.csv", club["prices/settings.csv"]+"Payment fee %,10\nPayment fee fixed,0.50\n").read(t)
	run.Free = &given
	b = one(t, run, 14)
	for i, want := range []string{"3.30", "3.30", "7.50"} {
		equal(t, b.Posts[i].Zone+": asked of who is given one", b.Posts[i].AskedFree, want)
	}
	equal(t, "asked in all, with one unit given away and fees", b.Charge.Income.Asked, "40.67")
	equal(t, "asked of who is given one, on the mean", b.Ask.Free, "3.90")
	checkQuote(t, b, "13 of them 15.76 = 204.88, 1 of them 0.00 = 0.00, 12 of the share club 2.30 = open, 12 of the free share club 3.30 = open, "+
		"2 of the share home 6.00 = open, 2 of the free share home 7.50 = open, in all 204.88, tax 34.15")
	// Without what the letter excludes it takes everything.
	plain := strings.Replace(club["unit.csv"], "\"Lithium cells, magnets\"", "magnets", 1)
	equal(t, "postage without a hazard", one(t, club.with("unit.csv", plain).read(t), 14).Categories[cost.Postage].Cash, "10")
}

// Volumetric mass: 30 × 45 × 65 cm over 6000 are 14.625 kg (a worked example for air freight,
// whose rule that is), over 5000 they are 17.55 kg; Max g limits it.
func TestVolumetricMass(t *testing.T) {
	for _, c := range []struct {
		limits, want string
	}{
		{"6000,14625", "van 14625"}, {"6000,14624.9", "freight 2200"}, {"5000,17550", "van 17550"}, {"5000,17549", "freight 2200"}, {",14624", "van 2200"},
	} {
		in := club.with("prices/postage.csv", "Service,Volumetric divisor,Max g,Price,Excludes\nvan,"+c.limits+",3,magnets and glue\nfreight,,,4,lithium cells or magnets\n",
			"prices/recipients.csv", "Zone,Count,Units per parcel,Carton g,Carton length mm,Carton width mm,Carton height mm\nclub,12,5,200,650,300,450\n")
		p := one(t, in.read(t), 5).Posts[0]
		if got := fmt.Sprintf("%s %g", p.Service, p.Chargeable); got != c.want {
			t.Errorf("divisor and limit %s: %s, want %s", c.limits, got, c.want)
		}
	}
}

// TestLargestPacking: of several packings the parcel has the size of the one that takes up the
// most room, wherever it stands in the list: 300 × 200 × 100 mm³ / 5000 is 1200 g.
func TestLargestPacking(t *testing.T) {
	bag, box := "1,BAG,packing,5,300,10,200\n", "1,BOX,packing,5,300,200,100\n"
	for _, packings := range []string{bag + box, box + bag} {
		in := club.with("unit.csv", "Quantity,Part number,Kind,Mass g,Length mm,Width mm,Height mm\n1,LAMP,other,350,,,\n"+packings,
			"prices/offers.csv", "Part number,Supplier,Price\nLAMP,Corner Parts,8\nBAG,Corner Parts,0\nBOX,Corner Parts,0\n",
			"prices/postage.csv", "Service,Volumetric divisor,Price\nvan,5000,3\n", "prices/recipients.csv", "Zone,Count\nhome,2\n")
		if p := one(t, in.read(t), 2).Posts[0]; p.Chargeable != 1200 {
			t.Errorf("packings %q: %g g are charged for, want 1200", packings, p.Chargeable)
		}
	}
}

// TestValueOfAParcel: a lamp costs 10.00 without postage, so that a carton of five is worth 50.00
// and passes a limit that holds it just; at a price of 18.00 it is worth 15.00 before 20 % tax, 75.00
// in the carton. The limit of 60 dollars at 0.9 is 54.00, that of 55 is 49.50.
func TestValueOfAParcel(t *testing.T) {
	for _, c := range []struct{ limit, price, want string }{
		{"50,EUR", "", "cheap"}, {"49.99,EUR", "", "dear"}, {"75,EUR", "18", "cheap"}, {"74.99,EUR", "18", "dear"},
		{"60,USD", "", "cheap"}, {"55,USD", "", "dear"}, {"60,USD", "18", "dear"}, {"0,EUR", "", "dear"},
	} {
		in := club.with("prices/postage.csv", "Service,Max value,Currency,Price\ncheap,"+c.limit+",1\ndear,,,7\n", "prices/exchange.csv", "Currency,Rate\nUSD,0.9\n")
		run := in.read(t)
		if c.price != "" {
			run.Price = []decimal.Decimal{d(c.price)}
		}
		if p := one(t, run, 14).Posts[0]; p.Service != c.want {
			t.Errorf("%s at the price %q: %s, want %s", c.limit, c.price, p.Service, c.want)
		}
	}
}

// What a unit is worth is all that the batch consumes but postage: a limit of just that holds
// every parcel of one unit, and one of a cent less none.
func TestValueIsWhatIsConsumed(t *testing.T) {
	in := demo(t, "frost-alarm")
	in["prices/recipients.csv"] = "Zone,Count\nhome,1\n"
	post := func(limit string) string {
		in["prices/postage.csv"] = "Service,Max value,Price\ncheap," + limit + ",1\ndear,,7\n"
		return one(t, in.read(t), 10).Posts[0].Service
	}
	b := one(t, in.read(t), 10)
	each := b.Total.Consumed.Sub(b.Categories[cost.Postage].Consumed).Shift(-1)
	if got := post(each.String()); got != "cheap" {
		t.Errorf("a limit of %s: %s", each, got)
	}
	if got := post(each.Sub(d("0.001")).String()); got != "dear" {
		t.Errorf("a limit under %s: %s", each, got)
	}
}

// Services are compared by what they cost at home: 5 dollars at 0.5 are less than 3 euros.
func TestCheapestServiceAtHome(t *testing.T) {
	in := byZone.with("prices/postage.csv", "Service,Price,Currency\na,3,EUR\nb,5,USD\n", "prices/exchange.csv", "Currency,Rate\nUSD,0.5\n")
	if p := one(t, in.read(t), 4).Posts[0]; p.Service != "b" {
		t.Errorf("sent by %s", p.Service)
	}
}

// TestNobodyTakesIt: the complaint says what stands against each of the nearest services.
func TestNobodyTakesIt(t *testing.T) {
	in := club.with("prices/postage.csv", "Service,Max g,Max length mm,Max width mm,Max height mm,Max value,Excludes,Price,Volumetric divisor\n"+
		"a,1000,100,90,80,20,MAGNETS,1,\nb,2000,,,,,,2,4000\nc,,,,,30,,3,\n")
	run := in.read(t)
	run.Batches = []int{14}
	_, problems := cost.Compute(run)
	const want = `no postal service to this zone takes the parcel of 5 units, 2200.0 g, 300 × 200 × 150 mm ` +
		`(c: value 50.00 EUR over 30.00 EUR; b: mass by volume 2250.0 g over 2000 g; a: mass 2200.0 g over 1000 g, size over 100 × 90 × 80 mm, excludes magnets, value 50.00 EUR over 20.00 EUR) ` +
		`("club"); add a row to the tab postage that does, or fewer Units per parcel`
	if got := said(problems); !strings.Contains(got, want) || strings.Count(got, "no postal service to") != 1 {
		t.Errorf("got %s\nwant %s", got, want)
	}
}

// TestHazardsAreTold: a hazard that no service names, and one that is excluded and that no line
// has, are each told once, with the word that was likely meant.
func TestHazardsAreTold(t *testing.T) {
	in := club.with("prices/postage.csv", "Service,Excludes,Price\na,\"lithium cell, magnets\",1\nb,Lithium Cell,2\n")
	text := strings.Join(compute(t, in.read(t)).Warnings, "\n")
	for _, want := range []string{
		`prices/postage.csv:2:2: no line has this hazard, and nothing is excluded for it ("lithium cell"); a hazard of a line or of the tab parts (did you mean Lithium cells)`,
		`unit.csv:3:8: no postal service names this hazard, and all of them are taken to carry it ("Lithium cells"); name it in Excludes of the tab postage, where a service does not (did you mean lithium cell)`,
	} {
		if strings.Count(text, want) != 1 {
			t.Errorf("not told once: %s\n%s", want, text)
		}
	}
	if strings.Count(text, "this hazard") != 2 {
		t.Errorf("told more:\n%s", text)
	}
}

// TestPopulatedBoard: the mass of a board's line is that of the populated board. Two boards of
// 30 g and one of 1 g; where the last does not say, it weighs 2 × 3 g of chips, and the bare
// board and its header are asked for.
func TestPopulatedBoard(t *testing.T) {
	in := input{
		"unit.csv":            "Quantity,Part number,Kind,File,Mass g\n2,MAIN,board,main.csv,30\n1,SIDE,board,side.csv,1\n",
		"main.csv":            "Designator,Part number,Mount,Joints,Mass g\nU1,CHIP,SMT,8,3\nJ1,PLUG,THT,2,\n",
		"side.csv":            "Designator,Part number,Mount,Joints,Mass g\n\"U1,U2\",CHIP,SMT,8,3\nJ1,HEAD,THT,2,\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nCHIP,Corner Parts,1\nPLUG,Corner Parts,1\nHEAD,Corner Parts,1\n",
		"prices/boards.csv":   "Board,Fabricator,Lot,Price\nMAIN,Corner Parts,10,5\nSIDE,Corner Parts,10,5\n",
		"prices/postage.csv":  "Service,Price\nletter,2\n",
	}
	for mass, want := range map[string]string{"1": "61 0", "": "66 2"} {
		e := compute(t, in.with("unit.csv", strings.Replace(in["unit.csv"], "side.csv,1", "side.csv,"+mass, 1)).read(t))
		p := e.Batches[0].Posts[0]
		if got := fmt.Sprintf("%g %d", p.MassG, p.Unknown); got != want {
			t.Errorf("with a mass of %q: %s, want %s", mass, got, want)
		}
	}
}

// checkQuote compares a quote, line by line.
func checkQuote(t *testing.T, b cost.Batch, want string) {
	t.Helper()
	var out []string
	for _, l := range b.Quote.Lines {
		of := "them"
		if l.Share {
			of = strings.TrimSpace("the share " + l.Zone)
			if l.Free && l.Zone != "" {
				of = "the free share " + l.Zone
			}
		}
		all := l.All.StringFixed(2)
		if l.Open {
			all = "open"
		}
		out = append(out, fmt.Sprintf("%d of %s %s = %s", l.Units, of, l.Each.StringFixed(2), all))
	}
	out = append(out, "in all "+b.Quote.All.StringFixed(2), "tax "+b.Quote.Tax.StringFixed(2))
	if got := strings.Join(out, ", "); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// TestQuoteByHand: the bells of TestZonesByHand cost their maker 6.00 of postage, 1.50 a
// unit; members pay 6.00 at home and 8.00 far away, 26.00 in all and 6.00 for the units.
// Where one of four is given away its share falls on the other three, 2.00 each; without
// a payment fee the charges are the same wherever it goes.
func TestQuoteByHand(t *testing.T) {
	checkQuote(t, one(t, byZone.read(t), 4), "4 of them 1.50 = 6.00, 3 of the share Home 6.00 = 18.00, 1 of the share far 8.00 = 8.00, in all 32.00, tax 0.00")
	run := byZone.read(t)
	free := int64(1)
	run.Free = &free
	checkQuote(t, one(t, run, 4), "3 of them 2.00 = 6.00, 1 of them 0.00 = 0.00, 3 of the share Home 6.00 = 18.00, 1 of the share far 8.00 = 8.00, in all 32.00, tax 0.00")
	// Two cartons and a rest to the club, 2.30 for each of 12, 6.00 for each of 2; lamps for
	// 10.00 and 20 % tax: 14 × 12.00 + 27.60 + 12.00 = 207.60, of which a sixth is tax.
	checkQuote(t, one(t, club.read(t), 14), "14 of them 12.00 = 168.00, 12 of the share club 2.30 = 27.60, 2 of the share home 6.00 = 12.00, in all 207.60, tax 34.60")
}
