package cutting

// valueUnit is what a part of a ring is worth at first.
const valueUnit = 1 << 10

// correct fills rings by the values of the lengths, and corrects each by how full the
// rings are that it lies in (sequential value correction: E. A. Mukhacheva and others;
// cited from memory). It tells whether it is worth going on: whether the plan was not good
// enough yet.
func (c *cutter) correct(enough func([]Ring) bool) bool {
	return !enough(c.fill(func(left []int) []int {
		cuts := c.mostValue(left)
		if c.work >= cheap {
			return c.fullest(left) // to the end
		}
		used := 0
		for k, n := range cuts {
			used += n * c.lengths[k]
		}
		for k, n := range cuts {
			if n > 0 {
				c.value(k, n, left[k], used)
			}
		}
		return cuts
	}))
}

// value corrects the value of a length of which n lie in a ring that is used so far: the
// more is left of the ring the more it is worth, and so the sooner it is cut next time.
// Longer ones, which go with fewer others, gain a little more.
func (c *cutter) value(k, n, left, used int) {
	length := int64(c.lengths[k])
	worth := length * valueUnit * int64(c.room) / int64(used)
	worth += worth * length / int64(40*c.room)
	old := int64(left) * (100 + c.roll(50)) / 100 // its weight is drawn, so that attempts differ
	c.values[k] = (old*c.values[k] + int64(n)*worth) / (old + int64(n))
}

// roll gives a number under n, the same ones in every run (Knuth's MMIX generator).
func (c *cutter) roll(n uint64) int64 {
	c.dice = c.dice*6364136223846793005 + 1442695040888963407
	return int64(c.dice >> 33 % n)
}

// mostValue takes what is worth most in one ring (bounded knapsack).
func (c *cutter) mostValue(left []int) []int {
	if c.best == nil {
		c.best, c.next = make([]int64, c.room+1), make([]int64, c.room+1)
		for range c.lengths {
			c.taken = append(c.taken, make([]int32, c.room+1))
		}
	}
	clear(c.best)
	for k, length := range c.lengths {
		if left[k] == 0 {
			continue
		}
		best, next, take := c.best, c.next, c.taken[k]
		copy(next, best)
		clear(take)
		for room := length; room <= c.room; room++ {
			most := min(left[k], room/length)
			c.work += most
			for n := 1; n <= most; n++ {
				if v := best[room-n*length] + int64(n)*c.values[k]; v > next[room] {
					next[room], take[room] = v, int32(n)
				}
			}
		}
		c.best, c.next = next, best
	}
	cuts, room := make([]int, len(left)), c.room
	for k := len(left) - 1; k >= 0; k-- {
		if left[k] > 0 {
			cuts[k] = int(c.taken[k][room])
			room -= cuts[k] * c.lengths[k]
		}
	}
	return cuts
}
