package cost_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
)

// Random jobs, all invented. Each figure is drawn as text with few decimals, so
// that ties and exact thresholds come up.

type maker struct {
	*rand.Rand
	j      *job
	names  int
	cables []string // that may be cut to several lengths
}

func (m *maker) chance(percent int) bool { return m.IntN(100) < percent }

func pick[T any](m *maker, list ...T) T { return list[m.IntN(len(list))] }

// maybe gives one of the texts, or a blank cell.
func (m *maker) maybe(percent int, texts ...string) string {
	if m.chance(percent) {
		return pick(m, texts...)
	}
	return ""
}

func (m *maker) name(prefix string) string {
	m.names++
	return fmt.Sprintf("%s-%d", prefix, m.names)
}

// worth is the rough value, in euros, of a currency, to draw prices of
// a like size in all.
var worth = map[string]float64{"EUR": 1, "USD": 0.9, "JPY": 0.006, "KWD": 3, "CHF": 1.05, "GBP": 1.2}

// price draws a price around value, in euros, as text in a currency.
func (m *maker) price(value float64, currency string) string {
	x := value * (0.5 + m.Float64()) / worth[currency]
	digits := isoDigits[currency] + m.IntN(3)
	if m.chance(3) {
		return "0"
	}
	return strconv.FormatFloat(x, 'f', digits, 64)
}

var (
	jobShops   = []string{"Corner Parts", "Far Parts", "North Parts", "Field Parts"}
	jobMakers  = []string{"Panel House", "Etch House", "Corner Parts"}
	jobPlacers = []string{"Placing House", "Far Parts", "Panel House"}
	jobSpools  = []string{"Spool House", "Corner Parts"}
)

// makeJob draws a whole job.
func makeJob(seed uint64, level string) *job {
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 11))}
	home := pick(m, "EUR", "EUR", "JPY", "KWD", "USD", "CHF")
	m.j = &job{home: home, level: level, size: pick(m, 1, 2, 3, 5, 8, 10, 17, 25, 40)}
	m.settle()
	m.partners()
	m.tree()
	m.watch()
	m.bench()
	m.loss()
	m.postage()
	m.sell()
	m.once()
	m.customs(40)
	m.limits()
	return m.j
}

// limits draws the least that is supplied in all, and lots that are sold once or twice.
func (m *maker) limits() {
	for i := range m.j.allowances {
		m.j.allowances[i].atLeast = m.maybe(25, "40", "250")
	}
	for _, q := range slices.Clone(m.j.quotes) {
		if q.lot != "" && m.chance(15) { // the same lot for less, so many times
			q.price = over(rat(q.price), ratOf(2)).FloatString(int(isoDigits[orElse(q.currency, m.j.supplier(orElse(q.fabricator, m.j.settings["Board fabricator"])).currency)]))
			q.atMost = pick(m, "1", "2", "3")
			m.j.quotes = append(m.j.quotes, q)
		}
	}
}

// customs draws what customs ask by line: of so many in a hundred jobs.
func (m *maker) customs(percent int) {
	j := m.j
	if !m.chance(percent) {
		return
	}
	for i := range j.suppliers {
		s := &j.suppliers[i]
		if m.chance(50) {
			s.dutyUpTo, s.flatDuty = m.price(15, j.home), m.price(1, j.home)
		}
		s.sent = m.maybe(40, "yes", "no")
	}
	for i := range j.offers {
		o := &j.offers[i]
		o.heading = m.maybe(60, "8533.21", "8541 10", "8542.31")
		if m.chance(25) {
			o.duty = pick(m, "0", "3.7", "14", "2.75")
		}
		if m.chance(25) {
			o.fee = m.price(0.4, orElse(o.currency, j.supplier(o.supplier).currency))
		}
	}
}

func (m *maker) settle() {
	j := m.j
	j.settings = map[string]string{"Home currency": j.home}
	set := func(percent int, name string, values ...string) {
		if m.chance(percent) {
			j.settings[name] = pick(m, values...)
		}
	}
	set(80, "Labour rate per hour", m.price(15, j.home))
	set(80, "Energy price per kWh", m.price(0.3, j.home))
	set(40, "Confidence %", "50", "80", "90", "95", "99", "99.9")
	set(40, "Unit yield %", "100", "99", "98", "95", "90", "87.5")
	j.settings["Assembler"] = "bench"
	set(70, "Assembler", jobPlacers...)
	set(50, "Board fabricator", jobMakers...)
	set(60, "Customs basis", "CIF", "FOB")
	set(40, "Tax recovered", "yes", "no")
	set(30, "Labour paid", "yes", "no")
	set(30, "Surplus worth %", "0", "80", "100")
	set(40, "Board surplus worth %", "0", "25", "100")
	set(40, "Sales tax %", "20", "7.7", "100")
	set(40, "Free units", "1", "3", "12", "all")
	set(40, "Margin %", "5", "12.5", "30")
	set(40, "Payment fee %", "2.9", "4")
	set(40, "Payment fee fixed", m.price(0.3, j.home))
	step := map[int][]string{0: {"1", "10"}, 2: {"0.05", "0.5", "1"}, 3: {"0.005", "0.25"}}
	set(50, "Round price up to", step[isoDigits[j.home]]...)
	set(30, "Post to", "home", "abroad")
	for _, c := range sortedKeys(worth) {
		if c != j.home {
			j.exchange = append(j.exchange, jobRate{c, strconv.FormatFloat(worth[c]/worth[j.home]*(0.9+0.2*m.Float64()), 'g', 4, 64)})
		}
	}
}

// partners draws the rows of suppliers; some have none.
func (m *maker) partners() {
	j := m.j
	for _, name := range []string{"Corner Parts", "Far Parts", "North Parts", "Field Parts", "Panel House", "Etch House", "Placing House", "Spool House"} {
		if m.chance(15) {
			continue
		}
		c := pick(m, "", j.home, "EUR", "USD", "JPY", "KWD")
		money := orElse(c, j.home)
		s := jobSupplier{name: name, currency: c}
		if m.chance(70) {
			s.delivery = m.price(6, money)
		}
		if m.chance(50) {
			s.freeOver = m.price(12, money)
		}
		if m.chance(40) {
			s.minimum = m.price(6, money)
		}
		if m.chance(40) {
			s.duty = pick(m, "3.7", "2", "12", "0")
			s.dutyUpTo = m.maybe(60, m.price(25, j.home))
		}
		if m.chance(40) {
			s.tax = pick(m, "19", "21", "8.1")
			s.taxUpTo = m.maybe(50, m.price(12, j.home))
		}
		if m.chance(60) {
			s.handling = m.price(4, j.home)
		}
		if m.chance(60) {
			s.consign = m.price(1.5, money)
		}
		j.suppliers = append(j.suppliers, s)
	}
	for _, name := range jobPlacers {
		c := m.maybe(50, j.home, "EUR", "USD", "JPY")
		money := orElse(c, j.supplier(name).currency)
		a := jobAssembler{name: name, currency: c}
		for _, f := range []struct {
			cell    *string
			percent int
			value   float64
		}{{&a.setUp, 80, 30}, {&a.stencil, 60, 10}, {&a.secondSide, 60, 8}, {&a.perLine, 60, 1}, {&a.perPlacement, 70, 0.02},
			{&a.perJoint, 50, 0.004}, {&a.minimum, 40, 60}} {
			if m.chance(f.percent) {
				*f.cell = m.price(f.value, money)
			}
		}
		a.kept = m.maybe(25, "yes", "no")
		a.dpmo = m.maybe(60, "0", "50", "500", "2000", "12.5")
		j.assemblers = append(j.assemblers, a)
	}
}

// tree draws the bills of materials.
func (m *maker) tree() {
	unit := &jobList{file: "unit.csv"}
	m.j.unit = unit
	for range 1 + m.IntN(5) {
		unit.rows = append(unit.rows, m.row(false))
	}
	var boards []*jobRow
	for range m.IntN(3) {
		b := m.board()
		boards = append(boards, b)
		unit.rows = append(unit.rows, b)
	}
	for range m.IntN(3) {
		unit.rows = append(unit.rows, m.assembly(boards, 2))
	}
	if m.chance(60) {
		unit.rows = append(unit.rows, m.packing(true))
	}
	if m.chance(40) {
		unit.rows = append(unit.rows, m.packing(false))
	}
	if len(boards) > 0 && m.chance(15) {
		again := *boards[0] // the same board on a second row
		again.quantity = "1"
		unit.rows = append(unit.rows, &again)
	}
	for _, r := range slices.Clone(unit.rows) {
		if r.kind == "assembly" && m.chance(25) { // and the same sub-assembly
			again := *r
			again.part, again.quantity = m.name("ASSY"), "2"
			unit.rows = append(unit.rows, &again)
		}
	}
	m.Shuffle(len(unit.rows), func(i, j int) { unit.rows[i], unit.rows[j] = unit.rows[j], unit.rows[i] })
	if !unit.fitted() { // a list that makes nothing is refused
		first := unit.rows[0]
		for ; first.sub != nil; first = first.sub.rows[0] {
			first.fitted = ""
		}
		first.fitted = ""
	}
}

// fitted tells whether a row of a list, or of one below it, is fitted.
func (l *jobList) fitted() bool {
	return slices.ContainsFunc(l.rows, func(r *jobRow) bool { return r.fitted != "no" && (r.sub == nil || r.sub.fitted()) })
}

func (m *maker) assembly(boards []*jobRow, depth int) *jobRow {
	l := &jobList{file: m.name("part") + ".csv"}
	for range 1 + m.IntN(3) {
		l.rows = append(l.rows, m.row(false))
	}
	if len(boards) > 0 && m.chance(20) {
		again := *pick(m, boards...)
		l.rows = append(l.rows, &again)
	} else if m.chance(20) {
		l.rows = append(l.rows, m.board())
	}
	if depth > 0 && m.chance(30) {
		l.rows = append(l.rows, m.assembly(nil, depth-1))
	}
	r := &jobRow{part: m.name("ASSY"), kind: "assembly", quantity: pick(m, "1", "2", "3"), sub: l}
	m.fate(r)
	return r
}

func (m *maker) board() *jobRow {
	r := &jobRow{part: m.name("PCB"), kind: "board", quantity: pick(m, "1", "1", "2", "3"), mass: m.maybe(70, "5", "7.25")}
	l := &jobList{file: strings.ToLower(r.part) + ".csv"}
	for range m.IntN(6) {
		l.rows = append(l.rows, m.chip())
	}
	for range 1 + m.IntN(3) {
		l.rows = append(l.rows, m.row(true))
	}
	r.sub = l
	m.quote(r.part)
	if m.chance(15) {
		m.hold(r.part, strconv.Itoa(1+m.IntN(12)), 2)
	}
	m.fate(r)
	return r
}

// fate leaves some rows out, or gives them a level.
func (m *maker) fate(r *jobRow) {
	r.fitted = m.maybe(12, "no", "yes")
	r.level = m.maybe(12, "board", "kit", "built")
}

// known gives a part that other rows use as well, or a new one.
func (m *maker) known(prefix string) string {
	if m.chance(25) && len(m.j.offers) > 0 {
		if part := pick(m, m.j.offers...).part; !strings.HasPrefix(part, "CABLE") {
			return part
		}
	}
	return m.fresh(prefix)
}

func (m *maker) fresh(prefix string) string {
	part := m.name(prefix)
	m.offer(part)
	if m.chance(20) {
		m.hold(part, pick(m, "3", "12", "100", "2500"), 0.1)
	}
	return part
}

// chip draws an SMT row.
func (m *maker) chip() *jobRow {
	r := &jobRow{bench: m.maybe(10, "12", "0"), part: m.known("SMD"), kind: "part", mount: "SMT", side: m.maybe(60, "top", "bottom"), mass: m.maybe(30, "0.02"), joints: pick(m, "2", "3", "8", "44")}
	if m.chance(50) {
		r.pkg, r.joints = pick(m, "0603", "0805"), m.maybe(50, "2")
	} else {
		r.pkg = m.maybe(60, "SO8", "QFN-20")
	}
	if m.chance(50) {
		r.refs = m.name("R") // one designator, one piece
		r.refs = strings.ReplaceAll(r.refs, "-", "")
		r.quantity = "1"
	} else {
		r.quantity = strconv.Itoa(1 + m.IntN(6))
	}
	m.fate(r)
	return r
}

// row draws a row that no machine places.
func (m *maker) row(onBoard bool) *jobRow {
	r := &jobRow{quantity: strconv.Itoa(1 + m.IntN(6)), bench: m.maybe(12, "20", "7.5", "0"), mass: m.maybe(60, "0.6", "3", "12.5")}
	switch kind := pick(m, "tht", "tht", "fastener", "insert", "wire", "other", "printed", "smt"); kind {
	case "tht":
		r.part, r.kind, r.mount, r.joints, r.pkg = m.known("THT"), "part", "THT", strconv.Itoa(1+m.IntN(4)), m.maybe(30, "DIP8")
	case "smt":
		if !onBoard {
			chip := m.chip()
			chip.refs = ""
			return chip
		}
		r.part, r.kind = m.known("ODD"), "other"
	case "wire":
		if m.chance(50) {
			m.cable(r)
			break
		}
		r.part, r.kind, r.quantity = m.known("WIRE"), "wire", pick(m, "0.25", "1.2", "0.125", "3")
	case "printed":
		m.printed(r)
	default:
		r.part, r.kind = m.known(strings.ToUpper(kind)), kind
	}
	m.fate(r)
	return r
}

// cable draws a row of leads: of a part that is cut to one length, from what each offer
// says, or of one that others may be cut from to other lengths, from rings alike.
func (m *maker) cable(r *jobRow) {
	r.kind, r.quantity, r.cut = "wire", pick(m, "1", "2", "7"), pick(m, "120", "850.5", "1300", "2000")
	if len(m.cables) > 0 && m.chance(80) {
		r.part = pick(m, m.cables...)
		return
	}
	r.part = m.fresh("CABLE")
	rings := []string{pick(m, "5", "10", "25.25")}
	if m.chance(50) {
		rings = []string{"5", "10", ""}
	} else {
		m.cables = append(m.cables, r.part)
	}
	for i := range m.j.offers {
		if o := &m.j.offers[i]; o.part == r.part {
			if o.cutFrom = pick(m, rings...); o.cutFrom != "" {
				o.pieces = m.maybe(30, "2", "5")
			}
		}
	}
}

func (m *maker) printed(r *jobRow) {
	j := m.j
	r.part, r.kind = m.name("PRINT"), "printed"
	r.material = pick(m, "PLA white", "PETG green", "ASA black")
	r.grams, r.hours = pick(m, "4", "12.5", "38.4", "120"), pick(m, "0.2", "0.35", "1.5", "4.25")
	r.perPlate = m.maybe(60, "1", "2", "5", "12")
	if len(j.printers) == 0 {
		for range 1 + m.IntN(2) {
			p := jobPrinter{name: m.name("Printer"), count: m.maybe(40, "1", "2", "3"), power: m.maybe(80, "95", "120", "72.5"),
				rate: m.maybe(80, m.price(0.2, j.home)), failure: m.maybe(60, "0", "4", "10", "2.5")}
			if m.chance(50) {
				p.from, p.to = m.maybe(80, "08:00", "18:00", "22:00"), pick(m, "21:30", "06:00", "23:00")
			}
			j.printers = append(j.printers, p)
		}
	}
	if m.chance(50) {
		r.printer = pick(m, j.printers...).name
	}
	for _, s := range j.spools {
		if s.material == r.material {
			return
		}
	}
	for range 1 + m.IntN(3) {
		s := jobSpool{material: r.material, grams: pick(m, "250", "500", "750", "1000", "2300"), supplier: pick(m, jobSpools...)}
		if !slices.ContainsFunc(j.spools, func(o jobSpool) bool {
			return o.material == s.material && o.grams == s.grams && o.supplier == s.supplier
		}) {
			s.currency, s.worth = m.maybe(15, "EUR", "JPY"), m.maybe(15, "0", "60")
			s.price = m.price(float64(8+atoi(s.grams, 0)/60), orElse(s.currency, j.supplier(s.supplier).currency))
			j.spools = append(j.spools, s)
		}
	}
	if m.chance(25) {
		m.hold(r.material, pick(m, "120", "350.5", "5000"), 0.02)
	}
}

// watch has some printers attended until a plate ends, where that holds the longest one.
func (m *maker) watch() {
	longest := 0.0
	var look func(l *jobList)
	look = func(l *jobList) {
		for _, r := range l.rows {
			if r.sub != nil {
				look(r.sub)
			} else if r.kind == "printed" {
				h, _ := strconv.ParseFloat(r.hours, 64)
				longest = max(longest, h*float64(atoi(r.perPlate, 1)))
			}
		}
	}
	look(m.j.unit)
	for i := range m.j.printers {
		watched := m.j.printers[i]
		watched.runsOn = "no"
		if _, holds := watched.starts(0, int64(3600*longest)); holds && m.chance(60) {
			m.j.printers[i] = watched
		}
	}
}

func (m *maker) packing(box bool) *jobRow {
	r := &jobRow{bench: m.maybe(10, "15"), part: m.known("PACK"), kind: "packing", quantity: "1", mass: m.maybe(80, "6", "40")}
	if box {
		r.part, r.length, r.width, r.height = m.fresh("BOX"), pick(m, "150", "190", "320"), pick(m, "100", "130"), pick(m, "25", "60", "80.5")
	} else {
		m.fate(r)
	}
	return r
}

// once draws costs that fall due once.
func (m *maker) once() {
	for m.chance(35) {
		o := jobOnce{what: m.name("jig"), category: m.maybe(30, "tooling", "other parts", "labour", "SMT assembly"), payee: m.maybe(60, "Corner Parts", "workshop"),
			price: m.price(20, m.j.home), over: m.maybe(60, "1", "10", "25", "400"), paid: m.maybe(30, "yes", "no")}
		if o.over != "" {
			o.before = m.maybe(40, "0", "5", "30")
		}
		m.j.once = append(m.j.once, o)
	}
}

// hold puts something on hand.
func (m *maker) hold(part, quantity string, value float64) {
	m.j.stock = append(m.j.stock, jobDrawer{part, quantity, m.maybe(80, m.price(value, m.j.home)), m.maybe(30, "sponsor", "neighbour", "maker")})
	if m.chance(30) { // more of it, of another giver and value
		m.j.stock = append(m.j.stock, jobDrawer{part, pick(m, "1", "3", "60"), m.price(value*1.3, m.j.home), "club"})
	}
}

// offer draws the offers for a part; the last one never runs dry.
func (m *maker) offer(part string) {
	value := pick(m, 0.05, 0.1, 0.6, 4)
	n := 1 + m.IntN(3)
	for i := range n {
		o := jobOffer{part: part, supplier: pick(m, jobShops...), code: m.name("c"), multiple: m.maybe(40, "1", "2", "5", "10"), moq: m.maybe(40, "1", "5", "10", "25")}
		if m.chance(20) {
			o.supplier = pick(m, jobPlacers...)
		}
		c := m.j.supplier(o.supplier).currency
		if m.chance(10) {
			o.currency = pick(m, "EUR", "USD", "JPY")
			c = o.currency
		}
		pieces := 1.0
		if m.chance(25) {
			o.pieces = pick(m, "5", "50", "100", "2.5")
			pieces, _ = strconv.ParseFloat(o.pieces, 64)
		}
		o.worth = m.maybe(15, "0", "40", "100", "33.3")
		if i < n-1 {
			o.stock = m.maybe(50, "0", "20", "60", "300", "1000")
		}
		from, level := atoi(orElse(o.moq, "1"), 1), value
		for range 1 + m.IntN(4) {
			o.from, o.price = append(o.from, strconv.FormatInt(from, 10)), append(o.price, m.price(level*pieces, c))
			from, level = from*int64(2+m.IntN(5)), level*pick(m, 0.9, 0.7, 1)
		}
		m.j.offers = append(m.j.offers, o)
	}
}

// quote draws the quotes for a board: lots of one or two fabricators, or an
// option priced by area.
func (m *maker) quote(board string) {
	for range 1 + m.IntN(2) {
		q := jobQuote{board: board, fabricator: orElse(m.j.settings["Board fabricator"], pick(m, jobMakers...)), option: m.maybe(40, "2 layers", "4 layers")}
		if m.j.settings["Board fabricator"] != "" && m.chance(40) {
			q.fabricator = ""
		}
		q.currency, q.worth = m.maybe(15, "EUR", "JPY"), m.maybe(20, "0", "50", "100")
		c := orElse(q.currency, m.j.supplier(orElse(q.fabricator, m.j.settings["Board fabricator"])).currency)
		if m.taken(q) {
			continue
		}
		if m.chance(30) {
			area := q
			area.length, area.width, area.setUp, area.perDM2 = pick(m, "50", "82.5"), pick(m, "30", "41"), m.price(25, c), m.price(3, c)
			m.j.quotes = append(m.j.quotes, area)
		}
		for _, lot := range [][]string{{"10"}, {"5", "10", "50"}, {"7", "30"}, {"100"}}[m.IntN(4)] {
			lotQuote := q
			lotQuote.lot, lotQuote.price = lot, m.price(8+0.6*float64(atoi(lot, 0)), c)
			m.j.quotes = append(m.j.quotes, lotQuote)
		}
	}
}

func (m *maker) taken(q jobQuote) bool {
	by := func(q jobQuote) string {
		return orElse(q.fabricator, m.j.settings["Board fabricator"]) + "/" + q.option
	}
	for _, other := range m.j.quotes {
		if other.board == q.board && by(other) == by(q) {
			return true
		}
	}
	return false
}

func (m *maker) bench() {
	bases := map[string][]string{
		"smt": {"joint", "piece", "unit", "batch"}, "tht": {"joint", "piece", "unit", "batch"}, "fastener": {"piece", "unit", "batch"},
		"insert": {"piece", "unit"}, "wire": {"piece", "batch"}, "printed": {"piece", "plate", "unit", "batch"}, "test": {"piece", "unit", "batch"},
		"bagging": {"piece", "unit", "batch"}, "packing": {"piece", "unit", "batch"},
	}
	for range m.IntN(9) {
		to := pick(m, sortedKeys(bases)...)
		m.j.work = append(m.j.work, jobWork{m.name("op"), to, pick(m, bases[to]...), pick(m, "6", "9.5", "45", "600"), m.maybe(50, "100", "95", "80", "90"),
			m.maybe(20, "1", "20", "7"), m.maybe(25, "0", "40", "250", "12345"), m.maybe(20, "100", "10", "2.5")})
	}
}

func (m *maker) loss() {
	seen := map[string]bool{}
	for range m.IntN(7) {
		a := jobAllowance{pick(m, "smt", "smt", "tht", "fastener", "packing", "other"), m.maybe(40, "0603", "SO8", "DIP8"), m.maybe(70, "2", "5", "10", "2.5"), m.maybe(60, "1", "5", "12"), ""}
		if key := a.appliesTo + a.pkg; !seen[key] {
			seen[key] = true
			m.j.allowances = append(m.j.allowances, a)
		}
	}
}

func (m *maker) postage() {
	if m.chance(25) {
		return
	}
	for range m.IntN(4) {
		s := jobService{name: m.name("post"), to: pick(m, "home", "abroad"), maxG: m.maybe(70, "50", "250", "1000"),
			length: m.maybe(50, "200", "350"), width: m.maybe(50, "120", "250"), height: m.maybe(50, "25", "100"), divisor: m.maybe(40, "5000", "6000")}
		s.currency = m.maybe(30, "EUR", "USD", "JPY")
		s.price = m.price(4, orElse(s.currency, m.j.home))
		s.value, s.excludes = m.maybe(25, "0", m.price(60, orElse(s.currency, m.j.home)), m.price(900, orElse(s.currency, m.j.home))), m.maybe(25, "cells", "Cells, magnets", "magnets,glue")
		m.j.services = append(m.j.services, s)
	}
	freight := jobService{name: "freight", to: m.j.settings["Post to"], price: m.price(20, m.j.home), divisor: "5000"}
	if m.chance(50) {
		freight.to = ""
		for _, zone := range []string{"home", "abroad", "islands"}[:1+m.IntN(3)] {
			z := jobZone{zone: zone, count: pick(m, "0", "1", "2", "3", "7", "20", strconv.Itoa(m.j.size))}
			z.per, z.cartonG = m.maybe(40, "1", "2", "3", "10"), m.maybe(30, "0", "35", "120.5")
			if m.chance(30) {
				z.length, z.width, z.height = pick(m, "200", "340"), pick(m, "120", "240"), pick(m, "25", "99.5")
			}
			m.j.zones = append(m.j.zones, z)
		}
	}
	m.j.services = append(m.j.services, freight)
	m.hazards(m.j.unit)
	m.j.price = m.maybe(25, m.price(25, m.j.home), m.price(250, m.j.home))
}

// hazards makes some of what the unit holds hard to send.
func (m *maker) hazards(l *jobList) {
	for _, r := range l.rows {
		r.hazard = m.maybe(4, "cells", "CELLS", "glue, magnets", "paint")
		if r.sub != nil {
			m.hazards(r.sub)
		}
	}
}

// prints are what is printed, and of what.
func (m *maker) prints() (out []string) {
	var look func(l *jobList)
	look = func(l *jobList) {
		for _, r := range l.rows {
			if r.sub != nil {
				look(r.sub)
			} else if r.kind == "printed" {
				out = append(out, r.part, r.material)
			}
		}
	}
	look(m.j.unit)
	return out
}

func (m *maker) sell() {
	var things []string
	for _, o := range m.j.offers {
		things = append(things, o.part)
	}
	things = append(append(things, jobShops...), m.prints()...)
	things = append(things, "bare boards", "SMT parts", "fasteners", "postage", "delivery", "duty and tax", "labour", "SMT assembly", "printed parts")
	seen := map[string]bool{}
	for range m.IntN(5) {
		to := pick(m, things...)
		if seen[to] {
			continue
		}
		seen[to] = true
		split := [][]string{{"100"}, {"60", "40"}, {"33.3", "33.3", "33.4"}, {"12.5", "87.5"}}[m.IntN(4)]
		for i, percent := range split {
			m.j.shares = append(m.j.shares, jobShare{to, []string{"sponsor", "maker", "recipient"}[i], percent})
		}
	}
}
