package cost_test

import "testing"

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
	// 10 units: 7.5 and 2.5 parcels; the larger zone gets the one that is left.
	b = one(t, byZone.read(t), 10)
	if b.Posts[0].Parcels != 8 || b.Posts[1].Parcels != 2 {
		t.Errorf("%d and %d parcels, want 8 and 2", b.Posts[0].Parcels, b.Posts[1].Parcels)
	}
}
