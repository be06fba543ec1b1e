package cost_test

import (
	"encoding/csv"
	"fmt"
	"strings"
)

// A job is a whole run as a maker would type it: every figure is the text that
// stands in the cell. The second reckoning works from these texts alone, and
// the program reads them from the CSV files that job.input writes.
type job struct {
	unit       *jobList
	level      string // board, kit or built
	size       int    // good units wanted
	settings   map[string]string
	home       string
	exchange   []jobRate
	suppliers  []jobSupplier
	offers     []jobOffer
	quotes     []jobQuote
	panels     []jobPanel
	assemblers []jobAssembler
	tiers      []jobTier
	allowances []jobAllowance
	work       []jobWork
	spools     []jobSpool
	printers   []jobPrinter
	services   []jobService
	zones      []jobZone
	stock      []jobDrawer
	shares     []jobShare
	once       []jobOnce
	swaps      []jobSwap
	price      string // of a unit, as --price gives it; blank for none
}

// jobList is one bill of materials.
type jobList struct {
	file string
	rows []*jobRow
}

// jobRow is a row of a bill of materials; blank text is a blank cell.
type jobRow struct {
	refs, quantity, part, pkg, kind, mount, joints, side, fitted, level string
	material, grams, hours, perPlate, printer                           string
	cut, bench, mass, length, width, height, hazard                     string
	sub                                                                 *jobList
}

type jobRate struct{ currency, rate string }

type jobSupplier struct {
	name, currency, delivery, freeOver, minimum, duty, tax, dutyUpTo, taxUpTo, flatDuty, handling, consign, sent string
}

// jobOffer is an offer with its breaks, as parallel lists.
type jobOffer struct {
	part, supplier, code, stock, moq, multiple, pieces, cutFrom, currency, fee, heading, duty, worth string
	from, price                                                                                      []string
}

type jobQuote struct {
	board, fabricator, lot, price, currency, length, width, option, setUp, perDM2, worth, atMost string
}

type jobAssembler struct {
	name, currency, setUp, stencil, kept, secondSide, perLine, perPlacement, perJoint, minimum, dpmo string
	perBoard, handSetUp, perHandJoint                                                                string
}

type jobPanel struct{ panel, board, per, across, gap, border, xOuts string }

// jobTier is a row of an assembler's quote.
type jobTier struct{ assembler, board, from, each, setUp, parts, handFit, currency string }

type jobAllowance struct{ appliesTo, pkg, percent, pieces, atLeast string }

type jobWork struct{ operation, appliesTo, basis, seconds, learning, timedAt, before, share string }

type jobSpool struct{ material, grams, price, currency, supplier, worth string }

type jobPrinter struct{ name, count, power, rate, failure, from, to, runsOn string }

type jobService struct{ name, to, maxG, length, width, height, value, excludes, price, currency, divisor string }

type jobZone struct{ zone, count, per, cartonG, length, width, height string }

type jobDrawer struct{ part, quantity, value, giver string }

type jobOnce struct{ what, category, payee, price, currency, over, before, paid string }

type jobShare struct{ appliesTo, payer, percent string }

// settingNames are those that a job may hold, in the order of the schema.
var settingNames = []string{
	"Home currency", "Labour rate per hour", "Energy price per kWh", "Confidence %", "Unit yield %",
	"Assembler", "Through-hole at", "Board fabricator", "Customs basis", "Tax recovered", "Margin %", "Payment fee %",
	"Payment fee fixed", "Round price up to", "Post to", "Labour paid", "Sales tax %", "Free units", "Surplus worth %", "Board surplus worth %",
}

// input writes the job as the texts that the program reads.
func (j *job) input() input {
	in := input{}
	j.unit.write(in)
	var settings [][]string
	for _, name := range settingNames {
		if value, ok := j.settings[name]; ok {
			settings = append(settings, []string{name, value})
		}
	}
	tab := func(name, headings string, rows [][]string) {
		if len(rows) > 0 {
			in["prices/"+name+".csv"] = csvText(headings, rows)
		}
	}
	tab("settings", "Setting,Value", settings)
	tab("exchange", "Currency,Rate", rowsOf(j.exchange, func(r jobRate) []string { return []string{r.currency, r.rate} }))
	tab("suppliers", "Supplier,Currency,Delivery,Free delivery over,Minimum order,Duty %,Import tax %,Duty free up to,Tax free up to,Flat duty per heading,Handling fee,Consignment fee per line,Parts sent count",
		rowsOf(j.suppliers, func(s jobSupplier) []string {
			return []string{s.name, s.currency, s.delivery, s.freeOver, s.minimum, s.duty, s.tax, s.dutyUpTo, s.taxUpTo, s.flatDuty, s.handling, s.consign, s.sent}
		}))
	var offers [][]string
	for _, o := range j.offers {
		for i := range o.from {
			offers = append(offers, []string{o.part, o.supplier, o.code, o.stock, o.moq, o.multiple, o.pieces, o.cutFrom, o.currency, o.from[i], o.price[i], o.fee, o.heading, o.duty, o.worth})
		}
	}
	tab("offers", "Part number,Supplier,Order code,Stock,MOQ,Multiple,Pieces,Cut from m,Currency,From,Price,Line fee,Heading,Duty %,Surplus worth %", offers)
	tab("boards", "Board,Fabricator,Lot,Price,Currency,Length mm,Width mm,Option,Set-up,Per dm2,At most,Surplus worth %", rowsOf(j.quotes, func(q jobQuote) []string {
		return []string{q.board, q.fabricator, q.lot, q.price, q.currency, q.length, q.width, q.option, q.setUp, q.perDM2, q.atMost, q.worth}
	}))
	tab("panels", "Panel,Board,Per panel,Across,Gap mm,Border mm,X-outs", rowsOf(j.panels, func(p jobPanel) []string {
		return []string{p.panel, p.board, p.per, p.across, p.gap, p.border, p.xOuts}
	}))
	tab("assembly-quotes", "Assembler,Board,From,Price each,Set-up,Parts,Hand-fit,Currency", rowsOf(j.tiers, func(r jobTier) []string {
		return []string{r.assembler, r.board, r.from, r.each, r.setUp, r.parts, r.handFit, r.currency}
	}))
	tab("assembly", "Assembler,Currency,Set-up,Stencil,Stencil kept,Second side,Per line,Per placement,Per joint,Minimum,DPMO,Per board,Hand set-up,Per hand joint", rowsOf(j.assemblers, func(a jobAssembler) []string {
		return []string{a.name, a.currency, a.setUp, a.stencil, a.kept, a.secondSide, a.perLine, a.perPlacement, a.perJoint, a.minimum, a.dpmo, a.perBoard, a.handSetUp, a.perHandJoint}
	}))
	tab("attrition", "Applies to,Package,Percent,Pieces,At least", rowsOf(j.allowances, func(a jobAllowance) []string {
		return []string{a.appliesTo, a.pkg, a.percent, a.pieces, a.atLeast}
	}))
	tab("hand-work", "Operation,Applies to,Basis,Seconds,Learning %,Timed at,Done before,Share %", rowsOf(j.work, func(w jobWork) []string {
		return []string{w.operation, w.appliesTo, w.basis, w.seconds, w.learning, w.timedAt, w.before, w.share}
	}))
	tab("materials", "Material,Spool g,Spool price,Currency,Supplier,Surplus worth %", rowsOf(j.spools, func(s jobSpool) []string {
		return []string{s.material, s.grams, s.price, s.currency, s.supplier, s.worth}
	}))
	tab("printers", "Printer,Count,Power W,Hourly rate,Failure %,Attended from,Attended to,Runs on unattended", rowsOf(j.printers, func(p jobPrinter) []string {
		return []string{p.name, p.count, p.power, p.rate, p.failure, p.from, p.to, p.runsOn}
	}))
	tab("postage", "Service,To,Max g,Max length mm,Max width mm,Max height mm,Max value,Excludes,Price,Currency,Volumetric divisor", rowsOf(j.services, func(s jobService) []string {
		return []string{s.name, s.to, s.maxG, s.length, s.width, s.height, s.value, s.excludes, s.price, s.currency, s.divisor}
	}))
	tab("recipients", "Zone,Count,Units per parcel,Carton g,Carton length mm,Carton width mm,Carton height mm", rowsOf(j.zones, func(z jobZone) []string {
		return []string{z.zone, z.count, z.per, z.cartonG, z.length, z.width, z.height}
	}))
	tab("on-hand", "Part number,Quantity,Unit value,Given by", rowsOf(j.stock, func(d jobDrawer) []string {
		return []string{d.part, d.quantity, d.value, d.giver}
	}))
	tab("substitutes", "Part number,Substitute,Extra per unit,Extra per batch,Extra seconds per unit,Mix", rowsOf(j.swaps, func(s jobSwap) []string {
		return []string{s.part, s.substitute, s.perUnit, s.perBatch, s.seconds, s.mix}
	}))
	tab("one-off", "What,Category,Payee,Price,Currency,Spread over,Units before,Paid already", rowsOf(j.once, func(o jobOnce) []string {
		return []string{o.what, o.category, o.payee, o.price, o.currency, o.over, o.before, o.paid}
	}))
	tab("who-pays", "Applies to,Payer,Share %", rowsOf(j.shares, func(s jobShare) []string {
		return []string{s.appliesTo, s.payer, s.percent}
	}))
	return in
}

// write adds the list and all below it to the texts.
func (l *jobList) write(in input) {
	rows := rowsOf(l.rows, func(r *jobRow) []string {
		file := ""
		if r.sub != nil {
			file = r.sub.file
			r.sub.write(in)
		}
		return []string{r.refs, r.quantity, r.part, r.pkg, r.kind, r.mount, r.joints, r.side, r.fitted, r.level, file,
			r.material, r.grams, r.hours, r.perPlate, r.printer, r.cut, r.bench, r.mass, r.length, r.width, r.height, r.hazard}
	})
	in[l.file] = csvText("Designator,Quantity,Part number,Package,Kind,Mount,Joints,Side,Fitted,Level,File,"+
		"Material,Filament g,Print hours,Per plate,Printer,Cut mm,Bench s,Mass g,Length mm,Width mm,Height mm,Hazard", rows)
}

func rowsOf[T any](list []T, cells func(T) []string) [][]string {
	var rows [][]string
	for _, x := range list {
		rows = append(rows, cells(x))
	}
	return rows
}

// csvText leaves out the columns in which no row says anything, but for the
// first two, by which the heading row is known.
func csvText(headings string, rows [][]string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	names := strings.Split(headings, ",")
	for _, row := range append([][]string{names}, rows...) {
		var kept []string
		for col := range names {
			for _, r := range rows {
				if r[col] != "" || col < 2 {
					kept = append(kept, row[col])
					break
				}
			}
		}
		if err := w.Write(kept); err != nil {
			panic(err)
		}
	}
	w.Flush()
	return b.String()
}

// String gives all texts, for the report of a disagreement.
func (j *job) String() string {
	in := j.input()
	var b strings.Builder
	fmt.Fprintf(&b, "level %s, batch %d\n", j.level, j.size)
	for _, name := range sortedKeys(in) {
		fmt.Fprintf(&b, "-- %s --\n%s", name, in[name])
	}
	return b.String()
}
