package cost_test

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"
	"strconv"
)

// The second reckoning: the sums of README once more, from the texts of a job, in exact
// rationals. It shares no code with package cost. Money is
// an int64 of minor units of the home currency, quantities are rationals.

// figures is an answer, by the name of each figure. Figures that are 0 are left
// out, so that a row that is absent and a row of 0 are the same.
type figures struct {
	exact map[string]int64
	close map[string]float64 // times and masses
}

func newFigures() figures {
	return figures{map[string]int64{}, map[string]float64{}}
}

func (f figures) add(v int64, format string, args ...any) {
	name := fmt.Sprintf(format, args...)
	if f.exact[name] += v; f.exact[name] == 0 {
		delete(f.exact, name)
	}
}

func (f figures) addClose(v float64, format string, args ...any) {
	if v != 0 {
		f.close[fmt.Sprintf(format, args...)] += v
	}
}

// against lists where the figures of the program differ from these.
func (f figures) against(got figures) []string {
	var out []string
	for _, name := range sortedKeys(f.exact, got.exact) {
		if want, have := f.exact[name], got.exact[name]; want != have {
			out = append(out, fmt.Sprintf("%s: program %d, second reckoning %d", name, have, want))
		}
	}
	for _, name := range sortedKeys(f.close, got.close) {
		if want, have := f.close[name], got.close[name]; math.Abs(want-have) > 1e-9*math.Max(1, math.Max(math.Abs(want), math.Abs(have))) {
			out = append(out, fmt.Sprintf("%s: program %v, second reckoning %v", name, have, want))
		}
	}
	return out
}

func sortedKeys[K cmp.Ordered, V any](ms ...map[K]V) []K {
	all := map[K]bool{}
	for _, m := range ms {
		for k := range m {
			all[k] = true
		}
	}
	return slices.Sorted(maps.Keys(all))
}

func rat(text string) *big.Rat {
	if text == "" {
		return new(big.Rat)
	}
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		panic("not a number: " + text)
	}
	return r
}

func ratOf(n int64) *big.Rat       { return new(big.Rat).SetInt64(n) }
func plus(a, b *big.Rat) *big.Rat  { return new(big.Rat).Add(a, b) }
func minus(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func times(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func over(a, b *big.Rat) *big.Rat  { return new(big.Rat).Quo(a, b) }

func atoi(text string, blank int64) int64 {
	if text == "" {
		return blank
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		panic(err)
	}
	return n
}

func maxRat(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) >= 0 {
		return a
	}
	return b
}

func minRat(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) <= 0 {
		return a
	}
	return b
}

func ceil(x *big.Rat) int64 {
	q, m := new(big.Int).DivMod(x.Num(), x.Denom(), new(big.Int))
	if m.Sign() > 0 {
		return q.Int64() + 1
	}
	return q.Int64()
}

// halfUp rounds to whole numbers, half away from zero.
func halfUp(x *big.Rat) int64 {
	half := big.NewRat(1, 2)
	if x.Sign() < 0 {
		return -halfUp(new(big.Rat).Neg(x))
	}
	sum := plus(x, half)
	return new(big.Int).Div(sum.Num(), sum.Denom()).Int64()
}

func power10(n int) *big.Rat {
	return new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil))
}

// isoDigits are the minor digits of ISO 4217 for the currencies of the jobs.
var isoDigits = map[string]int{"JPY": 0, "EUR": 2, "USD": 2, "CHF": 2, "GBP": 2, "KWD": 3}

// minorOf rounds money to whole minor units of a currency.
func minorOf(x *big.Rat, currency string) int64 {
	digits, ok := isoDigits[currency]
	if !ok {
		panic("no digits for " + currency)
	}
	return halfUp(times(x, power10(digits)))
}

// majorOf is money as a rational again.
func majorOf(minor int64, currency string) *big.Rat {
	return over(ratOf(minor), power10(isoDigits[currency]))
}

// rate is what one of a currency costs in home currency.
func (j *job) rate(currency string) *big.Rat {
	if currency == j.home {
		return ratOf(1)
	}
	for _, r := range j.exchange {
		if r.currency == currency {
			return rat(r.rate)
		}
	}
	panic("no rate for " + currency)
}

// toHome rounds money in another currency, converts it and rounds again.
func (j *job) toHome(x *big.Rat, currency string) int64 {
	return minorOf(times(majorOf(minorOf(x, currency), currency), j.rate(currency)), j.home)
}

func (j *job) supplier(name string) jobSupplier {
	for _, s := range j.suppliers {
		if s.name == name {
			s.currency = orElse(s.currency, j.home)
			return s
		}
	}
	return jobSupplier{name: name, currency: j.home}
}

func orElse(text, blank string) string {
	if text == "" {
		return blank
	}
	return text
}

// percent of a setting or a cell, as a share of 1.
func share(text, blank string) *big.Rat { return over(rat(orElse(text, blank)), ratOf(100)) }

// enoughOf is the smallest n with P(Binomial(n, y) ≥ want) ≥ confidence,
// summed as the chance that the want-th good one is the m-th begun. 400 bits
// are exact for the purpose but for a tie, which is settled in rationals.
func enoughOf(want int64, y, confidence *big.Rat) int64 {
	if want == 0 || y.Cmp(ratOf(1)) == 0 {
		return want
	}
	f := func(x *big.Rat) *big.Float { return new(big.Float).SetPrec(400).SetRat(x) }
	bad, sum, goal := f(minus(ratOf(1), y)), f(new(big.Rat)), f(confidence)
	term, one := f(ratOf(1)), f(y)
	for range want {
		term.Mul(term, one)
	}
	tie := f(over(ratOf(1), power10(60)))
	for m := want; ; m++ {
		sum.Add(sum, term)
		gap := new(big.Float).SetPrec(400).Sub(sum, goal)
		if new(big.Float).Abs(gap).Cmp(tie) < 0 {
			return enoughExactly(want, y, confidence)
		}
		if gap.Sign() > 0 {
			return m
		}
		term.Mul(term, bad)
		term.Mul(term, f(big.NewRat(m, m-want+1)))
	}
}

func enoughExactly(want int64, y, confidence *big.Rat) int64 {
	bad, sum, term := minus(ratOf(1), y), new(big.Rat), ratOf(1)
	for range want {
		term.Mul(term, y)
	}
	for m := want; ; m++ {
		if sum.Add(sum, term).Cmp(confidence) >= 0 {
			return m
		}
		term.Mul(term, bad).Mul(term, big.NewRat(m, m-want+1))
	}
}

// apportion splits whole minor units by weights, largest remainder; of equal
// remainders the first wins.
func apportion(total int64, weights []*big.Rat) []int64 {
	sum := new(big.Rat)
	for _, w := range weights {
		sum.Add(sum, w)
	}
	out, rest := make([]int64, len(weights)), make([]*big.Rat, len(weights))
	left := total
	for i, w := range weights {
		exact := over(times(ratOf(total), w), sum)
		out[i] = new(big.Int).Div(exact.Num(), exact.Denom()).Int64()
		rest[i] = minus(exact, ratOf(out[i]))
		left -= out[i]
	}
	for ; left > 0; left-- {
		best := 0
		for i := range rest {
			if rest[i].Cmp(rest[best]) > 0 {
				best = i
			}
		}
		out[best]++
		rest[best] = ratOf(-1)
	}
	return out
}
