package sum

import (
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Words call a figure or a result by a thing, by what of it, and tell the unit of its
// value: "order to Corner Parts", "duty", "EUR".
type Words struct {
	Thing, What, Unit string
	Why               string // of a figure that stands nowhere: by what rule it was counted or decided
}

// String gives "thing: what"; of what stands alone one of the two.
func (w Words) String() string {
	if w.Thing == "" || w.What == "" {
		return w.Thing + w.What
	}
	return w.Thing + ": " + w.What
}

// none tells that there are no words.
func (w Words) none() bool { return w.Thing == "" && w.What == "" }

// within is what something is called where another thing is told of.
func (w Words) within(thing string) string {
	if w.Thing == thing && w.What != "" {
		return w.What
	}
	return w.String()
}

// Telling says how results are told.
type Telling struct {
	// Words call figures and results. What they have none for stands in the place where
	// it is used: a figure as its value, a result as what it is worked out from.
	Words func(Key) Words
	Depth int // levels below the result; 0: all
	Terms int // that are written out of a sum; the rest is counted; 0: all
}

// Told is a result, or a figure, and what it comes from.
type Told struct {
	Key     Key
	Name    string // as Words call it; where the one above is of the same thing, without that
	Unit    string
	Value   decimal.Decimal // what is known of it
	Unknown bool
	Digits  int32 // decimals that it is rounded to; [Loose] for none

	// How is the expression that the value comes from, over the names in Of; empty where
	// it was read or decided. Beside +, −, ×, ÷ there are round(a, decimals),
	// round up(a, step), least(a, …), greatest(a, …), "3 that are 0" or "3 more" for terms of a sum,
	// "where a ≥ b (yes): c, else d", in which the branch that does not hold is left out
	// if it is more than a number or a name, and "share 2 of a by b : c, to 2 decimals",
	// which is by largest remainder.
	How    string
	Figure *Figure // where it was read or decided; nil for a result
	Why    string  // by what rule, where it was decided
	Sum    bool    // How adds up all of Of and nothing else
	Nil    int     // terms of that sum that are 0, which are not in Of
	Above  bool    // Of stands where the same was told before
	Of     []Told
}

// Explain tells how a node comes about.
func (s *Sheet) Explain(r Ref, t Telling) Told {
	e := explainer{Sheet: s, Telling: t, told: map[Ref]bool{}}
	return e.tell(r, "", 0)
}

// HowOf tells a result in one step: its How, see [Told], and what that names.
func (s *Sheet) HowOf(r Ref, t Telling) (how string, of []Ref) {
	e := explainer{Sheet: s, Telling: t}
	_, words := e.words(r)
	p := phrase{explainer: &e, thing: words.Thing}
	return p.open(r).text, p.of
}

// ShareKey is the key of the share that stands at a place, from 0, among those of a key.
func ShareKey(k Key, at int) Key {
	k.What += ", " + strconv.Itoa(at+1)
	return k
}

// keyOfShare is the key of a share.
func keyOfShare(s *Sheet, r Ref) Key {
	at := int(s.nodes[r].extra)
	first := r - Ref(at) // shares of one total stand one after the other
	i, _ := slices.BinarySearchFunc(s.shares, first, func(x Shares, first Ref) int { return int(x.Refs[0] - first) })
	return ShareKey(s.shares[i].Key, at)
}

// explainer remembers what was told.
type explainer struct {
	*Sheet
	Telling
	told map[Ref]bool
}

// words call a node, by its own name, as a share, or by the figure that it is.
func (e *explainer) words(r Ref) (Key, Words) {
	if n := e.nameOf(r); n != nil {
		if w := e.Words(n.key); !w.none() {
			return n.key, w
		}
	}
	if e.nodes[r].op == opShare {
		k := keyOfShare(e.Sheet, r)
		return k, e.Words(k)
	}
	if f := figureOf(e.Sheet, r); f != nil {
		return f.Key, e.Words(f.Key)
	}
	return Key{}, Words{}
}

// tell tells a node within another thing.
func (e *explainer) tell(r Ref, thing string, depth int) Told {
	n := &e.nodes[r]
	k, words := e.words(r)
	out := Told{Key: k, Name: words.within(thing), Unit: words.Unit, Value: n.value, Unknown: n.unknown, Digits: Loose}
	if named := e.nameOf(r); named != nil {
		out.Digits = named.digits
	} else if n.op == opShare {
		out.Digits = int32(e.Value(e.argsOf(r)[1]).IntPart())
	}
	if out.Figure = figureOf(e.Sheet, r); out.Figure != nil {
		if out.Why = words.Why; out.Figure.Unit != "" {
			out.Unit = out.Figure.Unit
		}
		return out
	}
	p := phrase{explainer: e, thing: words.Thing}
	out.How = p.open(r).text
	terms := e.terms(r)
	named := func(x Ref) bool { return slices.Contains(p.of, x) }
	if out.Sum = len(terms) > 1 && len(terms) == len(p.of) && !slices.ContainsFunc(terms, func(x Ref) bool { return !named(x) }); out.Sum {
		out.Nil = p.zeros
	}
	if out.Above = e.told[r] && len(p.of) > 0; out.Above || e.Depth > 0 && depth == e.Depth {
		return out
	}
	e.told[r] = true
	if depth++; n.op == opSame { // another name is no level
		depth--
	}
	for _, x := range p.of {
		out.Of = append(out.Of, e.tell(x, words.Thing, depth))
	}
	return out
}

// terms are those of a sum that are not 0; none of what is no sum.
func (s *Sheet) terms(r Ref) []Ref {
	var out []Ref
	for _, x := range summands(s, r) {
		if !isNothing(s, x) {
			out = append(out, x)
		}
	}
	return out
}

// summands are all terms of a sum.
func summands(s *Sheet, r Ref) []Ref {
	a := s.argsOf(r)
	switch s.nodes[r].op {
	case opAdd:
		return a
	case opOf:
		var out []Ref
		for i, half := 0, (len(a)-1)/2; i < half; i++ {
			if s.Value(a[1+i]).Equal(s.Value(a[0])) {
				out = append(out, a[1+half+i])
			}
		}
		return out
	}
	return nil
}

// nothing tells that a term adds nothing.
func isNothing(s *Sheet, r Ref) bool { return s.Value(r).IsZero() && !s.Unknown(r) }

// choice is a term that goes on to the end of its sentence.
const choice = loose - 1

// phrase is an expression on its way, with what it names.
type phrase struct {
	*explainer
	thing string
	of    []Ref
	keys  []Key // of those
	zeros int
}

// term is what a node is called, else its value or what it is worked out from.
func (p *phrase) term(r Ref) term {
	k, words := p.words(r)
	if !words.none() {
		if !slices.Contains(p.keys, k) {
			p.of, p.keys = append(p.of, r), append(p.keys, k)
		}
		return term{words.within(p.thing), whole}
	}
	if figureOf(p.Sheet, r) != nil || p.nodes[r].op == opMatch {
		return p.number(r)
	}
	return p.open(r)
}

func (p *phrase) number(r Ref) term {
	d := p.Value(r)
	if d.IsNegative() {
		return term{"−" + d.Neg().String(), loose}
	}
	return term{d.String(), whole}
}

// open tells a node by its operation.
func (p *phrase) open(r Ref) term {
	a, n := p.argsOf(r), &p.nodes[r]
	switch n.op {
	case opSame:
		return p.term(a[0])
	case opAdd, opOf:
		return p.total(summands(p.Sheet, r))
	case opSub:
		return term{p.term(a[0]).within(loose) + " − " + p.term(a[1]).within(tight), loose}
	case opMul:
		return p.product(a)
	case opDiv:
		return term{p.term(a[0]).within(tight) + " ÷ " + p.term(a[1]).within(whole), tight}
	case opRound:
		return p.call("round", a)
	case opUp:
		return p.call("round up", a)
	case opMin:
		return p.call("least", a)
	case opMax:
		return p.call("greatest", a)
	case opAtLeast:
		return p.where(r, " ≥ ", !isBlank(p.Sheet, a[1]) && p.Value(a[0]).GreaterThanOrEqual(p.Value(a[1])))
	case opMore:
		return p.where(r, " > ", p.Value(a[0]).GreaterThan(p.Value(a[1])))
	case opEqual:
		return p.where(r, " = ", p.Value(a[0]).Equal(p.Value(a[1])))
	case opShare:
		return p.share(r)
	}
	return p.number(r)
}

func (p *phrase) call(word string, a []Ref) term {
	parts := make([]string, len(a))
	for i, x := range a {
		parts[i] = p.term(x).within(loose)
	}
	return term{word + "(" + strings.Join(parts, ", ") + ")", whole}
}

// product leaves out what a factor of 1 has no words for.
func (p *phrase) product(a []Ref) term {
	var parts []string
	var only term
	for _, x := range a {
		if t := p.term(x); t.text != "1" {
			parts, only = append(parts, t.within(tight)), t
		}
	}
	switch len(parts) {
	case 0:
		return term{"1", whole}
	case 1:
		return only
	}
	return term{strings.Join(parts, " × "), tight}
}

// total adds up what is not 0, and counts what is, where that makes it shorter.
func (p *phrase) total(a []Ref) term {
	const named, few = 3, 2 // of nothing but zeros; of a sum that is short as it is
	var parts []string
	var only term
	zeros, more := 0, 0
	all := !slices.ContainsFunc(a, func(x Ref) bool { return !isNothing(p.Sheet, x) })
	for _, x := range a {
		switch _, words := p.words(x); {
		case p.Terms > 0 && len(parts) == p.Terms && !isNothing(p.Sheet, x):
			more++
		case !isNothing(p.Sheet, x), !words.none() && (len(a) <= few || all && len(parts) < named):
			only = p.term(x)
			parts = append(parts, only.within(loose))
		case !words.none():
			zeros++
		}
	}
	p.zeros += zeros
	if more > 0 {
		parts = append(parts, strconv.Itoa(more)+" more")
	}
	switch {
	case zeros == 1:
		parts = append(parts, "1 that is 0")
	case zeros > 1:
		parts = append(parts, strconv.Itoa(zeros)+" that are 0")
	case len(parts) == 1:
		return only
	case len(parts) == 0:
		return term{"0", whole}
	}
	return term{strings.Join(parts, " + "), loose}
}

// where tells a choice. One between numbers that have no words is none to a reader.
func (p *phrase) where(r Ref, relation string, holds bool) term {
	a, yes := p.argsOf(r), "no"
	taken := a[3]
	if holds {
		taken, yes = a[2], "yes"
	}
	had := len(p.of)
	left, right := p.term(a[0]).within(loose), p.term(a[1]).within(loose)
	if _, err := decimal.NewFromString(left + right); err == nil && len(p.of) == had {
		return p.term(taken)
	}
	branch := func(x Ref) string {
		switch _, words := p.words(x); {
		case x == taken:
			return p.term(x).within(loose)
		case p.nodes[x].op == opNumber:
			return p.number(x).text
		case !words.none():
			return words.within(p.thing)
		}
		return "…"
	}
	text := "where " + left + relation + right + " (" + yes + "): " + branch(a[2])
	return term{text + ", else " + branch(a[3]), choice}
}

func (p *phrase) share(r Ref) term {
	a, n := p.argsOf(r), &p.nodes[r]
	weights := make([]string, len(a)-2)
	for i, w := range a[2:] {
		weights[i] = p.term(w).within(tight)
	}
	return term{"share " + strconv.Itoa(int(n.extra)+1) + " of " + p.term(a[0]).within(tight) + " by " + strings.Join(weights, " : ") +
		", to " + p.Value(a[1]).String() + " decimals", choice}
}
