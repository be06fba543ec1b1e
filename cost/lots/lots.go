// Package lots holds a number of pieces in lots of given sizes at the least cost. Of equal
// costs the choice with fewer pieces over is the cheaper, then that with fewer lots.
//
//  1. [New] takes the lots, by rising size.
//  2. [Cover.Prepare] works out once what many numbers up to some need.
//  3. [Cover.Counts] tells how many of each lot hold so many pieces.
package lots

import (
	"cmp"
	"slices"
)

// Lot is a number of pieces that are sold together.
type Lot struct {
	Holds  int64
	Price  int64 // in any unit; the price of all that is ever taken, times a size, stays within an int64
	AtMost int64 // how often it is sold; 0: any number of times
}

// Cover finds the lots that hold some pieces. The zero value holds none.
type Cover struct {
	lots  []Lot
	best  int       // that of the lowest price per piece, of those sold any number of times where there are some
	table []holding // for each number of pieces up to some
	took  [][]int32 // where some lots are limited: by lot and number of pieces, how many of it are taken
}

// holding is the cheapest way to hold some number of pieces.
type holding struct {
	cost  int64
	held  int64 // in all the lots
	count int32 // lots
	last  int32 // index of the lot taken last
}

func (h holding) compare(g holding) int {
	return cmp.Or(cmp.Compare(h.cost, g.cost), cmp.Compare(h.held, g.held), cmp.Compare(h.count, g.count))
}

// New is for lots by rising size.
func New(lots []Lot) Cover {
	c := Cover{lots: lots}
	for i, l := range lots {
		best := lots[c.best]
		if best.AtMost > 0 && l.AtMost == 0 || (l.AtMost == 0 || best.AtMost > 0) && l.Price*best.Holds < best.Price*l.Holds {
			c.best = i
		}
	}
	return c
}

// Limited is how many pieces the lots hold that are sold so many times at most.
func (c *Cover) Limited() (pieces int64) {
	for _, l := range c.lots {
		pieces += l.AtMost * l.Holds
	}
	return pieces
}

// Can tells whether the lots can hold n pieces.
func (c *Cover) Can(n int64) bool {
	return len(c.lots) > 0 && (c.lots[c.best].AtMost == 0 || c.Limited() >= n)
}

// Prepare works out how up to n pieces are held.
func (c *Cover) Prepare(n int64) {
	if len(c.lots) > 0 {
		c.table, c.took = c.all(min(n, c.tabled()))
	}
}

// tabled is up to how many pieces the cheapest way is looked up: beyond, the best lot fills up.
func (c *Cover) tabled() int64 {
	if c.lots[c.best].AtMost > 0 {
		return c.Limited()
	}
	return c.Limited() + c.lots[c.best].Holds*c.lots[len(c.lots)-1].Holds
}

// all works the cheapest way for 0, 1, …, n pieces out. With lots that are sold so many
// times at most it takes one lot after the other (a bounded knapsack; Martello and Toth,
// Knapsack Problems, 1990, cited from memory).
func (c *Cover) all(n int64) (table []holding, took [][]int32) {
	table = make([]holding, n+1)
	if c.Limited() == 0 {
		for k := int64(1); k <= n; k++ {
			for i, l := range c.lots {
				before := table[max(0, k-l.Holds)]
				h := holding{before.cost + l.Price, before.held + l.Holds, before.count + 1, int32(i)}
				if i == 0 || h.compare(table[k]) < 0 {
					table[k] = h
				}
			}
		}
		return table, nil
	}
	for k := range table[1:] {
		table[k+1].cost = beyond
	}
	took = make([][]int32, len(c.lots))
	for i, l := range c.lots {
		table, took[i] = l.into(table)
	}
	return table, took
}

// beyond is the cost of what no lots hold.
const beyond = int64(1) << 60

// into takes the lot besides those of a table: as often as it is sold.
func (l Lot) into(before []holding) (table []holding, took []int32) {
	table, took = slices.Clone(before), make([]int32, len(before))
	for k := int64(1); k < int64(len(table)); k++ {
		try := func(from holding, times, in int32) {
			h := holding{from.cost + int64(times)*l.Price, from.held + int64(times)*l.Holds, from.count + times, 0}
			if from.cost < beyond && h.compare(table[k]) < 0 {
				table[k], took[k] = h, in
			}
		}
		if l.AtMost == 0 { // one more than for so many pieces less
			less := max(0, k-l.Holds)
			try(table[less], 1, took[less]+1)
			continue
		}
		for times := int64(1); times <= l.AtMost && (times-1)*l.Holds < k; times++ {
			try(before[max(0, k-times*l.Holds)], int32(times), int32(times))
		}
	}
	return table, took
}

// Counts gives how many of each lot hold n pieces, where they can.
//
// Beyond what is tabled the lot with the lowest price per piece fills up: besides those that
// are sold so many times at most, among as many other lots as it holds pieces, some add up to
// a multiple of it and can be replaced by it at no higher price.
func (c *Cover) Counts(n int64) []int64 {
	counts := make([]int64, len(c.lots))
	best := c.lots[c.best].Holds
	if over := n - c.tabled(); over > 0 {
		bulk := (over + best - 1) / best
		counts[c.best] += bulk
		n -= bulk * best
	}
	table, took := c.table, c.took
	if int64(len(table)) <= n {
		table, took = c.all(n)
	}
	if took == nil {
		for k := n; k > 0; {
			i := table[k].last
			counts[i]++
			k = max(0, k-c.lots[i].Holds)
		}
		return counts
	}
	for i := len(c.lots) - 1; i >= 0; i-- {
		times := int64(took[i][n])
		counts[i] += times
		n = max(0, n-times*c.lots[i].Holds)
	}
	return counts
}
