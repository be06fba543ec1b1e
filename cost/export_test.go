package cost

import "math"

// TrialAt reckons a batch as a trial does, with all luck as planned and each
// value that is drawn at a multiple of its value; in home minor units.
func TrialAt(run Run, b *Batch, multiple func(name string) float64) (cash, used int64) {
	m, problems := New(run)
	if m == nil {
		panic(problems[0].String())
	}
	t := newTrial(m.of(b), b)
	o := t.asPlanned()
	for i, in := range t.inputs {
		if !in.Happens {
			o.x[i] *= multiple(in.Name)
		}
	}
	o.run()
	minor := func(amount float64) int64 { return int64(math.Round(amount * math.Pow10(int(m.home.Digits)))) }
	return minor(o.cash()), minor(t.program.Value(t.used))
}
