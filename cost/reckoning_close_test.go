package cost_test

import (
	"cmp"
	"math/big"
	"slices"
	"strings"
)

// What closes a batch: hand work, postage, totals, payers and the price to
// charge.

// workLevels are the levels at which a row of hand work counts.
var workLevels = map[string]string{
	"smt": "board kit built", "test": "board kit built", "packing": "board kit built",
	"tht": "built", "fastener": "built", "insert": "built", "wire": "built",
	"bagging": "kit", "printed": "kit built",
}

// worked tells whether a row of hand work is about an item.
func worked(appliesTo string, item *reckItem) bool {
	r := item.row
	switch appliesTo {
	case "smt":
		return r.kind == "part" && r.mount == "SMT" && !item.machine
	case "tht":
		return r.kind == "part" && r.mount == "THT" && !item.fitted
	case "test":
		return r.kind == "board"
	case "bagging":
		return r.kind != "packing" && r.mount != "SMT" && !item.fitted
	}
	return r.kind == appliesTo
}

// counted is the count per unit of a row of hand work; ok is false where it is
// about nothing that the unit holds.
func (k *reckoning) counted(w jobWork) (count *big.Rat, ok bool) {
	count = new(big.Rat)
	ok = w.appliesTo == "test" || w.appliesTo == "bagging" || w.appliesTo == "packing"
	for _, item := range k.items {
		if !worked(w.appliesTo, item) {
			continue
		}
		ok = true
		if item.row.bench != "" && classOf(item) == w.appliesTo {
			continue
		}
		switch w.basis {
		case "piece":
			count.Add(count, item.perUnit)
		case "joint":
			count.Add(count, times(item.perUnit, ratOf(jointsOf(item.row))))
		}
	}
	if w.basis == "unit" || w.basis == "batch" {
		count = ratOf(1)
	}
	return count, ok
}

func (l *ledger) bench() {
	for _, w := range l.work {
		if !slices.Contains(strings.Fields(workLevels[w.appliesTo]), l.level) {
			continue
		}
		count, ok := l.counted(w)
		repeat := 1.0
		switch w.basis {
		case "batch":
		case "plate":
			count = ratOf(1)
			repeat = 0
			repeat = l.tried()
		default:
			repeat = repetitions(l.starts, w)
		}
		if !ok || count.Sign() == 0 {
			continue
		}
		l.bookWork(w, times(count, share(w.share, "100")), repeat)
	}
	l.benchOfLines()
}

// classOf is what a row of hand work calls a line.
func classOf(item *reckItem) string {
	switch r := item.row; {
	case r.kind == "part":
		return strings.ToLower(r.mount)
	default:
		return r.kind
	}
}

// benchOfLines enters the time that lines say themselves, for each line by itself.
func (l *ledger) benchOfLines() {
	for _, item := range l.reckoning.items {
		levels := orElse(workLevels[classOf(item)], "built")
		if rat(item.row.bench).Sign() == 0 || item.machine || item.fitted || !slices.Contains(strings.Fields(levels), l.level) {
			continue
		}
		l.bookWork(jobWork{operation: "bench time of " + item.row.part, seconds: item.row.bench}, item.perUnit, float64(l.starts))
	}
}

// bookWork enters one row of hand work.
func (l *ledger) bookWork(w jobWork, count *big.Rat, repeat float64) {
	hours := over(times(times(rat(w.seconds), count), new(big.Rat).SetFloat64(repeat)), ratOf(3600))
	h, _ := hours.Float64()
	l.out.addClose(h, "work %s: hours", w.operation)
	cash := l.hourly(hours, rat(l.settings["Labour rate per hour"]), "work %s: cash", w.operation)
	if l.settings["Labour paid"] == "yes" {
		l.enter("labour", "", "", spentInFull(cash))
	} else {
		l.enter("labour", "", "", ownWork(cash))
	}
}

// parcelOf is what is handed in: so many units and the carton around them.
type parcelOf struct {
	units   int64
	g       *big.Rat
	box     [3]*big.Rat // nil where the size is not known
	hazards []string
	value   *big.Rat // home currency
}

// post sends the good units. Where the recipients are counted by zone the units are
// shared out by the counts (largest remainder; of equal ones the zone with the most, then
// by name). What the units are worth is the price before tax, else what is consumed so far.
func (l *ledger) post() {
	one := parcelOf{units: 1, g: new(big.Rat)}
	for _, item := range l.reckoning.items {
		r := item.row
		g := rat(r.mass)
		if r.mass == "" && r.kind == "printed" {
			g = rat(r.grams)
		}
		one.g = plus(one.g, times(g, item.weighs))
		if r.kind == "packing" && r.length != "" {
			one.box = boxOf(r.length, r.width, r.height)
		}
		one.hazards = append(one.hazards, wordsOf(r.hazard)...)
	}
	used := int64(0)
	for _, a := range l.categories {
		used += a.used
	}
	one.value = over(majorOf(used, l.home), ratOf(int64(l.size)))
	if l.price != "" {
		one.value = over(rat(l.price), plus(ratOf(1), share(l.settings["Sales tax %"], "0")))
	}
	byCount := slices.DeleteFunc(slices.Clone(l.zones), func(z jobZone) bool { return z.count == "0" })
	slices.SortFunc(byCount, func(a, b jobZone) int {
		return cmp.Or(rat(b.count).Cmp(rat(a.count)), cmp.Compare(a.zone, b.zone))
	})
	if len(byCount) == 0 {
		l.postTo(jobZone{}, l.settings["Post to"], int64(l.size), one)
		return
	}
	var counts []*big.Rat
	for _, z := range byCount {
		counts = append(counts, rat(z.count))
	}
	for i, n := range apportion(int64(l.size), counts) {
		l.postTo(byCount[i], byCount[i].zone, n, one)
	}
}

func boxOf(length, width, height string) [3]*big.Rat {
	return [3]*big.Rat{rat(length), rat(width), rat(height)}
}

// wordsOf gives the words of a cell in small letters.
func wordsOf(text string) (out []string) {
	for word := range strings.SplitSeq(strings.ToLower(text), ",") {
		if word = strings.TrimSpace(word); word != "" {
			out = append(out, word)
		}
	}
	return out
}

// reckPost is what the parcels to a zone come to.
type reckPost struct {
	zone        string
	units, cash int64
}

// postTo sends units to one place, as many in a parcel as the zone says; the zone has no
// name where none are counted.
func (l *ledger) postTo(z jobZone, to string, units int64, one parcelOf) {
	per := atoi(z.per, 1)
	sent := reckPost{zone: z.zone, units: units}
	post := func(parcels, each int64) {
		p := one
		p.units, p.g, p.value = each, plus(times(one.g, ratOf(each)), rat(z.cartonG)), times(one.value, ratOf(each))
		switch {
		case z.length != "":
			p.box = boxOf(z.length, z.width, z.height)
		case per > 1:
			p.box = [3]*big.Rat{}
		}
		sent.cash += l.postParcels(to, parcels, p)
	}
	if units >= per || units == 0 {
		post(units/per, per)
	}
	if units%per > 0 {
		post(1, units%per)
	}
	if len(l.services) > 0 {
		l.posts = append(l.posts, sent)
	}
}

// postParcels takes the cheapest service, of equal prices the first name, on which design
// is silent.
func (l *ledger) postParcels(to string, parcels int64, p parcelOf) (cash int64) {
	var best *jobService
	var bestPrice *big.Rat
	for i := range l.services {
		s := &l.services[i]
		if to != "" && s.to != "" && s.to != to || !l.takes(s, p) {
			continue
		}
		price := times(rat(s.price), l.rate(orElse(s.currency, l.home)))
		if best == nil || price.Cmp(bestPrice) < 0 || price.Cmp(bestPrice) == 0 && s.name < best.name {
			best, bestPrice = s, price
		}
	}
	if best == nil {
		return 0
	}
	l.out.add(parcels, "post of %d to %s by %s", parcels*p.units, to, best.name)
	g, _ := p.g.Float64()
	l.out.addClose(g, "post of %d to %s: g", parcels*p.units, to)
	c, _ := chargeable(best, p).Float64()
	l.out.addClose(c, "post of %d to %s: chargeable g", parcels*p.units, to)
	cash = l.toHome(times(rat(best.price), ratOf(parcels)), orElse(best.currency, l.home))
	l.out.add(cash, "post of %d to %s: cash", parcels*p.units, to)
	l.enter("postage", "", "", spentInFull(cash))
	return cash
}

// takes tells whether a service carries a parcel's hazards, its value, mass and size.
func (l *ledger) takes(s *jobService, p parcelOf) bool {
	for _, h := range p.hazards {
		if slices.Contains(wordsOf(s.excludes), h) {
			return false
		}
	}
	if s.value != "" && p.value.Cmp(times(rat(s.value), l.rate(orElse(s.currency, l.home)))) > 0 {
		return false
	}
	return s.holds(chargeable(s, p), p.box)
}

// chargeable is max(mass, L × W × H / divisor), in g: mm³ are thousandths of a
// cm³, and the divisor gives kg.
func chargeable(s *jobService, p parcelOf) *big.Rat {
	if p.box[0] == nil || s.divisor == "" {
		return p.g
	}
	return maxRat(p.g, over(times(times(p.box[0], p.box[1]), p.box[2]), rat(s.divisor)))
}

// holds tries all ways of turning the parcel.
func (s *jobService) holds(g *big.Rat, box [3]*big.Rat) bool {
	within := func(x *big.Rat, limit string) bool { return limit == "" || x.Cmp(rat(limit)) <= 0 }
	if !within(g, s.maxG) {
		return false
	}
	if box[0] == nil {
		return true
	}
	for _, turn := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		if within(box[turn[0]], s.length) && within(box[turn[1]], s.width) && within(box[turn[2]], s.height) {
			return true
		}
	}
	return false
}

func (l *ledger) totals() {
	var total reckAmounts
	for name, a := range l.categories {
		l.out.addAmounts(a, "category %s", name)
		total = total.plus(a)
	}
	l.out.addAmounts(total, "total")
	l.out.add(halfUp(times(over(majorOf(total.used, l.home), ratOf(int64(l.size))), power10(4))), "unit: consumed, four decimals")
	l.pay()
}

// pay splits each rounded line among its payers: by the part, else the supplier, else
// the category, else the maker; what comes from stock is borne by who gives it,
// own work by the maker.
func (l *ledger) pay() {
	asked, stamps := int64(0), int64(0) // of the recipients in all, and for postage
	for _, i := range l.items {
		payers, weights := []string{orElse(i.giver, "maker")}, []*big.Rat{ratOf(100)}
		if rule := l.ruleOf(i); rule != "" && i.own == 0 {
			payers, weights = l.payersOf(rule)
		}
		cash, stock := apportion(i.cash, weights), apportion(i.stock, weights)
		own, reclaim := apportion(i.own, weights), apportion(i.reclaim, weights)
		used := apportion(i.own, weights)
		if i.own == 0 {
			used = usedOf(i.used, cash, stock)
		}
		for n, payer := range payers {
			a := reckAmounts{cash: cash[n], own: own[n], stock: stock[n], used: used[n], reclaim: reclaim[n]}
			a.surplus = a.cash + a.own + a.stock - a.used - a.reclaim
			l.out.addAmounts(a, "payer %s", payer)
			l.out.addAmounts(a, "payer %s: %s", payer, i.category)
			if payer == "recipient" {
				asked += cash[n]
				if i.category == "postage" {
					stamps += cash[n]
				}
			}
		}
	}
	l.sell(asked, stamps)
}

// sell is what is asked of recipients, the price, and both sides of the account.
func (l *ledger) sell(asked, stamps int64) {
	f, fixed, m := share(l.settings["Payment fee %"], "0"), rat(l.settings["Payment fee fixed"]), share(l.settings["Margin %"], "0")
	gross := plus(ratOf(1), share(l.settings["Sales tax %"], "0"))
	n, free := int64(l.size), int64(0)
	if text := l.settings["Free units"]; text == "all" {
		free = n
	} else {
		free = min(n, atoi(text, 0))
	}
	paying := n - free
	ask := func(r *big.Rat) (each, given int64) {
		if r.Sign() == 0 {
			return 0, 0
		}
		return l.upToStep(times(r, gross)), l.upToStep(over(times(plus(r, fixed), gross), minus(ratOf(1), times(f, gross))))
	}
	r := over(majorOf(asked, l.home), ratOf(n))
	each, given := ask(r)
	inZones, freeInZones := int64(0), int64(0)
	if asked > 0 && len(l.posts) > 1 {
		inZones, freeInZones = l.askZones(asked, stamps, ask, paying == 0)
	}
	if inZones > 0 { // what is asked differs by zone
		each, given = halfUp(over(ratOf(inZones), ratOf(n))), halfUp(over(ratOf(freeInZones), ratOf(n)))
	}
	if inZones > 0 && paying == 0 {
		each, _ = ask(r)
	}
	l.out.add(each, "asked of each")
	if free > 0 {
		l.out.add(given, "asked of each of the free")
	}
	if paying == 0 {
		return
	}
	maker := l.out.exact["payer maker: consumed"]
	cost := over(majorOf(maker, l.home), ratOf(paying))
	l.out.add(halfUp(times(cost, power10(4))), "cost of a paid unit, four decimals")
	before := over(plus(plus(cost, fixed), times(times(f, r), gross)), minus(minus(ratOf(1), m), times(f, gross)))
	price := l.upToStep(times(before, gross))
	l.out.add(price, "charge")
	in, payments := price*paying+each*paying, paying
	if given > 0 {
		in, payments = in+given*free, n
	}
	if inZones > 0 { // who is given one may live anywhere
		in = price*paying + halfUp(over(plus(ratOf(inZones*paying), ratOf(freeInZones*free)), ratOf(n)))
	}
	fees := minorOf(plus(times(majorOf(in, l.home), f), times(fixed, ratOf(payments))), l.home)
	tax := minorOf(over(times(majorOf(in, l.home), minus(gross, ratOf(1))), gross), l.home)
	l.out.add(in-fees-tax, "charge: income")
	stays := in - fees - tax
	for _, who := range []string{"maker", "recipient"} {
		stays += l.out.exact["payer "+who+": reclaim"] - l.out.exact["payer "+who+": cash"]
	}
	l.out.add(stays, "charge: cash surplus")
}

// askZones is what each recipient in a zone is asked for: what they bear of the
// postage falls on the zones as the postage does, and on the units of each
// evenly; the rest falls on all units evenly. It gives what is asked of all where all pay for
// their units, and where none do.
func (l *ledger) askZones(asked, stamps int64, ask func(*big.Rat) (int64, int64), free bool) (inAll, ofFree int64) {
	all := int64(0)
	for _, p := range l.posts {
		all += p.cash
	}
	for _, p := range l.posts {
		if p.units > 0 && all > 0 {
			stamp := over(times(ratOf(stamps), ratOf(p.cash)), times(ratOf(all), ratOf(p.units)))
			share := plus(over(ratOf(asked-stamps), ratOf(int64(l.size))), stamp)
			each, given := ask(over(share, power10(isoDigits[l.home])))
			inAll, ofFree = inAll+each*p.units, ofFree+given*p.units
			if free {
				each = given
			}
			l.out.add(each, "post to %s: asked of each", p.zone)
		}
	}
	return inAll, ofFree
}

func (l *ledger) ruleOf(i reckItemOfCash) string {
	if i.giver != "" {
		return ""
	}
	for _, key := range []string{i.print, i.part, i.supplier, i.category} {
		if payers, _ := l.payersOf(key); len(payers) > 0 {
			return key
		}
	}
	return ""
}

// payersOf gives who pays by a rule, by name, which decides between equal remainders.
func (l *ledger) payersOf(key string) (payers []string, weights []*big.Rat) {
	byName := slices.Clone(l.shares)
	slices.SortStableFunc(byName, func(a, b jobShare) int { return cmp.Compare(a.payer, b.payer) })
	for _, s := range byName {
		if key != "" && s.appliesTo == key {
			payers, weights = append(payers, s.payer), append(weights, rat(s.percent))
		}
	}
	return payers, weights
}

// upToStep rounds up to the step, in minor units.
func (l *ledger) upToStep(price *big.Rat) int64 {
	step := rat(l.settings["Round price up to"])
	if step.Sign() == 0 {
		step = majorOf(1, l.home)
	}
	return minorOf(times(ratOf(ceil(over(price, step))), step), l.home)
}
