package reports

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"tenoff/bom"
)

func TestMeasuresTable(t *testing.T) {
	mesh := Measured{File: "a/box.stl", Kind: "mesh", VolumeMM3: bom.Known(8000), AreaMM2: bom.Known(2400), SizeMM: bom.Point{20, 20, 20}, Closed: true,
		FilamentM: bom.Known(3.3), Hours: bom.Known(0.5), Layers: 100}
	path := Measured{File: "b/bar.gcode", Kind: "toolpath", SizeMM: bom.Point{100, 20.5, 0.2}, G: bom.Known(9.92), FilamentM: bom.Known(3.3), Hours: bom.Known(0.5)}
	other := mesh
	other.File, other.Closed = "b/box.stl", false
	for _, c := range []struct {
		why       string
		files     []Measured
		row       int
		key, want string
	}{
		{"short names where they differ", []Measured{mesh, path}, 0, "file", "box.stl"},
		{"whole names where they do not", []Measured{mesh, other}, 1, "file", "b/box.stl"},
		{"closed", []Measured{mesh}, 0, "kind", "closed mesh"},
		{"open", []Measured{other}, 0, "kind", "open mesh"},
		{"volume in cm3", []Measured{mesh}, 0, "volume", "8.00"},
		{"a toolpath has no volume", []Measured{path}, 0, "volume", ""},
		{"a mass that is not known is no 0", []Measured{mesh}, 0, "g", "?"},
		{"the size", []Measured{path}, 0, "size", "100×20.5×0.2"},
	} {
		table := Measures(c.files)
		for i, col := range table.Columns {
			if v := table.Rows[c.row].Values[i]; col.Key == c.key && v.Shown(v.FormatIn(col)) != c.want {
				t.Errorf("%s: %q, want %q", c.why, v.Shown(v.FormatIn(col)), c.want)
			}
		}
	}
}

// The keys are fixed; one that is not known is left out.
func TestMeasuresJSON(t *testing.T) {
	var b bytes.Buffer
	files := []Measured{
		{File: "a.stl", Kind: "mesh", VolumeMM3: bom.Known(1), AreaMM2: bom.Known(2), SizeMM: bom.Point{1, 2, 3}, G: bom.Known(1), FilamentM: bom.Known(1),
			Hours: bom.Known(1), Layers: 5, Warnings: []string{"w"}},
		{File: "a.gcode", Kind: "toolpath"},
	}
	if err := WriteMeasuresJSON(&b, files); err != nil {
		t.Fatal(err)
	}
	var got []map[string]any
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	all := []string{"area_mm2", "closed", "filament_g", "filament_m", "file", "hours", "kind", "layers", "size_mm", "volume_mm3", "warnings"}
	if keys := slices.Sorted(maps.Keys(got[0])); !slices.Equal(keys, all) {
		t.Errorf("keys %v, want %v", keys, all)
	}
	if got[0]["closed"] != false {
		t.Error("an open mesh does not say so")
	}
	if keys := slices.Sorted(maps.Keys(got[1])); !slices.Equal(keys, []string{"file", "kind", "size_mm", "warnings"}) {
		t.Errorf("keys of what is not known: %v", keys)
	}
}
