package cost

import (
	"math"
	"slices"

	"tenoff/bom"
	"tenoff/cost/plan"
)

// benchStep is a kind of hand work in the order in which a unit is made.
type benchStep struct {
	appliesTo string
	after     []string // kinds that come before, and those before them
	needs     []string // classes of line that must be there
}

// solderedClasses and looseClasses are the classes of line that a finished board has, and all
// that goes into a unit.
var (
	solderedClasses = []string{classBoard, classSMT, classTHT}
	looseClasses    = append(slices.Clone(solderedClasses), classPrinted, classInsert, classWire, classOther, classFastener)
)

// benchSteps is how a unit is put together: boards are soldered, the flat parts
// first; printed parts finished and given their inserts; all of it wired, screwed
// together, tested and packed (common practice, no source).
var benchSteps = []benchStep{
	{classSMT, nil, []string{classBoard, classSMT}},
	{classTHT, []string{classSMT}, solderedClasses},
	{classPrinted, nil, []string{classPrinted}},
	{classInsert, []string{classPrinted}, []string{classPrinted, classInsert}},
	{classWire, []string{classSMT, classTHT}, append(slices.Clone(solderedClasses), classWire)},
	{classOther, []string{classSMT, classTHT}, append(slices.Clone(solderedClasses), classOther)},
	{classFastener, []string{classSMT, classTHT, classPrinted, classInsert, classWire, classOther}, looseClasses},
	{workTest, []string{classSMT, classTHT, classInsert, classWire, classOther, classFastener}, []string{classBoard, classSMT}},
	{workBagging, []string{classSMT, classPrinted, workTest}, looseClasses},
	{classPacking, []string{classSMT, classTHT, classPrinted, classInsert, classWire, classOther, classFastener, workTest, workBagging},
		append(slices.Clone(looseClasses), classPacking)},
}

// needsAt is what a step needs at a level: a finished unit is tested whole.
func (s *benchStep) needsAt(level bom.Level) []string {
	if s.appliesTo == workTest && level == bom.LevelBuilt {
		return looseClasses
	}
	return s.needs
}

// planner gathers the tasks of a batch.
type planner struct {
	m      *Model
	b      *Batch
	tasks  []Task
	brings map[string][]int // class of line -> tasks after which all of it is there
	toShop []int            // tasks after which bare boards and consigned parts are at the assembler
	spools []int            // tasks after which there is filament
	hands  []int            // tasks of hand work
	gaps   []Gap

	week      plan.Week
	assembled []bool // by board type: it goes to the assembler
	assembler string // who populates boards; empty: nobody
}

const hoursADay = 24

// planDays plans a batch whose purchases and hand work are known.
func planDays(m *Model, b *Batch) {
	p := &planner{m: m, b: b, week: m.week(), brings: map[string][]int{}, assembled: make([]bool, len(b.Boards))}
	for i := range b.Fees {
		if f := &b.Fees[i]; f.Kind == AssemblyFee {
			p.assembled[f.Index], p.assembler = true, m.shopName()
		}
	}
	// A task for each order and each kind of hand work, for printing, and for
	// what is missing.
	p.tasks = make([]Task, 0, len(b.Orders)+len(benchSteps)+2)
	p.orders()
	p.missing()
	p.assembly()
	p.print()
	p.bench()
	var err error
	if b.Plan, err = p.plan(); err != nil {
		b.Plan = Plan{Gaps: []Gap{{err.Error(), bom.Place{File: m.prices.Name}}}}
	}
}

// add puts a task in and gives its index.
func (p *planner) add(t Task) int {
	p.tasks = append(p.tasks, t)
	return len(p.tasks) - 1
}

// gap notes what keeps a task's time from being known.
func (p *planner) gap(what string, at bom.Place) { p.gaps = append(p.gaps, Gap{what, at}) }

// orders makes a task of each order but the assembler's, and notes what it
// brings where.
func (p *planner) orders() {
	for _, o := range p.b.Orders {
		if o.Supplier != p.assembler {
			p.contents(p.add(p.lead(OrderTask, o)), o.Supplier)
		}
	}
}

// contents notes what an order to a supplier brings where.
func (p *planner) contents(at int, supplier string) {
	for i := range p.b.Purchases {
		if buy := &p.b.Purchases[i]; buy.Supplier == supplier && !buy.Unpriced {
			p.deliver(at, buy.Kind, buy.Index)
		}
	}
}

// lead is the task that an order takes its lead days, after those on which it waits for what
// is expected.
func (p *planner) lead(kind TaskKind, o Order) Task {
	waits := p.week.Worked(bom.Whole(int64(p.m.run.waits(p.b, o.Supplier))))
	t := Task{Kind: kind, Name: o.Supplier, Takes: min(waits, plan.MaxDays)}
	if days := bom.Whole(int64(o.LeadDays)) + waits; o.LeadKnown && days <= plan.MaxDays {
		t.Takes, t.Sure = days, true
		return t
	}
	s := &p.m.supply.list[p.m.supply.of[bom.Fold(o.Supplier)]]
	at := bom.Place{File: p.m.prices.Name, Sheet: bom.TabSuppliers}
	if s.Head != nil {
		at = s.At("Lead days")
	}
	p.gap("lead days of "+o.Supplier, at)
	return t
}

// deliver notes that a task brings some of a part, a board type or a material.
func (p *planner) deliver(at int, kind string, index int) {
	bring := func(list *[]int) { *list = addNew(*list, at) }
	to := func(class string) {
		list := p.brings[class]
		bring(&list)
		p.brings[class] = list
	}
	switch kind {
	case Filament:
		bring(&p.spools)
	case Lots:
		if p.assembled[index] {
			bring(&p.toShop)
		} else {
			to(classBoard)
		}
	default:
		for _, e := range p.m.parts[index].Entries {
			if p.m.making.placed(&p.m.entries[e]) {
				bring(&p.toShop)
			} else {
				to(classOf(p.m.entries[e].Line))
			}
		}
	}
}

// missing makes a task of all that has to be bought and cannot be.
func (p *planner) missing() {
	boards, parts := make([]bool, len(p.b.Boards)), make([]bool, len(p.b.Parts))
	for i := range p.b.Purchases {
		switch bought := &p.b.Purchases[i]; {
		case bought.Unpriced:
		case bought.Kind == Lots:
			boards[bought.Index] = true
		default:
			parts[bought.Index] = true
		}
	}
	at := -1
	lack := func(kind string, index int, name string, place bom.Place) {
		if at < 0 {
			at = p.add(Task{Kind: MissingTask})
		}
		p.gap("where "+name+" is to be bought", place)
		p.deliver(at, kind, index)
	}
	for i, r := range p.b.Boards {
		if r.Bare() > r.OnHand && !boards[i] {
			lack(Lots, i, p.m.boards[i].Name, p.m.entries[p.m.boards[i].Entry].Line.At("Part number"))
		}
	}
	for i, r := range p.b.Parts {
		if r.Demand > 0 && !parts[i] {
			part := &p.m.parts[i]
			lack(kindOf(part), i, part.Key, p.m.entries[part.Entries[0]].Line.At("Part number"))
		}
	}
}

// assembly makes one task of the assembler's order: its lead days begin when
// bare boards and consigned parts have arrived there. Whatever else it sells
// comes with the boards.
func (p *planner) assembly() {
	for _, o := range p.b.Orders {
		if o.Supplier != p.assembler {
			continue
		}
		quoted := false
		o.LeadDays, o.LeadKnown, quoted = assemblyDays(p.m, p.b, o.LeadDays, o.LeadKnown)
		at := p.add(p.lead(AssemblyTask, o))
		p.tasks[at].Quoted = quoted
		p.contents(at, o.Supplier)
		p.tasks[at].After = slices.DeleteFunc(p.toShop, func(i int) bool { return i == at })
		p.brings[classBoard] = append(p.brings[classBoard], at)
	}
}

// print makes a task of all plates. Printing starts once all filament is there:
// on day 0 where stock on hand is enough.
func (p *planner) print() {
	if len(p.b.Plates) == 0 {
		return
	}
	t := Task{Kind: PrintTask, After: p.spools}
	if run := p.b.Printing; run.Known {
		t.Takes, t.Sure = daysAt(run.FinishH, hoursADay)
	}
	if !t.Sure {
		p.gap("days of printing", p.m.entries[p.b.Plates[0].Entry].Line.At("Printer"))
	}
	p.brings[classPrinted] = []int{p.add(t)}
}

// daysAt is how many days hours take at so many a day, in whole millionths, so that parts of
// a day do not come to more than the day; ok is false beyond what is planned. They are rounded
// to nine decimals first, so that the noise of binary fractions takes no millionth away.
func daysAt(hours, aDay float64) (days bom.Quantity, ok bool) {
	if d := hours / aDay; d <= plan.MaxDays.Float() {
		return bom.Quantity(math.Round(d*1e9)) / 1000, true
	}
	return 0, false
}

// bench makes a task of each kind of hand work there is.
func (p *planner) bench() {
	aDay := p.m.prices.Settings.BenchHours.InexactFloat64()
	of := map[string]int{}
	for _, step := range benchSteps {
		hours := 0.0
		for _, w := range p.b.Work {
			if w.AppliesTo == step.appliesTo {
				hours += w.Hours
			}
		}
		if hours <= 0 {
			continue
		}
		t := Task{Kind: BenchTask, Name: step.appliesTo}
		if t.Takes, t.Sure = daysAt(hours, aDay); !t.Sure {
			p.gap("days of hand work", p.m.prices.SettingPlace("Bench hours per day"))
		}
		for _, before := range step.after {
			if at, ok := of[before]; ok {
				t.After = append(t.After, at)
			}
		}
		for _, class := range step.needsAt(p.m.products.furthest()) {
			t.After = append(t.After, p.brings[class]...)
		}
		of[step.appliesTo] = p.add(t)
		p.hands = append(p.hands, of[step.appliesTo])
	}
}

// plan puts hand work in turn, one step after the other, and plans all tasks.
func (p *planner) plan() (Plan, error) {
	network := bom.Each(p.tasks, func(t *Task) plan.Task {
		return plan.Task{Days: t.Takes, After: t.After, Working: t.Kind.Working(), Arrives: t.Kind.Arrives()}
	})
	turn, err := plan.InTurn(network, p.hands, p.week)
	if err != nil {
		return Plan{}, err
	}
	for n := 1; n < len(turn); n++ {
		t := &network[turn[n]]
		t.After = append(slices.Clone(t.After), turn[n-1])
	}
	if network, err = plan.Direct(network); err != nil {
		return Plan{}, err
	}
	done, err := plan.Make(network, p.week)
	if err != nil {
		return Plan{}, err
	}
	return p.result(network, done, turn), nil
}

// result writes the plan down, hand work last and in its turn.
func (p *planner) result(network []plan.Task, done plan.Plan, turn []int) Plan {
	order := make([]int, 0, len(network))
	for i := range network {
		if p.tasks[i].Kind != BenchTask {
			order = append(order, i)
		}
	}
	order = append(order, turn...)
	at := make([]int, len(order)) // where a task of the network stands
	for n, i := range order {
		at[i] = n
	}
	out := Plan{Tasks: make([]Task, len(order)), Ready: done.End, Known: len(p.gaps) == 0, Gaps: p.gaps}
	for n, i := range order {
		t, slot := p.tasks[i], done.Slots[i]
		t.Start, t.End, t.Slack, t.Critical = slot.Start, slot.End, slot.Slack, slot.Critical()
		t.Placed, t.After = true, make([]int, 0, len(network[i].After))
		for _, before := range network[i].After {
			t.After = append(t.After, at[before])
			t.Placed = t.Placed && out.Tasks[at[before]].Known
		}
		slices.Sort(t.After)
		t.Known = t.Placed && t.Sure
		out.Tasks[n] = t
	}
	out.Path = bom.Each(done.Path, func(i *int) int { return at[*i] })
	return out
}

// waits is for how many days the order to a supplier waits for what is expected of parts
// of which it takes more than is in stock.
func (r *Run) waits(b *Batch, supplier string) (days int) {
	if len(r.WaitFor) == 0 {
		return 0
	}
	for i := range b.Purchases {
		if o := b.Purchases[i].offer; o != nil && b.Purchases[i].Supplier == supplier && o.Stock >= 0 && b.Purchases[i].Quantity > o.Stock {
			days = max(days, r.Today.DaysUntil(o.MoreOn))
		}
	}
	return days
}
