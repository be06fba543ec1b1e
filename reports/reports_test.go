package reports

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/typed"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden compares with a file of testdata, or rewrites it.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; -update rewrites it\ngot:\n%s", path, got)
	}
}

func TestJSONGolden(t *testing.T) {
	for name, e := range map[string]*cost.Estimate{
		"frost.json":    typed.Frost(t, 10, 40),
		"unpriced.json": typed.Unpriced(t, 10),
	} {
		var b bytes.Buffer
		if err := WriteJSON(&b, &Report{Estimate: e}); err != nil {
			t.Fatal(err)
		}
		golden(t, name, b.Bytes())
		if !IsOursJSON(b.Bytes()) {
			t.Errorf("%s is not taken for our own", name)
		}
	}
}

// keysInOrder walks JSON and gives, for each object path, its keys in order.
func keysInOrder(t *testing.T, data []byte) map[string]string {
	t.Helper()
	keys := map[string]string{}
	dec := json.NewDecoder(bytes.NewReader(data))
	var walk func(path string)
	walk = func(path string) {
		token, err := dec.Token()
		if err != nil {
			t.Fatal(err)
		}
		switch token {
		case json.Delim('{'):
			var names []string
			for dec.More() {
				name, err := dec.Token()
				if err != nil {
					t.Fatal(err)
				}
				names = append(names, name.(string))
				walk(path + "/" + name.(string))
			}
			_, _ = dec.Token()
			keys[path] = strings.Join(names, " ")
		case json.Delim('['):
			for dec.More() {
				walk(path)
			}
			_, _ = dec.Token()
		}
	}
	walk("")
	return keys
}

// The keys and their order are what other programs rely on: within a schema number they stay.
func TestJSONKeys(t *testing.T) {
	want := map[string]string{
		"":                           "schema currency level complete batches assumptions warnings cautions",
		"/batches":                   "batch starts total unit categories purchases fees plates plates_in_all hand_work payers post charge plan",
		"/batches/total":             "cash own stock consumed surplus reclaim",
		"/batches/unit":              "cash consumed",
		"/batches/categories":        "name cash own stock consumed surplus reclaim",
		"/batches/purchases":         "supplier order_code part demand quantity unit_price currency line_fee cash consumed surplus",
		"/batches/fees":              "payee what category cash own",
		"/batches/plates":            "part material printer per_plate plates expected filament_g hours",
		"/batches/plates_in_all":     "plates expected",
		"/batches/hand_work":         "operation hours cash own",
		"/batches/payers":            "payer cash own stock consumed surplus reclaim categories",
		"/batches/post":              "zone parcels units service mass_g chargeable_g price currency cash",
		"/batches/payers/categories": "name cash own stock consumed surplus reclaim",
		"/batches/charge":            "unit_cost payment_fee margin sales_tax rounding price income",
		"/batches/charge/income":     "sold asked payment_fees sales_tax net cash_surplus over_cost",
		"/batches/plan":              "ready_day no_earlier_than not_known path tasks",
		"/batches/plan/tasks":        "task start days end slack critical waits_for",
	}
	var b bytes.Buffer
	if err := WriteJSON(&b, &Report{Estimate: typed.Frost(t, 10)}); err != nil {
		t.Fatal(err)
	}
	got := keysInOrder(t, b.Bytes())
	for path, keys := range want {
		if got[path] != keys {
			t.Errorf("%q has the keys %q, want %q", path, got[path], keys)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d kinds of object, want %d: %v", len(got), len(want), got)
	}
}

// Two products share a plate: each counts it, and all plates are one fewer than both say.
// Made differently far, they have no level in common.
func TestJSONPlates(t *testing.T) {
	e := &cost.Estimate{Products: []cost.Product{{Name: "black"}, {Name: "white"}}, Entries: []cost.Entry{{}, {Product: 1}},
		Batches: []cost.Batch{{Size: 10, Printed: 3.75, Groups: []cost.PlateGroup{{Runs: []int{0, 1}, Plates: 3}},
			Plates: []cost.PlateRun{{Part: "LID", Plates: 2}, {Entry: 1, Part: "LID", Plates: 2}}}}}
	var b bytes.Buffer
	if err := WriteJSON(&b, &Report{Estimate: e}); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Batches []struct {
			Plates []struct{ Product string }
			InAll  struct {
				Plates   int
				Expected float64
			} `json:"plates_in_all"`
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(b.Bytes(), []byte("level")) {
		t.Error("a level of all products, which have none in common")
	}
	if x := got.Batches[0]; x.InAll.Plates != 3 || x.InAll.Expected != 3.75 || x.Plates[0].Product != "black" || x.Plates[1].Product != "white" {
		t.Errorf("plates %+v", x)
	}
}

type jsonMoney struct {
	Batches []struct {
		Total, Unit map[string]string
		Categories  []map[string]string
		Purchases   []map[string]any
		Fees        []map[string]string
		HandWork    []map[string]any `json:"hand_work"`
		Payers      []map[string]any
	}
}

// What leaves the account is bought, charged or worked: the three lists add up
// to the total to the cent, and so do categories and payers.
func TestJSONAddsUp(t *testing.T) {
	var b bytes.Buffer
	if err := WriteJSON(&b, &Report{Estimate: typed.Frost(t, 1, 7, 10, 40, 200)}); err != nil {
		t.Fatal(err)
	}
	var got jsonMoney
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for i, batch := range got.Batches {
		total := decimal.RequireFromString(batch.Total["cash"])
		parts, categories, payers := total, total, total
		for _, p := range batch.Purchases {
			parts = parts.Sub(decimal.RequireFromString(p["cash"].(string)))
		}
		for _, f := range batch.Fees {
			parts = parts.Sub(decimal.RequireFromString(f["cash"]))
		}
		for _, w := range batch.HandWork {
			parts = parts.Sub(decimal.RequireFromString(w["cash"].(string)))
		}
		for _, c := range batch.Categories {
			categories = categories.Sub(decimal.RequireFromString(c["cash"]))
		}
		for _, p := range batch.Payers {
			payers = payers.Sub(decimal.RequireFromString(p["cash"].(string)))
		}
		for what, left := range map[string]decimal.Decimal{"purchases, fees and hand work": parts, "categories": categories, "payers": payers} {
			if !left.IsZero() {
				t.Errorf("batch %d: %s miss the total cash by %s", i, what, left)
			}
		}
	}
}

// Minor digits from ISO 4217: JPY 0, EUR 2, KWD 3; per unit four decimals.
func TestJSONDigits(t *testing.T) {
	for code, decimals := range map[string]int{"JPY": 0, "EUR": 2, "KWD": 3} {
		var b bytes.Buffer
		if err := WriteJSON(&b, &Report{Estimate: typed.FrostIn(t, code, 10)}); err != nil {
			t.Fatal(err)
		}
		var got jsonMoney
		if err := json.Unmarshal(b.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		for key, s := range got.Batches[0].Total {
			if _, after, _ := strings.Cut(s, "."); len(after) != decimals {
				t.Errorf("%s: total %s is %s, want %d decimals", code, key, s, decimals)
			}
		}
		for key, s := range got.Batches[0].Unit {
			if _, after, _ := strings.Cut(s, "."); len(after) != 4 {
				t.Errorf("%s: unit %s is %s, want 4 decimals", code, key, s)
			}
		}
	}
}

// Lists without members are empty lists, not null.
func TestJSONEmptyLists(t *testing.T) {
	var b bytes.Buffer
	if err := WriteJSON(&b, &Report{Estimate: &cost.Estimate{Currency: bom.Currency{Code: "EUR", Digits: 2}, Batches: []cost.Batch{{Size: 1}}}}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "null") {
		t.Errorf("null in:\n%s", b.String())
	}
}

// csvFiles writes every table of an estimate.
func csvFiles(t *testing.T, e *cost.Estimate) (names []string, files map[string][]byte) {
	t.Helper()
	files = map[string][]byte{}
	for _, table := range Tables(&Report{Estimate: e}) {
		var b bytes.Buffer
		if err := table.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		name := table.FileName() + ".csv"
		names = append(names, name)
		files[name] = b.Bytes()
	}
	return names, files
}

func TestCSVGolden(t *testing.T) {
	names, files := csvFiles(t, typed.Frost(t, 10, 40))
	for _, name := range names {
		golden(t, filepath.Join("csv", name), files[name])
	}
	_, files = csvFiles(t, typed.Unpriced(t, 10))
	for _, name := range []string{"to-buy.csv", "unit-cost.csv", "left-over.csv", "warnings.csv"} {
		golden(t, filepath.Join("csv-unpriced", name), files[name])
	}
}

// Text that a spreadsheet would run as a formula is made safe; a number that
// is negative stays a number.
func TestCSVText(t *testing.T) {
	table := Table{Columns: []Column{{Heading: "A"}, {Heading: "B", Format: AsMoney(bom.Currency{Code: "EUR", Digits: 2})}}}
	for _, row := range []struct{ text, want, why string }{
		{"=1+1", "'=1+1", "formula"},
		{"+7701", "'+7701", "order code that would become a number"},
		{"-12V", "'-12V", "part number that starts with a minus"},
		{"@here", "'@here", "function in one spreadsheet"},
		{"\t=1", "' =1", "tab, which is passed over"},
		{"\r=1", "' =1", "carriage return, which is passed over"},
		{"＝1", "'＝1", "full-width signs, which some take for the narrow ones"},
		{"＋1", "'＋1", "the same"},
		{"－1", "'－1", "the same"},
		{"＠x", "'＠x", "the same"},
		{"A\x00B\x1b[1m\u202eC\nD", "A\uFFFDB\uFFFD[1m\uFFFDC D", "control characters"},
		{"a=1", "a=1", "equals sign that is harmless"},
		{"ünï, \"q\"", "ünï, \"q\"", "comma and quotes survive"},
	} {
		table.Rows = []Row{{Values: []Value{Text(row.text), Number(decimal.RequireFromString("-3.5"))}}}
		var b bytes.Buffer
		if err := table.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		records, err := csv.NewReader(&b).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if got := records[1][0]; got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
		if got := records[1][1]; got != "-3.50" {
			t.Errorf("%s: the number beside it is %q", row.why, got)
		}
	}
}

func TestIsOurs(t *testing.T) {
	_, files := csvFiles(t, typed.Frost(t, 3, 250))
	for name, data := range files {
		if !IsOursCSV(data) {
			t.Errorf("%s is not taken for our own", name)
		}
	}
	for _, row := range []struct {
		data, why string
	}{
		{"", "empty file"},
		{"Designator,Quantity\nR1,1\n", "a bill of materials"},
		{"Category\n", "part of a heading row"},
		{"\"Category", "open quote"},
	} {
		if IsOursCSV([]byte(row.data)) {
			t.Errorf("%s is taken for our own", row.why)
		}
	}
	for _, data := range []string{"", "{}", `{"schema":"another-1"}`, `{"schema":"tenoff-estimate-2"`, "[1]"} {
		if IsOursJSON([]byte(data)) {
			t.Errorf("%q is taken for our own", data)
		}
	}
}

// column sums the body of a column for one batch.
func column(t *testing.T, table Table, key string, size int) decimal.Decimal {
	t.Helper()
	at, found := 0, false
	for i, c := range table.Columns {
		if c.Key == key && (c.Batch == (&cost.Batch{Size: size}).ID() || c.Batch == "") {
			at, found = i, true
		}
	}
	if !found {
		t.Fatalf("%s has no column %s", table.Name, key)
	}
	total := decimal.Zero
	for _, r := range table.Rows[:table.Body()] {
		if batch, ok := r.Values[0].Decimal(); ok && table.Columns[0].Key == "batch" && batch.IntPart() != int64(size) {
			continue
		}
		d, _ := r.Values[at].Decimal()
		total = total.Add(d)
	}
	return total
}

// Every column of money adds up to what the estimate says of the whole.
func TestColumnsAddUp(t *testing.T) {
	e := typed.Frost(t, 1, 10, 40, 333)
	for i := range e.Batches {
		b := &e.Batches[i]
		var lines, orders, purchases, fees decimal.Decimal
		for _, a := range b.Lines {
			lines = lines.Add(a.Cash)
		}
		for _, o := range b.Orders {
			orders = orders.Add(o.Total())
		}
		for _, p := range b.Purchases {
			purchases = purchases.Add(p.Cash)
		}
		for _, f := range b.Fees {
			fees = fees.Add(f.Cash)
		}
		tablesAddUp(t, "sample", e)
		for _, row := range []struct {
			table Table
			key   string
			want  decimal.Decimal
		}{
			{Lines(e), "cash", lines},
			{Orders(e), "total", orders},
			{ToBuy(e), "cash", purchases},
			{Fees(e), "cash", fees},
		} {
			if got := column(t, row.table, row.key, b.Size); !got.Equal(row.want) {
				t.Errorf("batch %d: %s, %s adds up to %s, want %s", b.Size, row.table.Name, row.key, got, row.want)
			}
		}
	}
}

// The price to charge is shown only where the settings ask for one: rounding
// the unit cost up to the cent asks for none.
func TestPriceToCharge(t *testing.T) {
	for _, row := range []struct {
		price string
		want  bool
		why   string
	}{
		{"21.56", false, "rounded up to the cent"},
		{"22", true, "rounded up to a step"},
		{"25.05", true, "with a margin"},
	} {
		e := typed.Frost(t, 10)
		if got := e.Batches[0].Charge.UnitCost.String(); got != "21.553" {
			t.Fatalf("the frost alarm costs %s", got)
		}
		e.Batches[0].Charge.Price = decimal.RequireFromString(row.price)
		answer := UnitCost(e)
		if got := answer.Find(RowPrice) != nil; got != row.want {
			t.Errorf("%s: shown %v", row.why, got)
		}
	}
}

// Every row has a value for each column, keys are unique, and rows of data
// come first, or a writer would put figures in the wrong place.
func TestTablesAreWhole(t *testing.T) {
	for _, e := range []*cost.Estimate{typed.Frost(t, 10, 40), typed.Unpriced(t, 10), {Batches: []cost.Batch{{Size: 1}}}} {
		for _, table := range Tables(&Report{Estimate: e}) {
			keys := map[string]bool{}
			for i, r := range table.Rows {
				if len(r.Values) != len(table.Columns) {
					t.Errorf("%s: row %d has %d values for %d columns", table.Name, i, len(r.Values), len(table.Columns))
				}
				if r.Key != "" && keys[r.Key] {
					t.Errorf("%s: the key %q stands twice", table.Name, r.Key)
				}
				keys[r.Key] = true
				if i >= table.Body() && r.Role == Body {
					t.Errorf("%s: row %d of data stands behind a total", table.Name, i)
				}
			}
		}
	}
} // A figure per unit is rounded once: 0.50 over 101 units is 0.00495, which is 0.0050 to
// four decimals and 0.00, not 0.01, to two.
func TestPerUnitIsRoundedOnce(t *testing.T) {
	b := cost.Batch{Size: 101}
	as := AsUnitMoney(bom.Currency{Code: "EUR", Digits: 2})
	v := Number(b.PerUnit(decimal.RequireFromString("0.50")))
	if v.Shown(as) != "0.00" || v.Exact(as) != "0.0050" {
		t.Errorf("shown %s, kept %s; want 0.00 and 0.0050", v.Shown(as), v.Exact(as))
	}
}

// Where something has no price, "?" stands in every figure that rests on it.
func TestUnknownIsNeverZero(t *testing.T) {
	e := typed.Unpriced(t, 10)
	_, files := csvFiles(t, e)
	for _, row := range []struct{ file, start, want string }{
		{"unit-cost.csv", "SMT parts,", "SMT parts,EUR per unit,?"},
		{"unit-cost.csv", "unit cost,", "unit cost,EUR per unit,?"},
		{"unit-cost.csv", "cash out,", "cash out,EUR,?"},
		{"batch-cost.csv", "total,", "total,?,?,?,?,?"},
		{"to-buy.csv", "10,,?,", "10,,?,?,?,FS-8,\"frost sensor, ±0.5 K\",24,?,?,?,?,?,?,?,?,?,?,?"},
		{"warnings.csv", "no price,", "no price,FS-8,"},
	} {
		found := false
		for line := range strings.Lines(string(files[row.file])) {
			line = strings.TrimSuffix(line, "\n")
			if strings.HasPrefix(line, row.start) {
				found = true
				if line != row.want {
					t.Errorf("%s: %s, want %s", row.file, line, row.want)
				}
			}
		}
		if !found {
			t.Errorf("%s has no row that starts with %q", row.file, row.start)
		}
	}
}

func TestMissing(t *testing.T) {
	if got := Missing(typed.Frost(t, 10)); len(got) != 0 {
		t.Errorf("nothing is missing, but %q", got)
	}
	got := Missing(typed.Unpriced(t, 10, 40))
	if len(got) != 1 || got[0] != "FS-8" {
		t.Errorf("missing at every batch: %q", got)
	}
	some := typed.Unpriced(t, 10, 40)
	some.Batches[0] = typed.Frost(t, 10, 40).Batches[0]
	if got := Missing(some); len(got) != 1 || got[0] != "FS-8 (batch 40)" {
		t.Errorf("missing at one batch: %q", got)
	}
}

func TestDesignators(t *testing.T) {
	for _, row := range []struct {
		in   []string
		want string
		why  string
	}{
		{nil, "", "none"},
		{[]string{"R1"}, "R1", "one"},
		{[]string{"R1", "R2"}, "R1, R2", "two are no run"},
		{[]string{"R1", "R2", "R3", "R5"}, "R1-R3, R5", "a gap ends a run"},
		{[]string{"R9", "R10", "R11"}, "R9-R11", "number of digits changes"},
		{[]string{"R1", "C2", "C3", "C4"}, "R1, C2-C4", "letters end a run"},
		{[]string{"R01", "R02", "R03"}, "R01, R02, R03", "leading zeros would be lost"},
		{[]string{"TP", "TP1", "TP2"}, "TP, TP1, TP2", "no number"},
		{[]string{"R3", "R2", "R1"}, "R3, R2, R1", "falling order is kept"},
	} {
		if got := Designators(row.in); got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}

func TestValues(t *testing.T) {
	eur := bom.Currency{Code: "EUR", Digits: 2}
	yen := bom.Currency{Code: "JPY"}
	for _, row := range []struct {
		value        Value
		format       Format
		shown, exact string
		why          string
	}{
		{Number(decimal.RequireFromString("12.5")), AsMoney(eur), "12.50", "12.50", "minor digits"},
		{Number(decimal.RequireFromString("1.005")), AsUnitMoney(eur), "1.01", "1.0050", "half away from zero when shown, four decimals kept"},
		{Number(decimal.RequireFromString("-1.005")), AsUnitMoney(eur), "-1.01", "-1.0050", "the same below zero"},
		{Number(decimal.RequireFromString("120")), AsMoney(yen), "120", "120", "no minor digits, and no zero lost"},
		{Number(decimal.RequireFromString("0.0123")), AsPrice(eur), "0.0123", "0.0123", "price as typed"},
		{Number(decimal.RequireFromString("3.4")), AsPrice(eur), "3.40", "3.40", "price has the minor digits at least"},
		{Number(decimal.RequireFromString("30")), AsPrice(yen), "30", "30", "price without decimals"},
		{Quantity(bom.Whole(100)), AsQuantity, "100", "100", "whole pieces keep their zeros"},
		{Quantity(350_000), AsQuantity, "0.35", "0.35", "part of a metre"},
		{Float(2.3500000001), AsHours, "2.35", "2.35", "hours"},
		{Float(1.0 / 3), AsHours, "0.33", "0.333333", "files keep more than is shown"},
		{Float(0.1 + 0.2), AsGrams, "0.3", "0.3", "no dust of binary fractions"},
		{Unknown(), AsMoney(eur), "?", "?", "unknown"},
		{Measure(bom.Measure{}), AsGrams, "?", "?", "unknown measure"},
		{Nothing(), AsMoney(eur), "", "", "nothing"},
		{Text(""), AsText, "", "", "empty text"},
		{Date(bom.Date{Year: 2026, Month: 3, Day: 9}), AsDate, "9 Mar 2026", "2026-03-09", "date"},
		{Number(decimal.RequireFromString("-1234567.891")), AsMoney(eur), "-1,234,567.89", "-1234567.89", "thousands are grouped for a reader, not in files"},
		{Number(decimal.RequireFromString("1234.5")), AsPrice(eur), "1,234.50", "1234.50", "in prices as well"},
		{Count(999), AsCount, "999", "999", "below a thousand nothing is grouped"},
		{Date(bom.Date{}), AsDate, "", "", "no date"},
	} {
		if got := row.value.Shown(row.format); got != row.shown {
			t.Errorf("%s: shown %q, want %q", row.why, got, row.shown)
		}
		if got := row.value.Exact(row.format); got != row.exact {
			t.Errorf("%s: exact %q, want %q", row.why, got, row.exact)
		}
	}
}

// A reader has thousands grouped in headings as in cells; files keep the plain number.
func TestHeadingsGroupThousands(t *testing.T) {
	b := cost.Batch{Size: 20000}
	c := Column{Key: "cash", Heading: "cash", Unit: "EUR", Batch: b.ID()}
	if got := c.Label(); got != "Batch 20,000 cash EUR" {
		t.Errorf("a reader sees %q", got)
	}
	if got := (&Table{Columns: []Column{c}}).headings(); got[0] != "Batch 20000 cash EUR" {
		t.Errorf("a file has %q", got[0])
	}
}

// Width follows Unicode Standard Annex 11 (East Asian Width): wide and
// fullwidth characters take two columns.
func TestWidth(t *testing.T) {
	for s, want := range map[string]int{"": 0, "kΩ": 2, "µ": 1, "霜警報": 6, "e\u0301": 1, "Ａ": 2, "é": 1} {
		if got := Width(s); got != want {
			t.Errorf("%q takes %d columns, want %d", s, got, want)
		}
	}
}
