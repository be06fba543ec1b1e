package cost

// TrialAt reckons a batch as a trial does, with all luck as planned and each
// figure that is drawn at a multiple of its value; in home minor units.
func TrialAt(run Run, b *Batch, multiple func(name string) float64) (cash, used int64) {
	m, problems := New(run)
	if m == nil {
		panic(problems[0].String())
	}
	t := m.newTrial(b)
	o := t.asPlanned()
	for i, in := range t.inputs {
		if !in.Happens {
			o.x[i] *= multiple(in.Name)
		}
	}
	o.again(t.all())
	return o.total.cash, o.total.used
}
