package cost_test

import (
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/waysout"
)

// packaged is a run of parts in packages that are spelled in many ways; names of
// libraries are invented. Spellings that are one package: TestSamePackage of bom.
var packaged = input{
	"unit.csv": `Designator,Value,Package,Mount
R1,4k7,0603,SMT
R2,4.7 kΩ,shelf_smd:R_0603_1608Metric,SMT
C1,100n,CAPC1608X90N,SMT
D1,2V7,shelf:SOT-23-5,SMT
`,
	"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
	"prices/offers.csv": `Part number,Supplier,Price
4K7 1608M,Corner Parts,0.01
0.1 µF 0603,Corner Parts,0.02
2V7 SOT23-5,Corner Parts,0.30
`,
}

// TestPriceOfAnyPackageSpelling: keys of the price sheet name a package by what
// it is.
func TestPriceOfAnyPackageSpelling(t *testing.T) {
	e := compute(t, packaged.read(t))
	if len(e.Parts) != 3 {
		t.Fatalf("%d parts; want the two resistors as one", len(e.Parts))
	}
	equal(t, "goods", e.Batches[0].Total.Cash, "3.40") // 20 × 0.01 + 10 × 0.02 + 10 × 0.30
	other := packaged.with("prices/offers.csv", strings.Replace(packaged["prices/offers.csv"], "4K7 1608M", "4K7 0603M", 1))
	if compute(t, other.read(t)).Complete {
		t.Error("4K7 0603M, which is a smaller chip, names a 0603")
	}
	// Letters of the text are compared before its meaning.
	exact := packaged.with(
		"unit.csv", "Designator,Part number,Value,Package,Mount\nR1,4K7 0603,,,SMT\nR2,,4k7,R_0603,SMT\n",
		"prices/offers.csv", "Part number,Supplier,Price\n4K7 0603,Corner Parts,0.01\n4k7 R_0603,Corner Parts,0.02\n")
	equal(t, "two parts with a price each", one(t, exact.read(t), 10).Total.Cash, "0.30")
}

// TestPackageOfSeveralWords: the package at the end of a key may have gaps.
func TestPackageOfSeveralWords(t *testing.T) {
	in := packaged.with(
		"unit.csv", "Designator,Value,Package,Mount\nC1,100u,CP_Radial_D5.0mm_P2.00mm,THT\nC2,100u,CP_Radial_D8.0mm_P3.50mm,THT\n",
		"prices/offers.csv", "Part number,Supplier,Price\n100u radial D5 P2,Corner Parts,0.10\n100u radial D8 P3.5,Corner Parts,0.20\n")
	equal(t, "goods", one(t, in.read(t), 10).Total.Cash, "3.00")
}

// TestOneOhmIsNotAnother: a bead and a thermistor of so many ohms are no
// resistor, though the package is one.
func TestOneOhmIsNotAnother(t *testing.T) {
	in := packaged.with(
		"unit.csv", "Designator,Value,Package,Mount\nR1,600R,R_0603,SMT\nFB1,600R,FB_0603,SMT\nRT1,600R,own:0603,SMT\n",
		"prices/offers.csv", "Part number,Supplier,Price\n600R 0603,Corner Parts,0.01\n")
	_, problems := cost.Compute(in.read(t))
	if text := said(problems); !strings.Contains(text, "means several parts") || !strings.Contains(text, "a part number in the bill of materials for each") {
		t.Errorf("600R for three different parts: %s", text)
	}
	run := in.with("prices/offers.csv", "Part number,Supplier,Price\nQX,Corner Parts,0.01\n").read(t)
	if e := compute(t, run); len(e.Parts) != 3 {
		t.Errorf("%d parts, want 3", len(e.Parts))
	}
	run.Scarce.Left = []cost.Left{{Part: "600R R_0603"}}
	found, problems := waysout.Find(run)
	if problems.Failed() || len(found.Parts) != 3 {
		t.Errorf("%d parts are short, want 3: %s", len(found.Parts), said(problems))
	}
	for _, p := range found.Parts {
		if len(p.Ways)+len(p.Lacking) > 0 {
			t.Errorf("a bead stands in for a resistor: %+v", p)
		}
	}
	spelled := in.with("prices/offers.csv", "Part number,Supplier,Price\n600R R_0603,Corner Parts,0.01\n600R FB_0603,Corner Parts,0.02\n600R own:0603,Corner Parts,0.04\n")
	equal(t, "each by its spelling", one(t, spelled.read(t), 10).Total.Cash, "0.70")
}

// TestAttritionByPackage: the row that names the package, in any spelling;
// of two that name it, the one that says most.
func TestAttritionByPackage(t *testing.T) {
	for _, row := range []struct {
		why, pkg, rows string
		want           int64
	}{
		{"the same spelling", "0805", "smt,0805,,3\nsmt,,,1\n", 3},
		{"a name of a library", "shelf_smd:LED_0805_2012Metric", "smt,0805,,3\nsmt,,,1\n", 3},
		{"a metric code in the row", "C0805", "smt,2012M,,3\nsmt,,,1\n", 3},
		{"an outline", "SOT-25", "smt,SOT23-5,,3\nsmt,,,1\n", 3},
		{"another number of pins", "SOT-23-5", "smt,SOT-23,,3\nsmt,,,1\n", 1},
		{"a family", "QFN-16-1EP_3x3mm_P0.5mm", "smt,QFN,,3\nsmt,,,1\n", 3},
		{"a number of pins before a family", "QFN-16-1EP_3x3mm_P0.5mm", "smt,QFN,,3\nsmt,QFN-16,,4\nsmt,,,1\n", 4},
		{"the whole package before its number of pins", "QFN-16-1EP_3x3mm_P0.5mm", "smt,QFN-16,,4\nsmt,QFN-16 EP 3x3,,5\n", 5},
		{"several chips are no chip", "R_Array_Convex_4x0603", "smt,0603,,3\nsmt,,,1\n", 1},
		{"a package that nobody knows", "qx 77", "smt,QX-77,,3\nsmt,,,1\n", 3},
	} {
		in := packaged.with(
			"unit.csv", "Designator,Part number,Package,Mount\nU1,QX-1,"+row.pkg+",SMT\n",
			"prices/offers.csv", "Part number,Supplier,Price\nQX-1,Corner Parts,1.00\n",
			"prices/attrition.csv", "Applies to,Package,Percent,Pieces\n"+row.rows)
		b := one(t, in.read(t), 10)
		if got := b.Parts[0].Allowance; got != bom.Whole(row.want) {
			t.Errorf("%s: %s in excess, want %d", row.why, got, row.want)
		}
	}
}

// TestRowsOfOnePackage: two rows that mean one package are two rows for one
// thing.
func TestRowsOfOnePackage(t *testing.T) {
	for _, row := range []struct {
		why, file, text, want string
	}{
		{"attrition", "prices/attrition.csv", "Applies to,Package,Percent\nsmt,0805,2\nsmt,R_0805_2012Metric,3\n", "the allowance stands twice, here and in row 2"},
		{"on hand", "prices/on-hand.csv", "Part number,Quantity\n4k7 0603,5\n4.7 kΩ R_0603,6\n", "the part stands twice with this unit value and giver, here and in row 2"},
	} {
		run, problems := packaged.with(row.file, row.text).tryRead()
		if !problems.Failed() {
			_, problems = cost.Compute(run)
		}
		if !strings.Contains(said(problems), row.want) {
			t.Errorf("%s: %s", row.why, said(problems))
		}
	}
	in := packaged.with("prices/substitutes.csv", "Part number,Substitute,Extra per unit\n4k7 0603,4k3 0603,0.10\n4.7 kΩ R_0603,4k3 C0603,0.20\n")
	run := in.read(t)
	run.Take = []cost.Swap{{Part: "4k7 0603", Substitute: "4k3 0603"}}
	if _, problems := cost.Compute(run); !strings.Contains(said(problems), "stands twice, here and in row 2") {
		t.Errorf("substitutes: %s", said(problems))
	}
}
