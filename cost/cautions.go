package cost

import (
	"regexp"
	"slices"
	"strings"

	"tenoff/bom"
)

// topic is a matter of safety or law, the words of a bill of materials that
// give reason for it, in small letters, and what to say. Words are looked for in
// part numbers, descriptions, values, packages and materials.
type topic struct {
	words   *regexp.Regexp
	caution Caution
}

// Each caution names what it rests on and leaves the last word to local rules.
var (
	lithium = topic{
		regexp.MustCompile(`\b(lithium|li-?ion|li-?po(ly(mer)?)?|life(po4)?\s*cell|18650|21700|cr\d{4}|br\d{4})\b`),
		Caution{"lithium cells are dangerous goods in transport (UN 3480 alone, UN 3481 with equipment), and carriers may refuse them: ask the carrier before packing",
			"UN Manual of Tests and Criteria, 38.3"},
	}
	leaded = topic{
		regexp.MustCompile(`\b(leaded|sn6[03]\s*/?\s*pb\d*|tin[- ]lead|60/40|63/37)\b`),
		Caution{"leaded solder is over the lead limit for equipment placed on the EU market unless an exemption applies; other places have rules of their own",
			"Directive 2011/65/EU, Annex II"},
	}
	mains = topic{
		regexp.MustCompile(`\b(mains\b|(110|115|120|220|230|240)\s*v\s*(ac\b|~)|iec\s*60320\b|live\s*wire\b)`),
		Caution{"mains voltage can kill: the design needs a competent safety assessment under local rules, which an estimate is not",
			"Directive 2014/35/EU; IEC 62368-1"},
	}
	styrene = topic{
		regexp.MustCompile(`\b(abs|asa|styrene|hips)\b`),
		Caution{"printing ABS or ASA gives off styrene besides ultrafine particles: ventilate the room, and keep out of it while it prints",
			"ANSI/CAN/UL 2904"},
	}
	flux = Caution{"rosin flux fume can cause asthma: extract it at the joint, and wear eye protection when cutting leads",
		"UK HSE INDG249"}
	hotPrinter = Caution{"printers give off ultrafine particles and vapours and have hot parts: ventilate, and follow the maker's guidance on unattended printing",
		"ANSI/CAN/UL 2904"}
	manufacturer = Caution{"giving away or selling kits or devices can make you a manufacturer in law, free or not: ask the local authority which rules apply",
		"Decision 768/2008/EC; 47 CFR 15; Directive 2012/19/EU"}
	customs = Caution{"duty and tax are estimates: the customs office decides, and thresholds change",
		"WTO Customs Valuation Agreement, Art. 8"}
)

// anyTopic matches what one of the topics does: nearly no text mentions any.
var anyTopic = func() *regexp.Regexp {
	var words []string
	for _, t := range []topic{mains, lithium, leaded, styrene} {
		words = append(words, t.words.String())
	}
	return regexp.MustCompile(strings.Join(words, "|"))
}()

// cautions lists what the run and the texts of its lines give reason for, in a
// fixed order.
func (m *Model) cautions(batches []Batch, texts []string) []Caution {
	var out []Caution
	for _, t := range []topic{mains, lithium, leaded} {
		if slices.ContainsFunc(texts, t.words.MatchString) {
			out = append(out, t.caution)
		}
	}
	soldered := false
	for _, row := range m.work {
		soldered = soldered || row.op.AppliesTo == classSMT || row.op.AppliesTo == classTHT || row.op.AppliesTo == classWire
	}
	for _, e := range m.entries {
		hand := classOf(e.Line) == classTHT || classOf(e.Line) == classSMT && !e.Machine
		soldered = soldered || hand
	}
	if soldered {
		out = append(out, flux)
	}
	if len(m.printed) > 0 {
		out = append(out, hotPrinter)
		if slices.ContainsFunc(texts, styrene.words.MatchString) {
			out = append(out, styrene.caution)
		}
	}
	out = append(out, manufacturer)
	for _, b := range batches {
		if b.Categories[DutyAndTax].Cash.IsPositive() || m.dutiable() {
			return append(out, customs)
		}
	}
	return out
}

// dutiable tells whether a supplier of the run has a rate of duty or tax, even
// where the order stays under the thresholds.
func (m *Model) dutiable() bool {
	for _, s := range m.suppliers {
		if s.Duty.IsPositive() || s.Tax.IsPositive() {
			return true
		}
	}
	return false
}

// texts are what the lines say of their parts and mentions a topic, in small
// letters. Each is looked at once: many lines share a description or a package.
func (m *Model) texts() []string {
	var out []string
	seen := map[string]bool{"": true}
	for i := range m.entries {
		l := m.entries[i].Line
		text := []string{l.Part, l.Description, l.Value, l.Package, l.Material}
		if l.Kind != bom.KindPrinted {
			text = text[:4]
		}
		for _, t := range text {
			if seen[t] {
				continue
			}
			seen[t] = true
			if low := strings.ToLower(t); anyTopic.MatchString(low) {
				out = append(out, low)
			}
		}
	}
	return out
}
