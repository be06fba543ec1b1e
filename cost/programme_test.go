package cost_test

import (
	"fmt"
	"maps"
	"math/big"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/checks"
	"tenoff/fixtures/typed"
)

// programme is a random job whose products are made together: each has some rows of the
// job's unit.
type programme struct {
	*job
	lists  []*jobList
	levels []string
	sizes  []int
}

// makeProgramme deals the rows of a random job out to two or three products.
func makeProgramme(seed uint64, level func(*rand.Rand) string) *programme {
	r := rand.New(rand.NewPCG(seed, 17))
	p := &programme{job: anyJob(seed, "built")}
	products := min(len(p.unit.rows), 2+r.IntN(2))
	for i := range products {
		p.lists = append(p.lists, &jobList{file: fmt.Sprintf("product%d.csv", i)})
		p.levels = append(p.levels, level(r))
		p.sizes = append(p.sizes, 1+r.IntN(30))
	}
	for i, row := range p.unit.rows {
		to := p.lists[r.IntN(products)]
		if i < products { // none has nothing
			to = p.lists[i]
		}
		to.rows = append(to.rows, row)
	}
	return p
}

// run reads the programme as the program does; it is nothing where a product's list is
// refused, as one of which no line is fitted is.
func (p *programme) run(t testing.TB) *cost.Run {
	in := p.input()
	out := &bom.Programme{File: "run.csv", Plans: []bom.Plan{{Name: "Run", Units: p.sizes}}}
	run := p.job.run(t)
	open := func(name string) ([]bom.Table, bom.Problems) {
		return table.Read(name, []byte(in[name]), table.DefaultLimits())
	}
	for i, list := range p.lists {
		list.write(in)
		unit, problems := sheet.ReadBOM(list.file, open, sheet.Options{})
		if problems.Failed() {
			return nil
		}
		out.Products = append(out.Products, bom.Product{Name: fmt.Sprint("product ", i), Level: bom.Levels[levelOrder[p.levels[i]]], Unit: unit})
	}
	run.Programme, run.Unit, run.Level, run.Price = out, out.Unit(), 0, nil
	run.Batches = []int{out.Plans[0].All()}
	return &run
}

func atLevel(level string) func(*rand.Rand) string { return func(*rand.Rand) string { return level } }

func anyLevel(r *rand.Rand) string { return []string{"board", "kit", "built"}[r.IntN(3)] }

// TestProgrammeOfOne: a programme of one product is the estimate, but for its name.
func TestProgrammeOfOne(t *testing.T) {
	for name, in := range map[string]input{"frost": demo(t, "frost-alarm"), "morse": demo(t, "morse-kit"), "lamp": lamp} {
		for _, level := range bom.Levels {
			plain := in.read(t)
			plain.Level, plain.Batches = level, []int{7, 40}
			run := plain
			run.Programme = &bom.Programme{Plans: []bom.Plan{{Name: "a", Units: []int{7}}, {Name: "b", Units: []int{40}}},
				Products: []bom.Product{{Name: "one", Level: level, Unit: plain.Unit}}}
			run.Level = 0
			want, got := compute(t, plain), compute(t, run)
			for i := range got.Batches {
				if got.Batches[i].Name == "" {
					t.Errorf("%s: plan %d has no name", name, i)
				}
				got.Batches[i].Name = ""
			}
			got.Products[0].Name = ""
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s at level %s: a programme of one product is another estimate", name, level)
			}
		}
	}
}

// TestPlansOfOneSize: plans with as many units in all are each what they are by themselves, and
// the name of its plan tells a batch from the others.
func TestPlansOfOneSize(t *testing.T) {
	read := withChips().read(t)
	spare := &bom.Assembly{File: "spare.csv"}
	for _, l := range read.Unit.Lines {
		if l.Kind == bom.KindFastener {
			spare.Lines = append(spare.Lines, l)
		}
	}
	run := func(plans ...bom.Plan) cost.Run {
		out := read
		out.Level, out.Batches, out.Substitutes = 0, nil, true
		out.Scarce = cost.Scarcity{Left: []cost.Left{{Part: "CHIP-8", Pieces: bom.Whole(20)}}}
		out.Programme = &bom.Programme{Plans: plans, Products: []bom.Product{{Name: "built", Level: bom.LevelBuilt, Unit: read.Unit}, {Name: "spare", Level: bom.LevelBuilt, Unit: spare}}}
		for _, p := range plans {
			out.Batches = append(out.Batches, p.All())
		}
		return out
	}
	a, b, c := bom.Plan{Name: "Run a", Units: []int{14, 4}}, bom.Plan{Name: "Run b", Units: []int{3, 15}}, bom.Plan{Name: "Run c", Units: []int{1, 2}}
	together := compute(t, run(a, b, c))
	for i, plan := range []bom.Plan{a, b, c} {
		got, want := &together.Batches[i], &compute(t, run(plan)).Batches[0]
		if got.Name != plan.Name || !reflect.DeepEqual(got.Products, want.Products) || !reflect.DeepEqual(got.Total, want.Total) || len(got.Purchases) != len(want.Purchases) {
			t.Errorf("%s is another batch beside the others", plan.Name)
		}
	}
	if a, b := together.Batches[0].Swaps, together.Batches[1].Swaps; len(a) == 0 || len(b) > 0 {
		t.Errorf("plans take %v and %v of substitutes", a, b)
	}
	ids := []cost.BatchID{together.Batches[0].ID(), together.Batches[1].ID(), together.Batches[2].ID()}
	if r := run(a, b, c); !slices.Equal(ids, []cost.BatchID{"Run a", "Run b", "3"}) || !slices.Equal(r.IDs(), ids) {
		t.Errorf("batches are called %q", ids)
	}
}

// withChips is the lamp with substitutes for its chip.
func withChips() input {
	in := maps.Clone(lamp)
	in["prices/offers.csv"] += "CHIP-9,Corner Parts,C-9,,1,1,1,1,1.60\nCHIP-7,Corner Parts,C-7,,1,1,1,1,1.20\n"
	in["prices/substitutes.csv"] = "Part number,Substitute,Extra per unit,Extra per batch,Extra seconds per unit,Mix\nCHIP-8,CHIP-9,0.05,2,15,yes\nCHIP-8,CHIP-7,0.20,15,40,yes\n"
	return in
}

// TestProgrammeSubstitutes: what several products take of substitutes lands, with the value of
// hand work, no dearer than any one substitute for all of them, or the part alone, and the
// products share what it costs.
func TestProgrammeSubstitutes(t *testing.T) {
	in := withChips()
	for _, left := range []int64{0, 9, 1000} {
		run := in.read(t)
		run.Level, run.Batches = 0, []int{22}
		run.Programme = &bom.Programme{Plans: []bom.Plan{{Name: "Run", Units: []int{13, 9}}},
			Products: []bom.Product{{Name: "built", Level: bom.LevelBuilt, Unit: run.Unit}, {Name: "kit", Level: bom.LevelKit, Unit: run.Unit}}}
		run.Scarce = cost.Scarcity{Left: []cost.Left{{Part: "CHIP-8", Pieces: bom.Whole(left)}}}
		free := run
		free.Substitutes = true
		b := &compute(t, free).Batches[0]
		weight := func(a cost.Amounts) decimal.Decimal { return a.Cash.Sub(a.Reclaim).Add(a.Own) }
		for _, take := range [][]cost.Swap{nil, {{Part: "CHIP-8", Substitute: "CHIP-9"}}, {{Part: "CHIP-8", Substitute: "CHIP-7"}}} {
			forced := run
			forced.Take = take
			got, _ := cost.Totals(forced)
			if got != nil && !got[0].Unpriced && weight(got[0].Amounts).LessThan(weight(b.Total)) {
				t.Errorf("%d left: comes to %s, with %v to %s", left, weight(b.Total), take, weight(got[0].Amounts))
			}
		}
		if all := b.Products[0].Consumed.Add(b.Products[1].Consumed); !all.Equal(b.Total.Consumed) || b.Total.Unpriced {
			t.Errorf("%d left: products consume %s, the batch %s", left, all, b.Total.Consumed)
		}
		taken := bom.Quantity(0)
		for _, s := range b.Swaps {
			taken += s.Pieces
		}
		if want := bom.Whole(44 - min(left, 44)); taken < want || left >= 44 && taken > 0 {
			t.Errorf("%d left of 44: %s are of substitutes, at least %s are wanted", left, taken, want)
		}
	}
}

// TestProductsAlone: what a product lands at by itself is what a programme of it alone lands at,
// and what is ordered of it comes to that: an assembler is sent nothing of what is not made.
func TestProductsAlone(t *testing.T) {
	read := lamp.read(t)
	spare := &bom.Assembly{File: "spare.csv"}
	for _, l := range read.Unit.Lines {
		if l.Kind == bom.KindFastener {
			spare.Lines = append(spare.Lines, l)
		}
	}
	of := func(lamps, spares int) *cost.Batch {
		return &compute(t, typed.AsProgramme(read, []int{lamps, spares}, bom.Product{Name: "lamp", Level: bom.LevelBuilt, Unit: read.Unit},
			bom.Product{Name: "spare", Level: bom.LevelBuilt, Unit: spare})).Batches[0]
	}
	both, one := of(3, 15), of(0, 15)
	ordered := decimal.Zero
	for _, o := range one.Orders {
		ordered = ordered.Add(o.Total())
	}
	equal(t, "landed, 60 screws in packs of 50 at 2.00, and delivery", one.Landed, "9")
	equal(t, "ordered", ordered, "9")
	equal(t, "alone", both.Products[1].Alone.Decimal, "9")
}

// TestFailingPlatesByProduct: of two products with a plate each, the one of which every other plate
// fails has two of the three that are cleared: 3 × 60 s at 60 an hour are 3.00, of which it bears 2.00.
func TestFailingPlatesByProduct(t *testing.T) {
	unit := func(part, printer string) cost.Run {
		return input{
			"unit.csv":             "Quantity,Part number,Kind,Material,Filament g,Print hours,Per plate,Printer\n1," + part + ",printed,PLA,1,1,1," + printer + "\n",
			"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nLabour rate per hour,60\n",
			"prices/materials.csv": "Material,Density g/cm3,Diameter mm,Spool g,Spool price\nPLA,1.24,1.75,1000,20\n",
			"prices/printers.csv":  "Printer,Failure %\nLoft,50\nCellar,0\n",
			"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\nclear a plate,printed,plate,60\n",
		}.read(t)
	}
	hook, lid := unit("HOOK", "Loft"), unit("LID", "Cellar")
	b := compute(t, typed.AsProgramme(hook, []int{1, 1}, bom.Product{Name: "hook", Level: bom.LevelBuilt, Unit: hook.Unit},
		bom.Product{Name: "lid", Level: bom.LevelBuilt, Unit: lid.Unit})).Batches[0]
	equal(t, "all plates", b.Categories[cost.Labour].Own, "3")
	equal(t, "the hook's", b.Products[0].Categories[cost.Labour].Own, "2")
	equal(t, "the lid's", b.Products[1].Categories[cost.Labour].Own, "1")
}

// TestPopulatedOtherwise: a board on which the machine places more for one product than for
// another is another board, and the complaint names the first part; under another name it is
// made beside the first.
func TestPopulatedOtherwise(t *testing.T) {
	in := maps.Clone(lamp)
	in["board.csv"] = strings.ReplaceAll(strings.ReplaceAll(lamp["board.csv"], "Joints,Side\n", "Joints,Side,Level\n"), "8,top\n", "8,top,built\n")
	run := in.read(t)
	run.Level, run.Batches = 0, []int{9}
	run.Programme = &bom.Programme{Plans: []bom.Plan{{Name: "Run", Units: []int{5, 4}}},
		Products: []bom.Product{{Name: "bag", Level: bom.LevelKit, Unit: run.Unit}, {Name: "lamp", Level: bom.LevelBuilt, Unit: run.Unit}}}
	_, problems := cost.Compute(run)
	if said := said(problems); !strings.Contains(said, "the machine places CHIP-8 on this board in lamp and not in bag") || strings.Count(said, "populated otherwise") != 1 {
		t.Errorf("said: %s", said)
	}
	in["other.csv"] = in["board.csv"]
	in["unit.csv"] = strings.Replace(in["unit.csv"], "LAMP-PCB,lamp board,board,,,board.csv", "LAMP-BARE,lamp board,board,,,other.csv", 1)
	in["prices/boards.csv"] += strings.ReplaceAll(lamp["prices/boards.csv"][strings.Index(lamp["prices/boards.csv"], "\n")+1:], "LAMP-PCB", "LAMP-BARE")
	run.Programme.Products[0].Unit = in.read(t).Unit
	run.Prices, run.Unit = in.read(t).Prices, run.Programme.Unit()
	if e := compute(t, run); len(e.Boards) != 2 || e.Boards[0].Placements == e.Boards[1].Placements || !e.Complete {
		t.Errorf("boards %+v", e.Boards)
	}
}

// TestProgrammeOfTwins: two products that are the same are one of which as many are made. The
// lamp has neither yields nor parcels of several; what is printed is left out, whose energy is
// rounded line by line.
func TestProgrammeOfTwins(t *testing.T) {
	plain := lamp.read(t)
	plain.Level, plain.Batches = bom.LevelBuilt, []int{12, 50}
	plain.Unit.Lines = slices.DeleteFunc(plain.Unit.Lines, func(l *bom.Line) bool { return l.Kind == bom.KindPrinted })
	run := plain
	run.Level = 0
	run.Programme = &bom.Programme{Plans: []bom.Plan{{Name: "a", Units: []int{5, 7}}, {Name: "b", Units: []int{20, 30}}},
		Products: []bom.Product{{Name: "black", Level: bom.LevelBuilt, Unit: plain.Unit}, {Name: "white", Level: bom.LevelBuilt, Unit: plain.Unit}}}
	want, got := compute(t, plain), compute(t, run)
	price := d("13.20")
	alone, both := sweep.BreakEven(want, nil, []decimal.Decimal{price}), sweep.BreakEven(got, nil, []decimal.Decimal{price, price})
	for i := range want.Batches {
		x, y := &want.Batches[i], &got.Batches[i]
		same(t, fmt.Sprintf("batch %d", x.Size), x.Total, y.Total)
		if !x.Landed.Equal(y.Landed) || !reflect.DeepEqual(alone.Incomes[i], both.Incomes[i]) {
			t.Errorf("batch %d lands at %s and brings %+v; of two colours at %s, %+v", x.Size, x.Landed, alone.Incomes[i], y.Landed, both.Incomes[i])
		}
	}
}

// TestProgrammeOfHalves: products that hold the rows of a unit, as many of each and at one
// level, are bought as the unit is. What is done, packed and sent by unit is another matter,
// and so are lines that several hold, whose plates are not the unit's.
func TestProgrammeOfHalves(t *testing.T) {
	compared := 0
	for seed := range checks.Runs(500) {
		p := makeProgramme(uint64(seed), atLevel("built"))
		for i := range p.sizes {
			p.sizes[i] = p.size
		}
		p.once = nil
		run := p.run(t)
		if run == nil {
			continue
		}
		whole, problems := cost.Compute(p.job.run(t))
		parts, more := cost.Compute(*run)
		if problems.Failed() || more.Failed() {
			continue
		}
		a, b := whole.Batches[0], parts.Batches[0]
		if a.Assembler != b.Assembler || a.Fitted != b.Fitted || len(whole.Entries) != len(parts.Entries) || !a.Proven || !b.Proven {
			continue
		}
		compared++
		if !a.Landed.Equal(b.Landed) || len(a.Purchases) != len(b.Purchases) || len(a.Orders) != len(b.Orders) {
			t.Fatalf("job %d: the unit lands at %s, its parts at %s\n%s", seed, a.Landed, b.Landed, p)
		}
		for _, c := range cost.Categories {
			if c != cost.Postage && c != cost.Labour && !(len(a.Plates) > 0 && c == cost.PrintedParts) {
				same(t, fmt.Sprintf("job %d, %s", seed, c), a.Categories[c], b.Categories[c])
			}
		}
	}
	if compared == 0 {
		t.Error("nothing was compared")
	}
}

// TestProgrammes reckons random programmes at any level a second time, every other one with panels
// and assemblers that compete: what each product starts, needs and has of the boards; its
// share of all that is paid, by category and payer, to the minor unit; its hand work, parcels,
// price and what its recipients are asked for.
func TestProgrammes(t *testing.T) {
	jobs := checks.Runs(500)
	reckoned := 0
	for seed := range jobs + 1 {
		if seed == jobs {
			seed = 165 // an assembler that sells what it places, and not what it fits by hand
		}
		p := makeProgramme(uint64(seed), anyLevel)
		run := p.run(t)
		if run == nil {
			continue
		}
		e, problems := cost.Compute(*run)
		if problems.Failed() || !e.Complete {
			continue // two boards may have one name at two levels
		}
		reckoned++
		r := &programmeReckoning{programme: p, read: run, e: e, b: &e.Batches[0], bears: make([]map[string]borne, len(p.sizes))}
		for range p.sizes {
			r.of = append(r.of, map[string]int64{})
		}
		r.starts()
		r.needs()
		r.money()
		r.bench()
		r.parcels()
		r.prices()
		r.account()
		if len(r.faults) > 0 {
			t.Fatalf("job %d, levels %v, %v units:\n%s\n%s", seed, p.levels, p.sizes, strings.Join(r.faults, "\n"), p)
		}
	}
	if reckoned < jobs/3 {
		t.Errorf("%d of %d programmes were reckoned", reckoned, jobs)
	}
}

type programmeReckoning struct {
	*programme
	read    *cost.Run
	e       *cost.Estimate
	b       *cost.Batch
	singles []*cost.Batch
	faults  []string

	bears []map[string]borne // by product and payer
	asks  [][2]int64         // of each recipient of a product, and of those of free units
	of    []map[string]int64 // what each product consumes of each category
}

func (r *programmeReckoning) fault(format string, args ...any) {
	r.faults = append(r.faults, fmt.Sprintf(format, args...))
}

func (r *programmeReckoning) differs(got, want int64, what string, args ...any) {
	if got != want {
		r.fault("%s: %d, reckoned %d", fmt.Sprintf(what, args...), got, want)
	}
}

// starts reckons the units and boards that are begun.
func (r *programmeReckoning) starts() {
	confidence := share(r.settings["Confidence %"], "95")
	for i, n := range r.sizes {
		r.differs(int64(r.b.Products[i].Size), int64(n), "units of product %d", i)
		r.differs(int64(r.b.Products[i].Starts), enoughOf(int64(n), share(r.settings["Unit yield %"], "100"), confidence), "starts of product %d", i)
	}
	for b := range r.e.Boards {
		if r.e.Boards[b].Holds != nil {
			continue // a panel
		}
		wanted := make([]*big.Rat, len(r.sizes))
		all := new(big.Rat)
		for i := range wanted {
			wanted[i] = new(big.Rat)
			for _, entry := range r.e.Entries {
				if entry.Board == b && entry.Product == i && entry.Line.Kind == bom.KindBoard {
					wanted[i].Add(wanted[i], times(ratOf(ceil(entry.PerUnit.Decimal().Rat())), ratOf(int64(r.b.Products[i].Starts))))
				}
			}
			all.Add(all, wanted[i])
		}
		run := r.b.Boards[b]
		if all.Sign() == 0 {
			continue
		}
		r.differs(int64(run.Wanted), ceil(all), "boards %s wanted", r.e.Boards[b].Name)
		for i, n := range apportion(int64(run.Starts), wanted) {
			r.differs(int64(run.Of[i]), n, "boards %s of product %d", r.e.Boards[b].Name, i)
		}
	}
}

// needs reckons what each line needs: by its own product's units or boards.
func (r *programmeReckoning) needs() {
	for i, entry := range r.e.Entries {
		want := times(entry.PerUnit.Decimal().Rat(), ratOf(int64(r.b.Products[entry.Product].Starts)))
		switch {
		case entry.Line.Kind == bom.KindBoard:
			want = ratOf(int64(r.b.Boards[entry.Board].Of[entry.Product]))
		case r.b.Provides(&entry): // bought by the assembler
			want = new(big.Rat)
		case r.b.Places(&entry):
			want = times(entry.PerBoard.Decimal().Rat(), ratOf(int64(r.b.Boards[entry.Board].Of[entry.Product])))
		}
		if got := r.b.Needs[i].Decimal().Rat(); got.Cmp(want) != 0 {
			r.fault("line %s of product %d needs %s, reckoned %s", entry.Line.Part, entry.Product, got.FloatString(6), want.FloatString(6))
		}
	}
}

// weights are what a part is shared out by: the need of its lines in each product, or the
// grams or lengths of it.
func (r *programmeReckoning) weights(part int, in func(*cost.Entry) bool) []*big.Rat {
	out := r.none()
	lengths := map[bom.Quantity]bool{}
	for _, i := range r.e.Parts[part].Entries {
		lengths[r.e.Entries[i].Line.CutMM] = true
	}
	for _, i := range r.e.Parts[part].Entries {
		entry := &r.e.Entries[i]
		if in != nil && !in(entry) {
			continue
		}
		w := r.b.Needs[i].Decimal().Rat()
		if entry.Line.Kind == bom.KindPrinted {
			w = new(big.Rat)
			for _, plate := range r.b.Plates {
				if plate.Entry == i {
					w.Add(w, decimal.NewFromFloat(plate.FilamentG).Round(6).Rat())
				}
			}
		}
		if r.e.Parts[part].Unit == "rings" {
			w = times(w, entry.Line.CutMM.Decimal().Rat())
		}
		out[entry.Product] = plus(out[entry.Product], w)
	}
	return out
}

func (r *programmeReckoning) none() []*big.Rat {
	out := make([]*big.Rat, len(r.sizes))
	for i := range out {
		out[i] = new(big.Rat)
	}
	return out
}

// boards are those of a type that each product has; of a panel those that stand on it.
func (r *programmeReckoning) boards(b int) []*big.Rat {
	out := r.none()
	for _, h := range r.e.Boards[b].Holds {
		for i, w := range r.boards(h.Board) {
			out[i] = plus(out[i], w)
		}
	}
	for i, n := range r.b.Boards[b].Of {
		out[i] = plus(out[i], ratOf(int64(n)))
	}
	return out
}

func (r *programmeReckoning) alone(product int) []*big.Rat {
	out := r.none()
	out[product] = ratOf(1)
	return out
}

func (r *programmeReckoning) units() []*big.Rat {
	out := r.none()
	for i, n := range r.sizes {
		out[i] = ratOf(int64(n))
	}
	return out
}

// split shares an amount out over products: what is paid and comes from stock by the
// weights, what is consumed by what each has of them; without any weight by units.
func (r *programmeReckoning) split(a cost.Amounts, weights []*big.Rat) (consumed []int64) {
	if !slices.ContainsFunc(weights, func(w *big.Rat) bool { return w.Sign() > 0 }) {
		weights = r.units()
	}
	minor := func(d decimal.Decimal) int64 { return d.Shift(r.e.Currency.Digits).IntPart() }
	value := make([]int64, len(weights))
	for _, part := range []decimal.Decimal{a.Cash, a.Own, a.Stock} {
		for i, n := range apportion(minor(part), weights) {
			value[i] += n
		}
	}
	all := int64(0)
	for _, n := range value {
		all += n
	}
	if all == minor(a.Consumed) {
		return value
	}
	return apportion(minor(a.Consumed), ratsOf(value))
}

// due is something that is paid for, worked or taken from stock, with what decides who bears it.
type due struct {
	cost.Amounts
	reckItemOfCash
	weights []*big.Rat // of the products
}

// money reckons what each product consumes, of which category, and who bears it: each line
// is parted among its payers, and what each bears of it among the products.
func (r *programmeReckoning) money() {
	b, value := r.b, map[string][]*big.Rat{} // of each supplier's order, by product
	order := func(supplier string, cash decimal.Decimal, weights []*big.Rat) {
		if value[supplier] == nil {
			value[supplier] = r.none()
		}
		sum := new(big.Rat)
		for _, w := range weights {
			sum.Add(sum, w)
		}
		for i, w := range weights {
			if sum.Sign() > 0 {
				value[supplier][i].Add(value[supplier][i], over(times(cash.Rat(), w), sum))
			}
		}
	}
	bare := cost.BareBoard.String()
	for _, p := range b.Purchases {
		d := due{Amounts: cost.Amounts{Cash: p.Cash, Consumed: p.Consumed}, reckItemOfCash: reckItemOfCash{category: bare, part: p.Part, supplier: p.Supplier}}
		if p.Kind == cost.Lots {
			d.weights = r.boards(p.Index)
			r.bear(d)
			order(p.Supplier, p.Cash, d.weights)
			continue
		}
		r.byPrint(p.Index, d)
		order(p.Supplier, p.Cash, r.weights(p.Index, nil))
	}
	k := &reckoning{job: r.job}
	for i := range b.Parts {
		for _, x := range k.fromDrawer(r.e.Parts[i].Key, b.Parts[i].OnHand.Decimal().Rat()) {
			stock := r.major(x.value)
			r.byCategory(i, due{Amounts: cost.Amounts{Stock: stock, Consumed: stock}, reckItemOfCash: reckItemOfCash{giver: x.giver}})
		}
	}
	for i := range b.Boards {
		for _, x := range k.fromDrawer(r.e.Boards[i].Name, ratOf(int64(b.Boards[i].OnHand))) {
			stock := r.major(x.value)
			r.bear(due{cost.Amounts{Stock: stock, Consumed: stock}, reckItemOfCash{category: bare, giver: x.giver}, r.boards(i)})
		}
	}
	for _, f := range b.Fees {
		d := due{f.Amounts, reckItemOfCash{category: f.Category.String(), supplier: f.Payee}, r.units()}
		switch {
		case f.Line() >= 0:
			line := &r.e.Entries[f.Line()]
			d.print, d.weights = line.Line.Part, r.alone(line.Product)
		case f.Kind == cost.AssemblyFee:
			d.weights = r.boards(f.Index)
			order(f.Payee, f.Cash, d.weights)
		case f.Kind == cost.PostageFee:
			d.weights = r.alone(b.Posts[f.Index].Product)
		}
		if !f.Own.IsZero() || !f.Stock.IsZero() {
			d.giver = "maker"
		}
		r.bear(d)
	}
	for _, o := range b.Orders {
		charge := func(category cost.Category, cash, reclaim decimal.Decimal) {
			r.bear(due{cost.Amounts{Cash: cash, Consumed: cash.Sub(reclaim), Reclaim: reclaim}, reckItemOfCash{category: category.String(), supplier: o.Supplier}, value[o.Supplier]})
		}
		charge(cost.SMTAssembly, o.Consign, decimal.Zero)
		charge(cost.Delivery, o.Delivery, decimal.Zero)
		charge(cost.Delivery, o.TopUp, decimal.Zero)
		charge(cost.DutyAndTax, o.Duty, decimal.Zero)
		charge(cost.DutyAndTax, o.Tax, o.Reclaim)
		charge(cost.DutyAndTax, o.Handling, decimal.Zero)
	}
	for _, w := range b.Work {
		d := due{cost.Amounts{Cash: w.Cash, Own: w.Own, Consumed: w.Cash.Add(w.Own)}, reckItemOfCash{category: cost.Labour.String()}, nil}
		if d.weights = r.atOnce(w); w.Product >= 0 {
			d.weights = r.alone(w.Product)
		}
		if !w.Own.IsZero() {
			d.giver = "maker"
		}
		r.bear(d)
	}
	r.addUp()
}

// borne is what a payer bears of a product: consumed, cash, and what of that comes back.
type borne struct{ consumed, cash, reclaim int64 }

// bear parts a due among its payers, then what each bears of it among the products.
func (r *programmeReckoning) bear(d due) {
	if d.Consumed.IsZero() && d.Cash.IsZero() {
		return
	}
	l := &ledger{reckoning: &reckoning{job: r.job}}
	payers, percents := []string{orElse(d.giver, "maker")}, []*big.Rat{ratOf(100)}
	if rule := l.ruleOf(d.reckItemOfCash); rule != "" {
		payers, percents = l.payersOf(rule)
	}
	minor := func(d decimal.Decimal) int64 { return d.Shift(r.e.Currency.Digits).IntPart() }
	cash, own, stock := apportion(minor(d.Cash), percents), apportion(minor(d.Own), percents), apportion(minor(d.Stock), percents)
	used := apportion(minor(d.Own), percents)
	if d.Own.IsZero() {
		used = usedOf(minor(d.Consumed), cash, stock)
	}
	if len(payers) == 1 {
		used[0] = minor(d.Consumed)
	}
	for i, payer := range payers {
		a := cost.Amounts{Cash: r.major(cash[i]), Own: r.major(own[i]), Stock: r.major(stock[i]), Consumed: r.major(used[i])}
		for product, n := range r.split(a, d.weights) {
			who := &r.bears[product]
			if *who == nil {
				*who = map[string]borne{}
			}
			x := (*who)[payer]
			x.consumed += n
			(*who)[payer] = x
			r.of[product][d.category] += n
		}
		weights := d.weights
		if !slices.ContainsFunc(weights, func(w *big.Rat) bool { return w.Sign() > 0 }) {
			weights = r.units()
		}
		for product, n := range apportion(cash[i], weights) {
			x := r.bears[product][payer]
			if x.cash += n; !d.Reclaim.IsZero() {
				x.reclaim += n
			}
			r.bears[product][payer] = x
		}
	}
}

func (r *programmeReckoning) major(minor int64) decimal.Decimal {
	return decimal.New(minor, -r.e.Currency.Digits)
}

// byPrint parts a purchase of filament among the printed parts that somebody pays for, and
// all others, by the grams that each takes; what is no filament goes by category.
func (r *programmeReckoning) byPrint(part int, d due) {
	l := &ledger{reckoning: &reckoning{job: r.job}}
	grams, of := map[string]*big.Rat{}, map[string][]*big.Rat{}
	for _, i := range r.e.Parts[part].Entries {
		name := r.e.Entries[i].Line.Part
		if payers, _ := l.payersOf(name); len(payers) == 0 {
			name = ""
		}
		if r.e.Entries[i].Line.Kind != bom.KindPrinted {
			r.byCategory(part, d)
			return
		}
		if of[name] == nil {
			of[name], grams[name] = r.none(), new(big.Rat)
		}
		lines := r.weights(part, func(entry *cost.Entry) bool { return entry == &r.e.Entries[i] })
		for product, w := range lines {
			of[name][product], grams[name] = plus(of[name][product], w), plus(grams[name], w)
		}
	}
	var weights []*big.Rat
	for _, name := range sortedKeys(grams) {
		weights = append(weights, grams[name])
	}
	minor := func(d decimal.Decimal) int64 { return d.Shift(r.e.Currency.Digits).IntPart() }
	cash := apportion(minor(d.Cash), weights)
	used := usedOf(minor(d.Consumed), cash, make([]int64, len(cash)))
	for i, name := range sortedKeys(grams) {
		share := d
		share.Amounts = cost.Amounts{Cash: r.major(cash[i]), Consumed: r.major(used[i])}
		share.category, share.print, share.weights = cost.PrintedParts.String(), name, of[name]
		r.bear(share)
	}
}

// addUp holds what each product consumes, in all and by category, against the program, and
// the products against the batch.
func (r *programmeReckoning) addUp() {
	b := r.b
	var all cost.Amounts
	for i := range b.Products {
		p := &b.Products[i]
		balancedIn(r, fmt.Sprint("product ", i), p.Amounts)
		all = all.Plus(p.Amounts)
		sum := int64(0)
		for _, c := range cost.Categories {
			r.differs(p.Categories[c].Consumed.Shift(r.e.Currency.Digits).IntPart(), r.of[i][c.String()], "product %d consumes of %s", i, c)
			sum += r.of[i][c.String()]
		}
		r.differs(p.Consumed.Shift(r.e.Currency.Digits).IntPart(), sum, "product %d consumes", i)
	}
	r.sameAll("batch", all, b.Total)
	for _, c := range cost.Categories {
		var all cost.Amounts
		for i := range b.Products {
			all = all.Plus(b.Products[i].Categories[c])
		}
		r.sameAll(c.String(), all, b.Categories[c])
	}
}

func (r *programmeReckoning) sameAll(what string, got, want cost.Amounts) {
	for i, pair := range [][2]decimal.Decimal{{got.Cash, want.Cash}, {got.Own, want.Own}, {got.Stock, want.Stock},
		{got.Consumed, want.Consumed}, {got.Surplus, want.Surplus}, {got.Reclaim, want.Reclaim}} {
		if !pair[0].Equal(pair[1]) {
			r.fault("amount %d of all products, %s, comes to %s; it is %s", i, what, pair[0], pair[1])
		}
	}
}

func balancedIn(r *programmeReckoning, what string, a cost.Amounts) {
	if !decimal.Sum(a.Cash, a.Own, a.Stock).Equal(decimal.Sum(a.Consumed, a.Surplus, a.Reclaim)) {
		r.fault("%s is not balanced: %v", what, a)
	}
}

// byCategory shares the money of a part out over the categories that it falls in first.
func (r *programmeReckoning) byCategory(part int, d due) {
	var in []string
	var weights []*big.Rat
	var of [][]*big.Rat
	for _, c := range cost.Categories {
		if !slices.ContainsFunc(r.e.Parts[part].Entries, func(i int) bool { return r.e.Entries[i].Category == c }) {
			continue
		}
		lines := r.weights(part, func(entry *cost.Entry) bool { return entry.Category == c })
		sum := new(big.Rat)
		for _, w := range lines {
			sum.Add(sum, w)
		}
		in, weights, of = append(in, c.String()), append(weights, sum), append(of, lines)
	}
	minor := func(d decimal.Decimal) int64 { return d.Shift(r.e.Currency.Digits).IntPart() }
	cash, stock := apportion(minor(d.Cash), weights), apportion(minor(d.Stock), weights)
	used := usedOf(minor(d.Consumed), cash, stock)
	if len(in) == 1 {
		cash, stock, used = []int64{minor(d.Cash)}, []int64{minor(d.Stock)}, []int64{minor(d.Consumed)}
	}
	for i := range in {
		share := d
		share.Amounts = cost.Amounts{Cash: r.major(cash[i]), Stock: r.major(stock[i]), Consumed: r.major(used[i])}
		share.category, share.weights = in[i], of[i]
		r.bear(share)
	}
}

// atOnce is what work that is done once for several products is for: by the units begun of
// those that it is done for; by plate, as many as are printed until enough come out good, a
// plate evenly by the pieces on it.
func (r *programmeReckoning) atOnce(w cost.Work) []*big.Rat {
	out := r.none()
	if w.Basis == "plate" {
		for _, run := range r.b.Plates { // no plates are shared where none has a size
			entry := r.e.Entries[run.Entry]
			out[entry.Product] = plus(out[entry.Product], new(big.Rat).SetFloat64(run.Expected))
		}
		return out
	}
	for i := range out {
		if r.done(i, w) {
			out[i] = ratOf(int64(r.b.Products[i].Starts))
		}
	}
	return out
}

// done tells whether a row of hand work is done for a product made by itself.
func (r *programmeReckoning) done(product int, w cost.Work) bool {
	return slices.ContainsFunc(r.single(product).Work, func(x cost.Work) bool { return x.Place == w.Place && x.AppliesTo == w.AppliesTo })
}

// single is a product that is made by itself.
func (r *programmeReckoning) single(product int) *cost.Batch {
	if r.singles == nil {
		r.singles = make([]*cost.Batch, len(r.sizes))
	}
	if r.singles[product] == nil {
		run := *r.read
		run.Unit, run.Level, run.Programme = run.Programme.Products[product].Unit, run.Programme.Products[product].Level, nil
		run.Batches = []int{r.sizes[product]}
		e, problems := cost.Compute(run)
		if problems.Failed() {
			r.fault("product %d by itself is refused: %s", product, said(problems))
			return &cost.Batch{}
		}
		r.singles[product] = &e.Batches[0]
	}
	return r.singles[product]
}

// bench reckons how often the seconds of hand work count: from product to product the units
// that are done before grow.
func (r *programmeReckoning) bench() {
	before := map[bom.Place]int64{}
	counts := make([]map[string]float64, len(r.sizes))
	for i := range counts {
		counts[i] = map[string]float64{}
	}
	for _, w := range r.b.Work {
		if w.Product < 0 || w.Basis == "batch" || w.Basis == "plate" {
			continue
		}
		counts[w.Product][w.Place.String()+w.AppliesTo] += w.Count
		n := int64(r.b.Products[w.Product].Starts)
		row := jobWork{learning: fmt.Sprint(w.Learning), timedAt: fmt.Sprint(w.TimedAt), before: fmt.Sprint(int64(w.Before) + before[w.Place])}
		want := w.Count * repetitions(n, row)
		if d := w.Times - want; d > 1e-6*(1+want) || d < -1e-6*(1+want) {
			r.fault("%s of product %d counts %g times, reckoned %g", w.Operation, w.Product, w.Times, want)
		}
		if !strings.HasPrefix(w.Operation, "bench time of ") {
			before[w.Place] += n
		}
	}
	for i := range r.sizes {
		alone := map[string]float64{}
		for _, w := range r.single(i).Work {
			if w.Basis != "batch" && w.Basis != "plate" {
				alone[w.Place.String()+w.AppliesTo] += w.Count
			}
		}
		if r.single(i).Fitted == r.b.Fitted && r.single(i).Assembler == r.b.Assembler && !reflect.DeepEqual(alone, counts[i]) {
			r.fault("hand work on a unit of product %d: %v; by itself %v", i, counts[i], alone)
		}
	}
}

// parcels holds the parcels of each product against those of the product by itself; what a
// unit is worth, and so by whom it may be sent, is another matter.
func (r *programmeReckoning) parcels() {
	for i := range r.sizes {
		var got, want []string
		for _, p := range r.b.Posts {
			if p.Product == i {
				got = append(got, fmt.Sprintf("%s: %d parcels, %d units, %.3f g", p.Zone, p.Parcels, p.Units, p.MassG))
			}
		}
		for _, p := range r.single(i).Posts {
			want = append(want, fmt.Sprintf("%s: %d parcels, %d units, %.3f g", p.Zone, p.Parcels, p.Units, p.MassG))
		}
		if !slices.Equal(got, want) {
			r.fault("parcels of product %d: %v; by itself %v", i, got, want)
		}
	}
}

// prices reckons the price of each product from what it consumes, with free units in
// proportion.
func (r *programmeReckoning) prices() {
	all := int64(0)
	for _, n := range r.sizes {
		all += int64(n)
	}
	free := all
	if text := orElse(r.settings["Free units"], "0"); text != "all" {
		free = min(all, atoi(text, 0))
	}
	margin, fee, tax := share(r.settings["Margin %"], "0"), share(r.settings["Payment fee %"], "0"), share(r.settings["Sales tax %"], "0")
	fixed, gross := rat(orElse(r.settings["Payment fee fixed"], "0")), plus(ratOf(1), tax)
	step := over(ratOf(1), power10(int(r.e.Currency.Digits)))
	if text := orElse(r.settings["Round price up to"], "0"); rat(text).Sign() > 0 {
		step = rat(text)
	}
	l := &ledger{reckoning: &reckoning{job: r.job}}
	for i, given := range apportion(free, r.units()) {
		p := &r.b.Products[i]
		paying := int64(p.Size) - given
		r.differs(int64(p.Paying), paying, "paying units of product %d", i)
		asked := over(times(ratOf(r.bears[i]["recipient"].cash), over(ratOf(1), power10(int(r.e.Currency.Digits)))), ratOf(int64(p.Size)))
		ask := [2]int64{}
		if asked.Sign() > 0 {
			ask[0] = l.upToStep(times(asked, gross))
			ask[1] = l.upToStep(over(times(plus(asked, fixed), gross), minus(ratOf(1), times(fee, gross))))
		}
		r.asks = append(r.asks, ask)
		r.differs(p.Ask.Each.Shift(r.e.Currency.Digits).IntPart(), ask[0], "asked of each recipient of product %d", i)
		if given > 0 {
			r.differs(p.Ask.Free.Shift(r.e.Currency.Digits).IntPart(), ask[1], "asked of each of the free of product %d", i)
		}
		if paying == 0 {
			continue
		}
		cover := plus(plus(over(majorOf(r.bears[i]["maker"].consumed, r.home), ratOf(paying)), fixed), times(times(fee, asked), gross))
		before := over(cover, minus(minus(ratOf(1), margin), times(fee, gross)))
		want := times(ratOf(ceil(over(times(before, gross), step))), step)
		if got := p.Charge.Price.Rat(); got.Cmp(want) != 0 {
			r.fault("price of product %d is %s, reckoned %s", i, p.Charge.Price, want.FloatString(4))
		}
	}
}

// account reckons both sides of the account at the prices that are charged, and at prices
// that are given: all that is sold, less payment fees and sales tax, each rounded once,
// less the cash that does not come back.
func (r *programmeReckoning) account() {
	given := make([]decimal.Decimal, len(r.sizes))
	for i := range given {
		given[i] = decimal.New(int64(1234*(i+1)), -r.e.Currency.Digits)
	}
	charged := make([]decimal.Decimal, len(r.sizes))
	for i := range charged {
		charged[i] = r.b.Products[i].Charge.Price
	}
	fee, tax := share(r.settings["Payment fee %"], "0"), share(r.settings["Sales tax %"], "0")
	fixed := rat(orElse(r.settings["Payment fee fixed"], "0"))
	scale := power10(int(r.e.Currency.Digits))
	round := func(x *big.Rat) int64 { return halfUp(times(x, scale)) }
	for name, at := range map[string]struct {
		prices []decimal.Decimal
		got    cost.Income
	}{"charged": {charged, r.b.Charge.Income}, "given": {given, sweep.BreakEven(r.e, nil, given).Incomes[0]}} {
		sold, paid, payments, cash := new(big.Rat), int64(0), int64(0), int64(0)
		for i := range r.sizes {
			n, free := int64(r.b.Products[i].Paying), int64(r.b.Products[i].Size-r.b.Products[i].Paying)
			in := plus(times(at.prices[i].Rat(), ratOf(n)), majorOf(r.asks[i][0]*n+r.asks[i][1]*free, r.home))
			sold, paid, payments = plus(sold, in), paid+n, payments+n
			if r.asks[i][1] > 0 {
				payments += free
			}
			for _, who := range []string{"maker", "recipient"} {
				cash += r.bears[i][who].cash - r.bears[i][who].reclaim
			}
		}
		if name == "charged" && paid == 0 {
			continue
		}
		fees := round(plus(times(sold, fee), times(fixed, ratOf(payments))))
		taxes := round(over(times(sold, tax), plus(ratOf(1), tax)))
		r.differs(at.got.Stays.Shift(r.e.Currency.Digits).IntPart(), round(sold)-fees-taxes-cash, "what stays at the prices %s", name)
	}
}
