package reports

import (
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"tenoff/bom"
)

// Measured is what a mesh or toolpath file comes to; what is not known is left
// out.
type Measured struct {
	File      string
	Piece     string // what the file calls the piece; may be empty
	Copies    int    // of the piece in the file; 0 and 1 for one
	Kind      string // "mesh" or "toolpath"
	VolumeMM3 bom.Measure
	AreaMM2   bom.Measure
	SizeMM    bom.Point
	Closed    bool // of a mesh
	G         bom.Measure
	FilamentM bom.Measure
	Hours     bom.Measure
	Layers    int // 0 where not known
	Warnings  []string
}

// IsMesh tells a mesh from a toolpath.
func (m *Measured) IsMesh() bool { return m.Kind == "mesh" }

// Measures is a row for each file. A file goes by its name without the folder
// where no two have the same.
func Measures(files []Measured) Table {
	t := Table{
		Name: "Measured",
		Lead: 1,
		Columns: slices.Concat(
			plain("file", "kind"),
			columns(Column{Unit: "mm"}, "size"),
			columns(Column{Unit: "cm3", Format: asMeasured}, "volume"),
			columns(Column{Unit: "cm2", Format: asMeasured}, "area"),
			columns(Column{Format: AsGrams}, "g: g"),
			columns(Column{Format: asMeasured}, "m: m"),
			columns(Column{Format: AsHours}, "hours: h"),
			columns(Column{Format: AsCount}, "layers"),
		),
	}
	names := shortNames(files)
	for i, m := range bom.Refs(files) {
		kind, s := m.Kind, m.SizeMM
		if m.IsMesh() {
			kind = map[bool]string{true: "closed ", false: "open "}[m.Closed] + m.Kind
		}
		t.add(Text(m.label(names[i])), Text(kind), Text(fmt.Sprintf("%.4g×%.4g×%.4g", s[0], s[1], s[2])),
			Float(m.VolumeMM3.Value/1000).where(m.IsMesh()), Float(m.AreaMM2.Value/100).where(m.IsMesh()),
			Measure(m.G), Measure(m.FilamentM), Measure(m.Hours), Count(m.Layers).unless(m.Layers == 0))
	}
	return t
}

// label is what a row is called: the file, and for one of several pieces its
// name and number.
func (m *Measured) label(file string) string {
	if strings.Contains(file, "#") && m.Piece != "" {
		file += " " + bom.Shown(m.Piece)
	}
	if m.Copies > 1 {
		file += fmt.Sprintf(" × %d", m.Copies)
	}
	return file
}

func shortNames(files []Measured) []string {
	short, full := make([]string, len(files)), make([]string, len(files))
	seen := map[string]bool{}
	same := false
	for i := range files {
		full[i], short[i] = files[i].File, path.Base(files[i].File)
		same = same || seen[short[i]]
		seen[short[i]] = true
	}
	if same {
		return full
	}
	return short
}

// asMeasured shows two decimals of cm³, cm² and m.
var asMeasured = Format{Kind: KindQuantity, Digits: 2, Keep: 6, Trim: true}

// exact keeps six decimals of a figure.
var exact = Format{Kind: KindQuantity, Keep: 6, Trim: true}

// WriteMeasuresJSON writes an array with an object for each file. A figure that
// is not known has no key; the size is X, Y, Z.
func WriteMeasuresJSON(w io.Writer, files []Measured) error {
	return writeJSON(w, bom.Each(files, func(m *Measured) object {
		var copies, closed any
		if m.Copies > 1 {
			copies = m.Copies
		}
		if m.IsMesh() {
			closed = m.Closed
		}
		return object{
			{"file", m.File}, {"piece", ifGiven(m.Piece)}, {"copies", copies}, {"kind", m.Kind},
			{"volume_mm3", jsonMeasure(m.VolumeMM3)},
			{"area_mm2", jsonMeasure(m.AreaMM2)}, {"size_mm", m.SizeMM}, {"closed", closed}, {"filament_g", jsonMeasure(m.G)},
			{"filament_m", jsonMeasure(m.FilamentM)}, {"hours", jsonMeasure(m.Hours)}, {"layers", ifGiven(m.Layers)},
			{"warnings", m.Warnings},
		}
	}))
}

func jsonMeasure(m bom.Measure) any {
	if !m.Known {
		return nil
	}
	return jsonFloat(m.Value, exact)
}
