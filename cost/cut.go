package cost

import (
	"cmp"
	"slices"

	"tenoff/bom"
	"tenoff/cost/cutting"
)

// What is counted of a part that is cut: leads of one length, or of several the rings
// that they are cut from.
const (
	leads = "leads"
	rings = "rings"
)

// mmPerM turns the length of a ring into that of leads.
const mmPerM = 1000

// prepareCuts finds the lengths that parts are cut to, the longest first.
func prepareCuts(m *Model) {
	for i, e := range bom.Refs(m.entries) {
		l := e.Line
		if l.CutMM == 0 {
			continue
		}
		switch {
		case l.Kind != bom.KindWire && l.Kind != bom.KindOther:
			m.problems.Errorf(l.At("Cut mm"), l.CutMM.String(), "wire or other under Kind, or a blank cell", "%s is of kind %s, which is not cut to length", l.Part, l.Kind)
		case !l.Quantity.IsWhole():
			m.problems.Errorf(l.At("Quantity"), l.Quantity.String(), "how many leads of that length there are", "%s has a Cut mm, and part of a lead", l.Part)
		}
		if e.Part < 0 {
			continue
		}
		p := &m.parts[e.Part]
		at := slices.IndexFunc(p.cuts, func(c cutLength) bool { return c.mm == l.CutMM })
		if at < 0 {
			at = len(p.cuts)
			p.cuts = append(p.cuts, cutLength{mm: l.CutMM})
		}
		p.cuts[at].entries = append(p.cuts[at].entries, i)
	}
	for _, p := range bom.Refs(m.parts) {
		if p.cuts == nil {
			continue
		}
		p.Unit = leads
		slices.SortFunc(p.cuts, func(a, b cutLength) int { return cmp.Compare(b.mm, a.mm) })
		first := m.entries[p.cuts[0].entries[0]].Line
		for _, e := range p.Entries {
			if l := m.entries[e].Line; l.CutMM == 0 {
				m.problems.Errorf(l.At("Cut mm"), "", "the length here as well, or a part number of its own", "%s is cut to length in %s and not here", p.Key, first.At("Cut mm"))
			}
		}
	}
}

// tellLength says what stock on hand of a part that is cut counts: a list that is changed to
// cut it otherwise changes that too.
func tellLength(m *Model, p *part, oh *bom.OnHand) {
	if p.cuts == nil || oh.Quantity == 0 {
		return
	}
	note := bom.Problem{Place: oh.At("Quantity"), Severity: bom.Note, Found: oh.Quantity.String(),
		What: p.Key + ": stock on hand counts as leads of " + p.cuts[0].mm.String() + " mm", Want: "leads of another length under a part number of their own"}
	if p.Unit == rings {
		note.What = p.Key + ": stock on hand counts as whole rings of " + (p.ringMM / mmPerM).String() + " m"
		note.Want = "leads that are cut already under a part number of their own"
	}
	m.problems.Add(note)
}

// leadsFrom is what one order unit of an offer holds: pieces; of a ring as many leads as
// are cut from it whole; where leads of several lengths are cut, rings.
func leadsFrom(p *part, o *bom.Offer) bom.Quantity {
	if o.CutFromM == 0 || len(p.cuts) != 1 {
		return o.Pieces
	}
	q, ok := o.Pieces.Times(int64(o.CutFromM * mmPerM / p.cuts[0].mm))
	if !ok {
		return bom.MaxQuantity
	}
	return q
}

// cannotCut tells whether no lead is cut from an offer, and says so: it is ignored
// where its ring is too short for a lead, and wrong where it is not known what is cut.
func cannotCut(m *Model, p *part, o *bom.Offer) bool {
	switch {
	case o.CutFromM == 0 && len(p.cuts) > 1:
		m.problems.Errorf(o.At("Cut from m"), "", "the length of the ring or roll, or a part number for each length",
			"%s is cut to %d lengths, and nothing says from what", p.Key, len(p.cuts))
	case o.CutFromM == 0:
		return false
	case p.cuts == nil:
		m.problems.Errorf(o.At("Cut from m"), o.CutFromM.String(), "Cut mm in the bill of materials, or a blank cell and metres in Pieces",
			"nothing says what %s is cut to", p.Key)
	case !o.Pieces.IsWhole():
		m.problems.Errorf(o.At("Pieces"), o.Pieces.String(), "how many rings are sold in one", "%s is cut from rings, and part of one is sold", p.Key)
	case o.CutFromM*mmPerM < p.cuts[0].mm:
		m.problems.Warnf(o.At("Cut from m"), o.CutFromM.String(), "harmless if there is a longer one",
			"%s: a lead of %s mm is longer than the ring, and the offer is ignored", p.Key, p.cuts[0].mm)
	default:
		return false
	}
	return true
}

// oneRing finds the ring that leads of several lengths are cut from: one cutting plan is
// made for rings of one length.
func oneRing(m *Model, p *part) {
	if len(p.cuts) < 2 || len(p.rows) == 0 {
		return
	}
	p.Unit, p.ringMM = rings, p.rows[0].CutFromM*mmPerM
	for _, o := range p.rows[1:] {
		if o.CutFromM*mmPerM != p.ringMM {
			m.problems.Errorf(o.At("Cut from m"), o.CutFromM.String(), "rings of one length, or a part number for each length of lead",
				"%s is cut to %d lengths, from rings of %s m in %s", p.Key, len(p.cuts), p.rows[0].CutFromM, p.rows[0].At("Cut from m"))
			return
		}
	}
}

// cutPlan is how leads of several lengths are cut, with or without the spares, which are
// allowed for each length by itself. It is nothing where they are not cut from rings.
func (p *part) cutPlan(b *Batch, spares bool) (cutting.Plan, bool) {
	if p.ringMM == 0 || len(p.cuts) < 2 {
		return cutting.Plan{}, false
	}
	wanted := make([]cutting.Lead, len(p.cuts))
	for i, c := range p.cuts {
		need := bom.Quantity(0)
		for _, e := range c.entries {
			need += b.Needs[e]
		}
		if spares {
			need += p.spareOf(need)
		}
		wanted[i] = cutting.Lead{Length: int64(c.mm), Count: int(need.Ceil())}
	}
	if spares {
		supplyAtLeast(wanted, int(p.suppliedAtLeast()))
	}
	plan, err := cutting.Make(int64(p.ringMM), wanted)
	return plan, err == nil
}

// supplyAtLeast adds what all leads lack to the least that is supplied to the length that
// most are wanted of.
func supplyAtLeast(wanted []cutting.Lead, least int) {
	all, most := 0, 0
	for i, w := range wanted {
		all += w.Count
		if w.Count > wanted[most].Count {
			most = i
		}
	}
	if all > 0 && all < least {
		wanted[most].Count += least - all
	}
}

// ringsOf is how many rings a batch needs of a part that is cut to several lengths, and
// how many more with the spares.
func (p *part) ringsOf(b *Batch) (need, spares bom.Quantity, ok bool) {
	plan, ok := p.cutPlan(b, false)
	if !ok {
		return 0, 0, false
	}
	need = bom.Whole(int64(plan.Count))
	if len(p.allowances) > 0 {
		plan, _ = p.cutPlan(b, true)
		spares = max(0, bom.Whole(int64(plan.Count))-need)
	}
	return need, spares, true
}

// listCuts tells how the rings of a batch are cut.
func listCuts(m *Model, b *Batch) {
	for i, p := range bom.Refs(m.parts) {
		if p.cuts == nil {
			continue
		}
		if plan, ok := p.cutPlan(b, true); ok {
			for _, r := range plan.Rings {
				ring := CutRing{Part: i, RingMM: p.ringMM, Times: r.Times, RestMM: bom.Quantity(r.Rest)}
				for k, n := range r.Leads {
					if n > 0 {
						ring.Leads = append(ring.Leads, CutLeads{p.cuts[k].mm, n})
					}
				}
				b.Cuts = append(b.Cuts, ring)
			}
		} else if len(p.cuts) == 1 {
			cutBought(b, i, p.cuts[0].mm)
		}
	}
}

// cutBought cuts leads of one length from the rings that are bought, one after the other.
func cutBought(b *Batch, part int, mm bom.Quantity) {
	left := int64(b.Parts[part].Takes.Ceil())
	for _, p := range bom.Refs(b.Purchases) {
		if p.Kind != Goods || p.Index != part || p.Unpriced || p.offer.CutFromM == 0 {
			continue
		}
		ring := p.offer.CutFromM * mmPerM
		each := int64(ring / mm)
		cut := func(times, leads int64) {
			if times > 0 && leads > 0 {
				b.Cuts = append(b.Cuts, CutRing{Part: part, RingMM: ring, Times: int(times), Leads: []CutLeads{{mm, int(leads)}}, RestMM: ring - mm*bom.Quantity(leads)})
				left -= times * leads
			}
		}
		have := int64(p.Pieces/bom.Quantity(each)) * p.Quantity / int64(bom.One)
		full := min(left/each, have)
		cut(full, each)
		if full < have {
			cut(1, left)
		}
	}
}
