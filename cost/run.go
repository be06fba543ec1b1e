package cost

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Run is what is to be estimated.
type Run struct {
	Name      string // of the unit
	Unit      *bom.Assembly
	Prices    *bom.Prices
	Level     bom.Level
	Batches   []int          // units of all products, where the run is of several: those of each plan
	Programme *bom.Programme // the products and plans, of which Unit is the lists together; nil: one product
	Today     bom.Date       // prices are aged against it; zero: not at all
	Rules     Rules
	Take      []Swap            // substitutes that are used
	Scarce    Scarcity          // what is taken for gone
	Free      *int64            // units that are given away, for the setting; bom.AllFree: all
	Repeat    bool              // one-off costs are paid already, and so are the stencils of the assembler
	Why       bool              // tells what other offers and suppliers would cost
	Record    bool              // each batch tells its plan to fill in, and what it leaves
	Effort    int64             // steps that the proof of the purchases of one batch size may take; 0: buy.DefaultEffort
	Price     []decimal.Decimal // what a buyer pays for a unit of each product, tax included, where that is known: what a unit is worth in the post
	Stop      func() bool       // true gives the proofs of the purchases up; nil: never; asked from several goroutines at once

	Substitutes bool // each batch takes substitutes that the price sheet allows where that is cheaper, or wanted

	Anywhere []string // parts that are bought from offers that the rules leave out as well
	WaitFor  []string // parts of which what is expected is waited for

	picked    *picked // substitutes that were decided on; nil: yet to be
	mustPrice bool    // what has no price is an error, and not shown as unknown
}

// MaxBatch is the largest batch that is computed.
const MaxBatch = 1_000_000

// Rules narrow what may be ordered, for the sake of fewer orders or less
// waiting.
type Rules struct {
	AtMost      int      // orders; 0: no bound
	Without     []string // suppliers that nothing is ordered from
	By          bom.Date // day on which every order must have arrived; zero: none
	InStockOnly bool     // only offers whose stock is stated
}

// Any tells whether there is a rule at all.
func (r Rules) Any() bool {
	return r.AtMost > 0 || len(r.Without) > 0 || !r.By.IsZero() || r.InStockOnly
}

// Swap puts one part in the place of another throughout the run. Parts are
// named as in the bill of materials.
type Swap struct {
	Part       string
	Substitute string

	Unlisted bool // the tab substitutes need not list it
	Mixed    bool // it is taken for what the stock of the part does not cover
}

// Scarcity is what is taken for gone, whatever the price sheet says.
type Scarcity struct {
	Dry  []string // suppliers whose offers have nothing left
	Left []Left
}

// Left is how many pieces are left of a part over all its offers.
type Left struct {
	Part   string
	Pieces bom.Quantity
}

// picked are the rows of the tab substitutes that some batch takes, and what was decided on
// for each batch.
type picked struct {
	rows    []int
	batches map[planSize]decision
}

// planSize tells one batch from another: its size, and of several products the plan that
// shares it out.
type planSize struct {
	plan *bom.Plan
	size int
}

// decision is what a batch takes of substitutes.
type decision struct {
	takes []bom.Quantity      // by swap: the pieces that are of the substitute; bom.MaxQuantity: all
	low   decimal.NullDecimal // no plan of any choice comes to less; not valid where something cannot be bought
	every bool                // all choices were weighed
	tried int
}

// name is what the unit is called, by its list where nothing else is said.
func (r *Run) name() string {
	return cmp.Or(r.Name, bom.Stem(r.Unit.File))
}

// missing complains of a run that nothing can be computed of.
func (r *Run) missing() (problems bom.Problems) {
	if r.Unit == nil {
		problems.Errorf(bom.Place{}, "", "the lines of a unit", "the run has no bill of materials")
	}
	if r.Prices == nil {
		problems.Errorf(bom.Place{}, "", "prices in a home currency", "the run has no price sheet")
	}
	if r.Programme != nil {
		problems = append(problems, r.wrongPlans()...)
	} else if !slices.Contains(bom.Levels, r.Level) {
		problems.Errorf(bom.Place{}, strconv.Itoa(int(r.Level)), "bom.LevelBoard, LevelKit or LevelBuilt", "the run has no level")
	}
	return problems
}

// wrongPlans complains of plans that cannot be computed together.
func (r *Run) wrongPlans() (problems bom.Problems) {
	p := r.Programme
	for _, plan := range bom.Refs(p.Plans) {
		all := plan.All()
		if all < 1 || all > MaxBatch {
			problems.Errorf(plan.Place, strconv.Itoa(all), "1 to "+strconv.Itoa(MaxBatch)+" in all", "units of the plan")
		}
	}
	return problems
}

// gap is how grave it is that something has no price: what it belongs to is shown
// as unknown, unless the run is one of two that are compared.
func (r *Run) gap() bom.Severity {
	if r.mustPrice {
		return bom.Error
	}
	return bom.Warning
}

// free is how many units are given away, however many are made.
func (r *Run) free() int64 {
	if r.Free != nil {
		return *r.Free
	}
	return r.Prices.Settings.FreeUnits
}
