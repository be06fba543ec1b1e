package cost

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"tenoff/bom"
)

// topic is a matter of safety or law, what speaks of it in a bill of materials, and what
// to say. It is looked for in part numbers, descriptions, values, packages and materials.
type topic struct {
	words   func() *regexp.Regexp
	caution Caution
}

// spelt makes the pattern of words in small letters when it is first asked for.
func spelt(words ...string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\b(?:` + strings.Join(words, "|") + `)`) })
}

// Each caution names what it rests on and leaves the last word to local rules.
var (
	lithium = topic{
		spelt(`lithium\b`, `li-?(ion|po(ly(mer)?)?)\b`, `life(po4)?\s*cell\b`, `18650\b`, `21700\b`, `cr\d{4}\b`, `br\d{4}\b`),
		Caution{"lithium cells are dangerous goods in transport (UN 3480 alone, UN 3481 with equipment); carriers differ in how many they take of what size, or refuse them: the rules of your carrier decide, ask before packing",
			"UN Manual of Tests and Criteria, 38.3",
			"lithium cells: do not crush, open or short them, charge them only as their maker says, and hand spent or damaged ones in for recycling"},
	}
	leaded = topic{
		spelt(`leaded\b`, `sn6[03]\s*/?\s*pb\d*\b`, `tin[- ]lead\b`, `60/40\b`, `63/37\b`),
		Caution{"leaded solder is over the lead limit for equipment placed on the EU market unless an exemption applies; other places have rules of their own",
			"Directive 2011/65/EU, Annex II",
			"leaded solder: wash your hands after handling it, and keep it from children"},
	}
	mains = topic{
		spelt(`mains\b`, `1(10|15|20)`+alternating, `2[234]0`+alternating, `iec\s*60320\b`, `live\s*wire\b`),
		Caution{"mains voltage can kill: the design needs a competent safety assessment under local rules, which an estimate is not",
			"Directive 2014/35/EU; IEC 62368-1",
			"mains voltage can kill: do not open it while it is plugged in, and leave repairs to the competent"},
	}
	styrene = topic{
		spelt(`abs\b`, `asa\b`, `styrene\b`, `hips\b`),
		Caution{"printing ABS or ASA gives off styrene besides ultrafine particles: ventilate the room, and keep out of it while it prints",
			"ANSI/CAN/UL 2904", ""},
	}
	flux = Caution{"rosin flux fume can cause asthma: extract it at the joint, and wear eye protection when cutting leads",
		"UK HSE INDG249", ""}
	hotPrinter = Caution{"printers give off ultrafine particles and vapours and have hot parts: ventilate, and follow the maker's guidance on unattended printing",
		"ANSI/CAN/UL 2904", ""}
	manufacturer = Caution{"giving away or selling kits or devices can make you a manufacturer in law, free or not: ask the local authority which rules apply",
		"Decision 768/2008/EC; 47 CFR 15; Directive 2012/19/EU", ""}
	customsCaution = Caution{"duty and tax are estimates: the customs office decides, and thresholds change",
		"WTO Customs Valuation Agreement, Art. 8", ""}
)

// alternating is what follows a figure that is a voltage of the mains.
const alternating = `\s*v\s*(ac\b|~)`

// findMentions are the topics that the lines speak of.
func findMentions(m *Model) []*topic {
	text := mentionedText(m)
	return slices.DeleteFunc([]*topic{&mains, &lithium, &leaded, &styrene}, func(t *topic) bool { return !t.words().MatchString(text) })
}

// listCautions lists what the run and the topics that it mentions give reason for, in
// a fixed order.
func listCautions(m *Model, batches []Batch, mentioned []*topic) []Caution {
	var out []Caution
	for _, t := range mentioned {
		if t != &styrene { // of interest only where something is printed
			out = append(out, t.caution)
		}
	}
	soldered, receiver := false, false // at the bench; by who gets a kit
	for _, row := range m.work {
		soldered = soldered || row.op.AppliesTo == classSMT || row.op.AppliesTo == classTHT || row.op.AppliesTo == classWire
	}
	for _, e := range m.entries {
		hand := (classOf(e.Line) == classTHT || classOf(e.Line) == classSMT) && leftToHand(batches, &e)
		soldered = soldered || hand
		receiver = receiver || m.products[e.Product].level == bom.LevelKit && classOf(e.Line) == classTHT && leftToHand(batches, &e)
	}
	if soldered {
		c := flux
		if receiver {
			c.User = "soldering: the iron burns, and rosin flux fume can cause asthma: draw it off, wear eye protection when cutting leads, and have an adult with every young builder"
		}
		out = append(out, c)
	}
	if len(m.printed) > 0 {
		out = append(out, hotPrinter)
		if slices.Contains(mentioned, &styrene) {
			out = append(out, styrene.caution)
		}
	}
	out = append(out, manufacturer)
	for _, b := range batches {
		if b.Categories[DutyAndTax].Cash.IsPositive() || dutiable(m) {
			return append(out, customsCaution)
		}
	}
	return out
}

// leftToHand tells whether some batch leaves a line to be soldered by hand.
func leftToHand(batches []Batch, e *Entry) bool {
	return slices.ContainsFunc(batches, func(b Batch) bool { return !b.Places(e) })
}

// dutiable tells whether a supplier of the run has a rate of duty or tax, even
// where the order stays under the thresholds.
func dutiable(m *Model) bool {
	return slices.ContainsFunc(m.supply.list, func(s bom.Supplier) bool { return s.Duty.IsPositive() || s.Tax.IsPositive() })
}

// mentionedText is what the lines say of their parts, in small letters. Each is given
// once: many lines share a description or a package.
func mentionedText(m *Model) string {
	var out strings.Builder
	seen := make(map[string]bool, 2*len(m.entries))
	for i := range m.entries {
		l := m.entries[i].Line
		text := []string{l.Part, l.Description, l.Value, l.Package, strings.Join(l.Hazard, ", "), l.Material}
		if l.Kind != bom.KindPrinted {
			text = text[:5]
		}
		for _, t := range text {
			if !seen[t] {
				seen[t] = true
				out.WriteString(strings.ToLower(t) + "\x00") // which no pattern reaches over
			}
		}
	}
	return out.String()
}
