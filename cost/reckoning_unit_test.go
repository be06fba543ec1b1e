package cost_test

import (
	"math"
	"math/big"
	"slices"
)

// What one unit holds and how many of each thing a batch needs (README, Sums: units to
// start, required).

// reckItem is one row with all nesting multiplied down.
type reckItem struct {
	row     *jobRow
	perUnit *big.Rat   // of all that hold it, where one list stands in several rows
	weighs  *big.Rat   // of that, outside of boards whose mass is that of the populated board
	onBoard *reckBoard // nil where no board holds it
	machine bool
	fitted  bool // through-hole, by the assembler
}

type reckBoard struct {
	name       string
	perUnit    int64
	items      []*reckItem // that the assembler puts on it
	onBoard    []*big.Rat  // quantity of each on one board
	placements *big.Rat
	joints     *big.Rat
	numbers    map[string]bool
	sides      map[string]bool
	handParts  int // lines of through-hole parts that the assembler fits
	handJoints *big.Rat
	holds      []reckHeld // of a panel

	wanted, starts, onHand, bought int64
}

type reckPart struct {
	key     string
	items   []*reckItem
	needs   []*big.Rat // of each item
	machine bool       // sent to the assembler, at least for some of its lines
	printed bool       // filament, in g

	need, allowance, onHand, demand *big.Rat
	takes                           *big.Rat // of what is bought
	toHave                          *big.Rat // filament, that so many plates come out
	choices                         []choice // the ways to buy it, once they are asked for
}

// reckoning is a job that is being reckoned.
type reckoning struct {
	*job
	items  []*reckItem
	making *reckMaking // nil: the job leaves no choice
	boards []*reckBoard
	made   []*reckBoard // panels
	parts  []*reckPart
	plates []*reckPlate
	rings  map[string][2]int64 // of parts that are cut to several lengths: what the program needs, and the spares
	starts int64
	taken  []reckSwap // substitutes
}

var levelOrder = map[string]int{"board": 0, "kit": 1, "built": 2}

// levelOf is the first level at which a row counts. An assembly is no
// thing of its own: what it holds decides.
func levelOf(r *jobRow) int {
	switch {
	case r.level != "":
		return levelOrder[r.level]
	case r.kind == "packing", r.kind == "board", r.kind == "part" && r.mount == "SMT", r.kind == "assembly":
		return 0
	}
	return 1
}

func (k *reckoning) walk(l *jobList, perUnit, perBoard *big.Rat, b *reckBoard, again, weighed bool) {
	for _, r := range l.rows {
		if r.fitted == "no" || levelOf(r) > levelOrder[k.level] {
			continue
		}
		q := rat(r.quantity)
		item := &reckItem{row: r, perUnit: times(perUnit, q), weighs: new(big.Rat), onBoard: b}
		if !weighed {
			item.weighs = item.perUnit
		}
		switch r.kind {
		case "assembly":
			k.walk(r.sub, item.perUnit, times(perBoard, q), b, again, weighed)
			continue
		case "board":
			inner, seen := k.boardOf(r.part)
			inner.perUnit += ceil(item.perUnit)
			item.onBoard = inner
			k.items = append(k.items, item)
			k.walk(r.sub, item.perUnit, ratOf(1), inner, seen, weighed || r.mass != "")
			continue
		}
		item.machine = b != nil && r.kind == "part" && r.mount == "SMT" && k.making.assembler != ""
		item.fitted = b != nil && r.kind == "part" && r.mount == "THT" && k.making.fitted
		if first := k.itemOf(r); first != nil {
			first.perUnit, first.weighs = plus(first.perUnit, item.perUnit), plus(first.weighs, item.weighs)
			item = first
		} else {
			k.items = append(k.items, item)
		}
		if item.machine && !again {
			b.place(item, times(perBoard, q))
		}
		if item.fitted && !again {
			b.fit(item, times(perBoard, q))
		}
	}
}

// itemOf finds the item of a row that came in before, by another way.
func (k *reckoning) itemOf(r *jobRow) *reckItem {
	if i := slices.IndexFunc(k.items, func(item *reckItem) bool { return item.row == r }); i >= 0 {
		return k.items[i]
	}
	return nil
}

func (k *reckoning) boardOf(name string) (b *reckBoard, seen bool) {
	for _, b := range k.boards {
		if b.name == name {
			return b, true
		}
	}
	b = &reckBoard{name: name, placements: new(big.Rat), joints: new(big.Rat), numbers: map[string]bool{}, sides: map[string]bool{}}
	k.boards = append(k.boards, b)
	return b, false
}

func (b *reckBoard) place(item *reckItem, q *big.Rat) {
	b.items, b.onBoard = append(b.items, item), append(b.onBoard, q)
	b.placements.Add(b.placements, q)
	b.joints.Add(b.joints, times(q, ratOf(jointsOf(item.row))))
	b.numbers[item.row.part] = true
	b.sides[orElse(item.row.side, "top")] = true
}

// jointsOf: a two-terminal chip has two where the row says nothing.
func jointsOf(r *jobRow) int64 { return atoi(r.joints, 2) }

// assembler is the row of the assembly tab that counts; all zero without one.
func (k *reckoning) assembler() jobAssembler {
	for _, a := range k.assemblers {
		if a.name != "" && a.name == k.making.assembler {
			a.currency = orElse(a.currency, k.supplier(a.name).currency)
			return a
		}
	}
	return jobAssembler{name: k.making.assembler, currency: k.supplier(k.making.assembler).currency}
}

// count works out starts, boards and needs.
func (k *reckoning) count() {
	if k.making == nil {
		k.making = k.onlyMaking()
	}
	k.walk(k.unit, ratOf(1), ratOf(1), nil, false, false)
	confidence := share(k.settings["Confidence %"], "95")
	k.starts = enoughOf(int64(k.size), share(k.settings["Unit yield %"], "100"), confidence)
	good := minus(ratOf(1), over(rat(k.assembler().dpmo), power10(6)))
	for _, b := range k.boards {
		b.wanted = k.starts * b.perUnit
		opportunities := plus(b.placements, b.joints)
		y := ratOf(1)
		for range ceil(opportunities) {
			y.Mul(y, good)
		}
		b.starts = enoughOf(b.wanted, y, confidence)
		b.onHand = ceil(minRat(k.inDrawer(b.name), ratOf(b.starts)))
		b.bought = b.starts - b.onHand
	}
	k.layPanels()
	for _, item := range k.items {
		switch item.row.kind {
		case "board", "printed":
		default:
			k.needOf(item)
		}
	}
	k.takeSwaps()
	k.print()
	for _, p := range k.parts {
		k.demandOf(p)
	}
}

func (k *reckoning) needOf(item *reckItem) {
	p := k.partOf(item.row.part)
	need := times(ratOf(k.starts), item.perUnit)
	if item.machine || item.fitted {
		need = new(big.Rat)
		for i, on := range item.onBoard.items {
			if on == item && !k.provided(item) {
				need = plus(need, times(ratOf(item.onBoard.starts), item.onBoard.onBoard[i]))
			}
		}
		p.machine = p.machine || !k.provided(item)
	}
	p.items, p.needs = append(p.items, item), append(p.needs, need)
}

func (k *reckoning) partOf(key string) *reckPart {
	for _, p := range k.parts {
		if p.key == key {
			return p
		}
	}
	p := &reckPart{key: key}
	k.parts = append(k.parts, p)
	return p
}

func (k *reckoning) inDrawer(key string) *big.Rat {
	sum := new(big.Rat)
	for _, d := range k.stock {
		if d.part == key {
			sum.Add(sum, rat(d.quantity))
		}
	}
	return sum
}

// reckTaken is what is taken of one row of stock: whose it is, and its value.
type reckTaken struct {
	giver string
	value int64
}

// fromDrawer takes so much of a part's stock, row by row in the order of the file.
func (k *reckoning) fromDrawer(key string, onHand *big.Rat) (out []reckTaken) {
	rest := new(big.Rat).Set(onHand)
	for _, d := range k.stock {
		if d.part == key && rest.Sign() > 0 {
			take := minRat(rat(d.quantity), rest)
			rest = minus(rest, take)
			out = append(out, reckTaken{orElse(d.giver, "maker"), minorOf(times(take, rat(d.value)), k.home)})
		}
	}
	return out
}

func (k *reckoning) demandOf(p *reckPart) {
	p.need = new(big.Rat)
	for _, n := range p.needs {
		p.need.Add(p.need, n)
	}
	p.allowance = new(big.Rat)
	if k.ringsFor(p) {
		return
	}
	for _, a := range k.allowancesOf(p) {
		if p.need.Sign() > 0 {
			p.allowance = maxRat(p.allowance, maxRat(ratOf(ceil(times(p.need, share(a.percent, "0")))), ratOf(atoi(a.pieces, 0))))
			p.allowance = maxRat(p.allowance, minus(ratOf(atoi(a.atLeast, 0)), p.need))
		}
	}
	want := plus(p.need, p.allowance)
	p.onHand = minRat(k.inDrawer(p.key), want)
	p.demand = minus(want, p.onHand)
	p.takes = p.demand
	if p.printed {
		p.demand = maxRat(new(big.Rat), minus(p.toHave, k.inDrawer(p.key)))
	}
}

// allowancesOf are the rows of the lines of a part: the greatest allowance counts.
func (k *reckoning) allowancesOf(p *reckPart) (rows []jobAllowance) {
items:
	for _, item := range p.items {
		if k.making != nil && item.onBoard != nil && k.provided(item) {
			continue
		}
		applies := map[string]string{"fastener": "fastener", "insert": "fastener", "packing": "packing", "other": "other", "wire": "other",
			"part": map[string]string{"SMT": "smt", "THT": "tht"}[item.row.mount]}[item.row.kind]
		for _, pkg := range []string{item.row.pkg, ""} {
			for _, a := range k.allowances {
				if a.appliesTo == applies && a.pkg == pkg {
					rows = append(rows, a)
					continue items
				}
			}
		}
	}
	return rows
}

// categoryOf is the category of a row.
func categoryOf(r *jobRow) string {
	switch r.kind {
	case "board":
		return "bare boards"
	case "part":
		if r.mount == "SMT" {
			return "SMT parts"
		}
		return "through-hole parts"
	case "fastener", "insert":
		return "fasteners"
	case "printed":
		return "printed parts"
	case "packing":
		return "packing"
	}
	return "other parts"
}

// repetitions is Σ (i/t)^log₂(learning) for i = k+1 … k+n (Crawford's unit form).
// The exponent makes float64 unavoidable; without learning it is n.
func repetitions(n int64, w jobWork) float64 {
	l, _ := share(w.learning, "100").Float64()
	if l == 1 {
		return float64(n)
	}
	before, timedAt, sum := atoi(w.before, 0), float64(atoi(w.timedAt, 1)), 0.0
	for i := before + n; i > before; i-- { // small ones first
		sum += math.Pow(float64(i)/timedAt, math.Log2(l))
	}
	return sum
}
