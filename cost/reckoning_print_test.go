package cost_test

import (
	"math/big"
	"slices"
)

// Printed parts (README, Sums).

// reckPlate is what a printer prints of a row.
type reckPlate struct {
	item    *reckItem
	printer jobPrinter
	pieces  int64
	plates  int64    // that must succeed
	enough  int64    // plates that are enough at the confidence
	grams   *big.Rat // consumed
	counted *big.Rat // the same, in millionths of a gram
	toHave  *big.Rat // g that filament is bought for
	hours   *big.Rat
}

// reckLoad is one plate that must succeed.
type reckLoad struct {
	item   *reckItem
	pieces int64
}

func (l reckLoad) seconds() int64 { return halfUp(times(ratOf(3600*l.pieces), rat(l.item.row.hours))) }

// loads are the plates of a row: full ones, the last one holds the rest.
func (k *reckoning) loads(item *reckItem) (out []reckLoad) {
	per := atoi(item.row.perPlate, 1)
	for left := ceil(times(ratOf(k.starts), item.perUnit)); left > 0; left -= per {
		out = append(out, reckLoad{item, min(per, left)})
	}
	return out
}

// print gives all plates to printers, and says what each printer takes for each row.
func (k *reckoning) print() {
	var all []reckLoad
	choice := false
	for _, item := range k.items {
		if item.row.kind == "printed" {
			all = append(all, k.loads(item)...)
			choice = choice || item.row.printer == ""
		}
	}
	slices.SortStableFunc(all, func(a, b reckLoad) int { return int(b.seconds() - a.seconds()) })
	free := make([][]int64, len(k.printers)) // when each of each kind is free, s
	for i, p := range k.printers {
		free[i] = make([]int64, atoi(p.count, 1))
	}
	for _, l := range all {
		best, number, from := -1, 0, int64(0)
		for i, p := range k.printers {
			if l.item.row.printer != "" && l.item.row.printer != p.name {
				continue
			}
			for n, t := range free[i] {
				if start, ok := p.starts(t, l.seconds()); ok && (best < 0 || start < from) {
					best, number, from = i, n, start
				}
			}
		}
		free[best][number] = from + l.seconds()
		k.printOn(l, k.printers[best])
	}
	for _, pl := range k.plates {
		k.take(pl)
	}
}

// starts is when a plate can be started on a printer that is free from t on, by going
// through the days.
func (p jobPrinter) starts(t, seconds int64) (int64, bool) {
	const day = 86400
	minutes := func(text, blank string) int64 {
		text = orElse(text, blank)
		return 60 * (60*atoi(text[:2], 0) + atoi(text[3:], 0))
	}
	from, to := minutes(p.from, "00:00"), minutes(p.to, "24:00")
	if to <= from {
		to += day
	}
	if to-from == day {
		return t, true
	}
	for d := t/day - 1; d < t/day+3; d++ {
		start := max(t, d*day+from)
		if end := d*day + to; start < end && (p.runsOn != "no" || start+seconds <= end) {
			return start, true
		}
	}
	return 0, false
}

func (k *reckoning) printOn(l reckLoad, p jobPrinter) {
	i := slices.IndexFunc(k.plates, func(pl *reckPlate) bool { return pl.item == l.item && pl.printer.name == p.name })
	if i < 0 {
		i = len(k.plates)
		k.plates = append(k.plates, &reckPlate{item: l.item, printer: p})
	}
	k.plates[i].pieces += l.pieces
	k.plates[i].plates++
}

// take is what the plates of a row on a printer take: a plate that fails is printed again.
// Filament is counted in millionths of a gram.
func (k *reckoning) take(pl *reckPlate) {
	r, good := pl.item.row, minus(ratOf(1), share(pl.printer.failure, "0"))
	pl.enough = enoughOf(pl.plates, good, share(k.settings["Confidence %"], "95"))
	grams := times(ratOf(pl.pieces), rat(r.grams))
	counted := func(g *big.Rat) *big.Rat { return over(ratOf(millionths(g)), power10(6)) }
	pl.grams = over(grams, good)
	pl.counted = counted(pl.grams)
	pl.toHave = maxRat(pl.counted, counted(over(times(grams, ratOf(pl.enough)), ratOf(pl.plates))))
	pl.hours = over(times(ratOf(pl.pieces), rat(r.hours)), good)
	p := k.partOf(r.material)
	p.printed = true
	if p.toHave == nil {
		p.toHave = new(big.Rat)
	}
	p.toHave = plus(p.toHave, pl.toHave)
	p.items, p.needs = append(p.items, pl.item), append(p.needs, pl.counted)
}

// tried is how many plates are printed in all until those that are wanted are there.
func (k *reckoning) tried() float64 {
	all := new(big.Rat)
	for _, pl := range k.plates {
		all.Add(all, over(ratOf(pl.plates), minus(ratOf(1), share(pl.printer.failure, "0"))))
	}
	f, _ := all.Float64()
	return f
}
