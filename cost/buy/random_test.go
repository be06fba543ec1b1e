package buy

import (
	"math"
	"math/rand/v2"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// shape says what a random run looks like. All of it is invented.
type shape struct {
	parts, suppliers int
	demand           [2]int
	price            [2]float64 // spread evenly over the logarithm
	offered          float64    // how likely a supplier sells a part
	decimals         int        // of the price
	packs, stock     float64    // how likely an offer has them
	foreign          float64    // how likely a supplier is foreign
	abroad           int        // foreign suppliers at most
	minOrder         float64
	consign, fixed   bool
	delivery, free   [2]int
	exchanged        bool // prices are alike at home, not in each currency
}

// small is like small runs: up to 12 parts, 4
// suppliers, everything that an order can have.
func small(r *rand.Rand) shape {
	parts := 1 + r.IntN(6)
	if r.IntN(5) == 0 {
		parts = 7 + r.IntN(6)
	}
	return shape{parts: parts, suppliers: 1 + r.IntN(4), demand: [2]int{1, 15}, price: [2]float64{0.4, 4},
		offered: 0.7, decimals: 2 + r.IntN(2), packs: 0.3, stock: 0.3, foreign: 0.4, abroad: 4, minOrder: 0.4,
		consign: r.IntN(2) == 0, fixed: r.IntN(2) == 0, delivery: [2]int{2, 10}, free: [2]int{10, 35}}
}

// usual is a run as small makers have them.
func usual(parts, suppliers int) shape {
	return shape{parts: parts, suppliers: suppliers, demand: [2]int{10, 500}, price: [2]float64{0.01, 5},
		offered: 0.6, decimals: 3, packs: 0.2, stock: 0.15, foreign: 0.25, abroad: 2, minOrder: 0.2,
		consign: true, fixed: true, delivery: [2]int{5, 15}, free: [2]int{50, 150}}
}

func between(r *rand.Rand, x [2]int) int { return x[0] + r.IntN(x[1]-x[0]+1) }

func cents(r *rand.Rand, x [2]int) decimal.Decimal {
	return decimal.New(int64(between(r, [2]int{100 * x[0], 100 * x[1]})), -2)
}

func randomRun(r *rand.Rand, sh shape) Problem {
	p := Problem{Home: eur, Assembler: -1, CIF: r.IntN(2) == 0, TaxRecovered: r.IntN(3) == 0}
	foreign := 0
	for i := range sh.suppliers {
		s := Supplier{Name: "supplier " + strconv.Itoa(i), Currency: eur, Rate: dec("1"), Delivery: cents(r, sh.delivery)}
		if r.Float64() < 0.85 {
			s.FreeOver = decimal.NewNullDecimal(decimal.NewFromInt(int64(between(r, sh.free))))
		}
		if r.Float64() < sh.minOrder {
			s.MinOrder = decimal.NewFromInt(int64(between(r, sh.free) / 2))
		}
		if r.Float64() < sh.foreign && foreign < sh.abroad {
			foreign++
			s.Currency, s.Rate = usd, decimal.New(int64(8500+r.IntN(1500)), -4)
			s.Duty = decimal.New(int64(r.IntN(60)), -1)
			s.Tax = decimal.NewFromInt(int64(r.IntN(25)))
			if r.IntN(2) == 0 {
				s.DutyFreeUpTo = decimal.NewFromInt(150)
			}
			if r.IntN(3) == 0 {
				s.TaxFreeUpTo = decimal.NewFromInt(45)
			}
			if r.IntN(2) == 0 {
				s.Handling = cents(r, [2]int{2, 12})
			}
		}
		p.Suppliers = append(p.Suppliers, s)
	}
	if sh.consign && r.IntN(2) == 0 {
		p.Assembler = r.IntN(sh.suppliers)
		p.Suppliers[p.Assembler].Consign = cents(r, [2]int{0, 3})
	}
	if sh.fixed && r.IntN(2) == 0 {
		s := &p.Suppliers[r.IntN(sh.suppliers)]
		s.Fixed = Fixed{Ordered: true, Amount: cents(r, [2]int{5, 60})}
		s.Fixed.Home = s.Fixed.Amount.Mul(s.Rate).Round(2)
	}
	for i := range sh.parts {
		p.Parts = append(p.Parts, randomPart(r, sh, p.Suppliers, "part "+strconv.Itoa(i)))
	}
	return p
}

// customs gives a run what orders from abroad are charged by their lines: flat duty for
// each heading up to a limit, duty of the lines' own, line fees, and what is sent to the
// assembler. Limits are within reach of goods of so many euros.
func customs(r *rand.Rand, p *Problem, limit int) {
	for i := range p.Suppliers {
		s := &p.Suppliers[i]
		if r.IntN(2) == 0 {
			continue
		}
		s.DutyFreeUpTo = cents(r, [2]int{0, limit})
		if r.IntN(2) == 0 {
			s.TaxFreeUpTo = cents(r, [2]int{0, limit})
		}
		s.Tax = decimal.NewFromInt(int64(r.IntN(25)))
		if r.IntN(3) > 0 {
			s.FlatDuty = decimal.New(int64(r.IntN(max(60, 10*limit))), -2)
		}
		if r.IntN(3) == 0 {
			s.Duty = decimal.New(int64(r.IntN(80)), -1)
		}
		if r.IntN(2) == 0 {
			s.Handling = cents(r, [2]int{0, 1 + limit/10})
		}
	}
	if p.Assembler >= 0 && r.IntN(2) == 0 {
		s := &p.Suppliers[p.Assembler]
		s.PartsSent = true
		if r.IntN(2) == 0 {
			s.Fixed.Sent = cents(r, [2]int{0, limit})
		}
	}
	fees, rates := r.IntN(2) == 0, r.IntN(2) == 0
	for i := range p.Parts {
		heading := ""
		if r.IntN(4) > 0 {
			heading = "85" + strconv.Itoa(r.IntN(2+len(p.Parts)/8))
		}
		for j := range p.Parts[i].Offers {
			o := &p.Parts[i].Offers[j]
			o.Heading = heading
			if fees && r.IntN(3) == 0 {
				o.LineFee = decimal.New(int64(r.IntN(10+5*limit)), -2)
				if o.Currency.Digits == 0 {
					o.LineFee = o.LineFee.Ceil()
				}
			}
			if rates && r.IntN(2) == 0 {
				o.Duty = decimal.NewNullDecimal(decimal.New(int64(r.IntN(150)), -1))
			}
		}
	}
}

// worth draws what a surplus is worth.
func worth(r *rand.Rand, p *Problem) {
	for i := range p.Parts {
		for j := range p.Parts[i].Offers {
			if r.IntN(3) > 0 {
				p.Parts[i].Offers[j].Worth = decimal.NewNullDecimal(dec([]string{"0", "0", "40", "100", "33.3"}[r.IntN(5)]))
			}
		}
	}
}

func randomPart(r *rand.Rand, sh shape, suppliers []Supplier, name string) Part {
	part := Part{Name: name, Demand: bom.Whole(int64(between(r, sh.demand))), Machine: r.IntN(2) == 0}
	base := sh.price[0] * math.Pow(sh.price[1]/sh.price[0], r.Float64())
	if r.IntN(30) == 0 {
		part.Demand = 0
	}
	for len(part.Offers) == 0 {
		for s := range suppliers {
			if r.Float64() < sh.offered {
				part.Offers = append(part.Offers, randomOffer(r, sh, s, suppliers[s], base))
			}
		}
	}
	// One offer without a stock limit keeps the run free of shortages.
	part.Offers[r.IntN(len(part.Offers))].Stock = -1
	return part
}

func randomOffer(r *rand.Rand, sh shape, at int, s Supplier, base float64) Offer {
	o := Offer{Supplier: at, Code: "code " + strconv.Itoa(at), Currency: s.Currency, Rate: s.Rate,
		Pieces: bom.One, MOQ: 1, Multiple: 1, Stock: -1}
	if s.Currency.Code != "EUR" && r.IntN(8) == 0 {
		o.Currency, o.Rate = eur, dec("1")
	}
	price := base * (0.85 + 0.3*r.Float64())
	if sh.exchanged {
		price /= o.Rate.InexactFloat64()
	}
	if r.Float64() < sh.packs {
		n := []int64{5, 10, 25, 100}[r.IntN(4)]
		switch r.IntN(3) {
		case 0:
			o.Pieces = bom.Whole(n)
			price *= float64(n)
		case 1:
			o.Multiple = n
		default:
			o.MOQ, o.Multiple = n, max(1, n/5)
		}
	}
	if r.Float64() < sh.stock {
		o.Stock = int64(r.IntN(sh.demand[1]))
	}
	from := int64(1)
	for range 1 + r.IntN(3) {
		d := decimal.NewFromFloat(price).Round(int32(sh.decimals))
		if !d.IsPositive() {
			d = decimal.New(1, -int32(sh.decimals))
		}
		o.Breaks = append(o.Breaks, bom.Break{From: from, Price: d})
		from *= []int64{5, 10, 25}[r.IntN(3)]
		price *= 0.75 + 0.2*r.Float64()
	}
	return o
}
