package table

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// documentCell is a cell as it stands in the XML: its attributes (part 3,
// 9.1.4), and the text that is shown.
type documentCell struct {
	kind              []byte // office:value-type, 19.389
	value             []byte // the attribute that belongs to the kind
	currency, formula []byte
	fault             bool // the value is an error
	paragraphs
}

// valueAttributes are where the value of a kind stands (part 3, 19.389, table
// 14). A kind that is not here is none.
var valueAttributes = map[string]string{
	"float": "value", "percentage": "value", "currency": "value", "date": "date-value", "time": "time-value",
	"boolean": "boolean-value", "string": "string-value", "void": "", "": "",
}

// tableCell reads the cell that just started, to its end, and hands it over as
// often as it stands there. filled tells whether it holds anything.
func (w *documentWalk) tableCell(give bool) (filled bool, err error) {
	times, _, err := w.repeats("number-columns-repeated")
	if err != nil {
		return false, err
	}
	first := w.col + 1
	w.col = min(w.col+times, farthest)
	c := &w.cell
	if err := w.attributes(c); err != nil {
		return false, err
	}
	if err := w.content(&c.paragraphs); err != nil || w.b.cut {
		return false, err
	}
	out, err := w.means(c, bom.Place{Row: w.row, Col: first})
	if filled = out.Text != ""; err != nil || !filled || !give {
		return filled, err
	}
	for out.Col = first; out.Col < first+times && !w.b.cut; out.Col++ {
		if out.Col > sheetColumns {
			return false, fmt.Errorf("column %d is beyond the last that a sheet can have", out.Col)
		}
		w.b.cell(w.row, out)
	}
	return true, nil
}

func (w *documentWalk) attributes(c *documentCell) error {
	*c = documentCell{kind: w.In(officeSpace, "value-type"), paragraphs: paragraphs{text: c.text[:0]}}
	attr, known := valueAttributes[string(c.kind)]
	if !known {
		return fmt.Errorf("no cell is of the kind %q", markup.Short(c.kind))
	}
	if attr != "" {
		c.value = w.In(officeSpace, attr)
	}
	c.currency, c.formula = w.Attr("currency"), w.Attr("formula")
	c.fault = string(w.In(calcSpace, "value-type")) == "error"
	return nil
}

// calcSpace is where LibreOffice says that a value is an error, for which the
// standard has no kind.
const calcSpace = "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"

// isFault tells the names of errors that are in use (part 4, 5.12, table 4), and
// those by number, such as Err:502, that stand beside a value of 0.
func isFault(shown string) bool {
	if slices.Contains([]string{"#N/A", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#NULL!"}, shown) {
		return true
	}
	number, ok := strings.CutPrefix(shown, "Err:")
	return ok && number != "" && strings.Trim(number, "0123456789") == ""
}

// constants are the formulas that LibreOffice writes for a truth value that has
// no format of its own.
var constants = map[string]string{"of:=TRUE()": "yes", "of:=FALSE()": "no"}

// means tells what a cell means; its text is empty where it holds nothing.
func (w *documentWalk) means(c *documentCell, at bom.Place) (out bom.Cell, err error) {
	shown := strings.TrimFunc(string(c.text), blank)
	kind, number := string(c.kind), format{}
	formula, value := c.formula != nil, c.value != nil
	switch {
	case c.fault && shown == "":
		return bom.Cell{Kind: bom.Fault, Text: "error"}, nil
	case c.fault, formula && isFault(shown):
		return bom.Cell{Kind: bom.Fault, Text: shown}, nil
	case formula && !value && (!c.any || kind != "" && kind != "string"):
		return bom.Cell{Kind: bom.Stale, Text: "=" + plainFormula(string(c.formula))}, nil
	case constants[string(c.formula)] != "":
		return bom.Cell{Kind: bom.Logic, Text: constants[string(c.formula)]}, nil
	case kind == "", kind == "void", kind == "string" && !value:
		return bom.Cell{Text: shown}, nil
	case !value:
		return out, fmt.Errorf("cell %s has no value", at.Cell())
	case kind == "percentage":
		number.how = shownPercent
	}
	stored := string(c.value)
	switch kind {
	case "string":
		return bom.Cell{Text: stored}, nil
	case "boolean":
		return truth(stored)
	case "date":
		out.Kind, out.Text = dateCell(stored)
		return out, nil
	case "time":
		return bom.Cell{Text: duration(stored)}, nil
	}
	out.Kind, out.Text = number.number(stored, false)
	if out.Kind == bom.Native {
		out.Text = padded(out.Text, shown)
		out.Sign = w.signOf(c, shown)
	}
	return out, nil
}

func truth(value string) (bom.Cell, error) {
	switch trim(value) {
	case "1", "true":
		return bom.Cell{Kind: bom.Logic, Text: "yes"}, nil
	case "0", "false":
		return bom.Cell{Kind: bom.Logic, Text: "no"}, nil
	}
	return bom.Cell{}, fmt.Errorf("%q is no truth value", short(value))
}

// plainFormula writes a formula as it is typed: of:=[.B1]*2 is =B1*2 (part 4,
// 5.8).
func plainFormula(stored string) string {
	_, formula, _ := strings.Cut(stored, "=")
	return formulaTyped.Replace(formula)
}

var formulaTyped = strings.NewReplacer("[.", "", ":.", ":", "[", "", "]", "")

// duration writes a length of time, PT08H30M00S, as a clock does. One that does
// not consist of hours, minutes and seconds is left as it stands.
func duration(value string) string {
	rest, ok := strings.CutPrefix(value, "PT")
	d, err := time.ParseDuration(strings.ToLower(rest))
	if !ok || err != nil || d < 0 {
		return value
	}
	return clockTime(d.Hours()/24, true)
}

// padded gives a whole number with the noughts before it that are shown: they
// belong to part numbers.
func padded(number, shown string) string {
	rest := strings.TrimLeft(shown, "0")
	if wholeNumber(number) && len(rest) < len(shown) && len(shown) <= sheetDigits && (rest == number || rest == "" && number == "0") {
		return shown
	}
	return number
}

// signOf gives the currency of a number: the one that is named (part 3, 19.373),
// or the one that is shown with it.
func (w *documentWalk) signOf(c *documentCell, shown string) uint16 {
	sign := string(bytes.TrimSpace(c.currency))
	if bom.CurrencySigns(sign) == nil {
		sign = strings.Trim(shown, "0123456789.,' \u00a0\u202f+-()")
	}
	if bom.CurrencySigns(sign) == nil {
		return 0
	}
	return signOf(&w.b.table.Signs, sign)
}
