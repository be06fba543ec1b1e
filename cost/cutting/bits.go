package cutting

import "math/bits"

// sums is a set of whole numbers up to some room.
type sumSet []uint64

func newSums(room int) sumSet { return make(sumSet, room/64+1) }

func (s sumSet) set(n int)      { s[n/64] |= 1 << (n % 64) }
func (s sumSet) has(n int) bool { return s[n/64]>>(n%64)&1 == 1 }

// addMoved adds the numbers of another set, each made larger, as far as there is room.
func (s sumSet) addMoved(o sumSet, by, room int) {
	word, shift := by/64, by%64
	for i := len(s) - 1; i >= word; i-- {
		x := o[i-word] << shift
		if shift > 0 && i > word {
			x |= o[i-word-1] >> (64 - shift)
		}
		s[i] |= x
	}
	if top := room%64 + 1; top < 64 {
		s[len(s)-1] &= 1<<top - 1
	}
}

// last is the largest number.
func (s sumSet) last() int {
	for i := len(s) - 1; i >= 0; i-- {
		if s[i] != 0 {
			return 64*i + 63 - bits.LeadingZeros64(s[i])
		}
	}
	return 0
}
