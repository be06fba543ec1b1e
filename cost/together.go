package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/workers"
)

// Costs works out what many batch sizes of the first plan cost, and nothing of their days, on
// all processors at once. What comes of each, by its place among the sizes, is handed on from
// several goroutines at once. It is asked between sizes whether to stop; nil: never. Where it
// was stopped the rest is left, and so is told.
func (m *Model) Costs(sizes []int, stop func() bool, give func(i int, b *Batch, problems bom.Problems)) (whole bool) {
	only := *m.At(0)
	only.costsOnly = true
	coverUpTo(&only, slices.Max(sizes))
	return only.together(len(sizes), func(m *Model, i int) bool {
		if stop != nil && stop() {
			return false
		}
		b, problems := m.Batch(sizes[i])
		give(i, &b, problems)
		return true
	})
}

// coverUpTo works the covers out once for all batches up to a size.
func coverUpTo(m *Model, size int) {
	most := make([]int64, len(m.boards))
	for _, way := range m.allWays() {
		largest, problems := way.begin(size)
		if problems.Failed() {
			return // the batch itself tells
		}
		s := way.scratch(&largest)
		boardDemands(s)
		for b := range s.boards {
			most[b] = max(most[b], s.Value(s.boards[b].demand).IntPart())
		}
	}
	for b, n := range most {
		for i := range m.bareBoards[b].variants {
			m.bareBoards[b].variants[i].cover.Prepare(n)
		}
	}
}

// together has something done for 0, 1, …, n−1, on all processors at once: each
// time with the model or a twin of it that nobody else uses meanwhile. Where
// something is not done the rest is left, and so is told.
func (m *Model) together(n int, do func(m *Model, i int) (done bool)) (whole bool) {
	models := make([]*Model, workers.Count(n))
	for i := range models {
		models[i] = m
		if i > 0 {
			models[i] = m.twin() // before any batch is under way
		}
	}
	return workers.AtOnce(n, func(worker, i int) bool { return do(models[worker], i) })
}
