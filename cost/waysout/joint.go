package waysout

import (
	"cmp"
	"fmt"
	"slices"

	"tenoff/bom"
	"tenoff/cost/workers"
)

// choicesAtMost bounds how many choices for all parts are tried; beyond, ways are changed
// one by one.
const choicesAtMost = 1024

// decide chooses a way for each part, all together.
func (s *scene) decide() Joint {
	out := Joint{Batch: s.short[0].Batch, Size: s.size(), Before: s.short[0].Before, Every: true}
	count := 1
	for _, p := range bom.Refs(s.short) {
		out.Parts = append(out.Parts, p.Part)
		if len(p.full) == 0 {
			out.Stuck = append(out.Stuck, p.Part)
		}
		if count *= len(p.full); count > choicesAtMost {
			count, out.Every = choicesAtMost+1, false
		}
	}
	if out.Stuck != nil {
		return out
	}
	c := &choices{scene: s, known: map[string]planned{}}
	best := make([]int, len(s.short))
	if out.Every {
		best = c.best(c.all(count))
	} else {
		for i := range s.short {
			best[i] = s.short[i].lightest()
		}
		for {
			better := c.best(append([][]int{best}, c.neighbours(best)...))
			if slices.Equal(better, best) {
				break
			}
			best = better
		}
	}
	if c.of(best).lacks {
		out.Stuck = out.Parts
		return out
	}
	out.State = c.of(best).State
	for i, at := range best {
		out.Ways = append(out.Ways, s.short[i].full[at])
	}
	for _, other := range c.neighbours(best) {
		i := 0
		for other[i] == best[i] {
			i++
		}
		if p := c.of(other); !p.lacks {
			w := s.short[i].full[other[i]]
			w.State = p.State
			out.Changes = append(out.Changes, Changed{s.short[i].Part, w})
		}
	}
	out.Tried = len(c.known)
	return out
}

// lightest is the way of the least landed cash and own work.
func (p *shortPart) lightest() (best int) {
	for i := range p.full {
		if p.full[i].Weight.LessThan(p.full[best].Weight) {
			best = i
		}
	}
	return best
}

// choices are choices of a way for each part, with what comes of those that were tried.
type choices struct {
	*scene
	known map[string]planned
}

func keyOfChoice(choice []int) string { return fmt.Sprint(choice) }

// of is what comes of a choice that was tried.
func (c *choices) of(choice []int) planned { return c.known[keyOfChoice(choice)] }

// all lists every choice.
func (c *choices) all(count int) [][]int {
	out := make([][]int, count)
	for n := range out {
		rest := n
		for i := range c.short {
			ways := len(c.short[i].full)
			out[n] = append(out[n], rest%ways)
			rest /= ways
		}
	}
	return out
}

// neighbours lists the choices that differ from one in a single way.
func (c *choices) neighbours(from []int) (out [][]int) {
	for i := range from {
		for way := range c.short[i].full {
			if way != from[i] {
				other := slices.Clone(from)
				other[i] = way
				out = append(out, other)
			}
		}
	}
	return out
}

// best tries choices, and gives the one of the least landed cash and own work, then the
// earliest day, then the first.
func (c *choices) best(list [][]int) []int {
	tried := make([]planned, len(list))
	workers.AtOnce(len(list), func(_, i int) bool {
		tried[i].lacks = true
		if stop := c.run.Stop; stop != nil && stop() {
			return true
		}
		if p, ok := c.known[keyOfChoice(list[i])]; ok {
			tried[i] = p
			return true
		}
		chosen := make([]*Way, len(list[i]))
		for part, way := range list[i] {
			chosen[part] = &c.short[part].full[way]
		}
		tried[i] = c.plan(chosen)
		return true
	})
	best := 0
	for i := range tried {
		c.known[keyOfChoice(list[i])] = tried[i]
		if tried[i].compare(&tried[best]) < 0 {
			best = i
		}
	}
	return list[best]
}

func (p *planned) compare(q *planned) int {
	return cmp.Or(cmp.Compare(p.grade(), q.grade()), p.Weight.Cmp(q.Weight), cmp.Compare(p.Day, q.Day))
}
