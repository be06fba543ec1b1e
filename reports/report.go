package reports

import (
	"tenoff/cost"
	"tenoff/cost/rulecost"
	"tenoff/cost/sweep"
	"tenoff/cost/trial"
)

// Report is an estimate with what was asked for besides.
type Report struct {
	*cost.Estimate
	Curve   *sweep.Curve     // over a range of batch sizes; nil: none was swept
	Pricing *sweep.Pricing   // what given prices bring; nil: none was given
	Levels  []sweep.LevelRun // side by side
	Extras  []rulecost.Extra // what each rule of the run adds, and each thing that is taken for gone
	Chances *trial.Chances   // what it may turn out to cost; nil: no trials were made
}
