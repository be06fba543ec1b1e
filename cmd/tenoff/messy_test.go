package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/reports"
)

// messyDir holds tables as people and their programs leave them, all invented:
// NAME.bom.csv, .xlsx and .ods are bills of materials, NAME.prices.xlsx and .ods
// are price sheets, NAME.quote.csv is a supplier's quote, and NAME.TAB.csv is one
// tab of a price sheet. Beside each stands
// NAME.want: why the file is there, the flags that it is read with, and what it
// is read as, or what is said of it, word for word.
const messyDir = "../../fixtures/messy"

// leastMessy is how many files the folder holds at least.
const leastMessy = 60

// messySupplier is who is asked for in quotes.
const messySupplier = "Larkfield Parts"

// wantEnding is that of the file that says what another is read as.
const wantEnding = ".want"

// TestMessyFiles reads every file of fixtures/messy as the commands do, and
// checks it by the command besides. With -update what was read is written down.
func TestMessyFiles(t *testing.T) {
	dir, err := filepath.Abs(filepath.FromSlash(messyDir))
	if err != nil {
		t.Fatal(err)
	}
	writeMessyBooks(t)
	files, wants := messyNames(t)
	if len(files) < leastMessy {
		t.Errorf("%d files stand in fixtures/messy, %d are wanted", len(files), leastMessy)
	}
	for _, file := range files {
		stem, _, _ := strings.Cut(file, ".")
		want := stem + wantEnding
		if !wants[want] && !*update {
			t.Errorf("%s has no %s", file, want)
			continue
		}
		delete(wants, want)
		t.Run(stem, func(t *testing.T) { messyFile(t, dir, file, want) })
	}
	for want := range wants {
		t.Errorf("%s belongs to no file, or to two", want)
	}
}

// messyNames lists the files and the names of what they are to be read as.
func messyNames(t *testing.T) (files []string, wants map[string]bool) {
	t.Helper()
	wants = map[string]bool{}
	for _, name := range names(t, messyDir) {
		if strings.HasSuffix(name, wantEnding) {
			wants[name] = true
			continue
		}
		files = append(files, name)
	}
	return files, wants
}

func messyFile(t *testing.T, folder, file, want string) {
	content, err := os.ReadFile(filepath.Join(folder, file))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, want)
	old, err := os.ReadFile(path)
	if err != nil && !*update {
		t.Fatal(err)
	}
	head, flags := wantHead(t, want, string(old))
	dir := t.TempDir()
	flags = append(flags, placeMessy(t, dir, file, content)...)
	t.Chdir(dir)
	got := head + readMessy(t, flags)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if got != string(old) {
		t.Errorf("%s is read as\n%s\nand should be\n%s", file, got, old)
	}
	var out, said bytes.Buffer
	command := []string{"check", "--date", "2026-11-25"}
	if strings.HasSuffix(file, ".quote.csv") {
		command = []string{"enter", "--supplier", messySupplier, "--preview", "--add-unknown"}
	}
	code := run(t.Context(), append(command, flags...), strings.NewReader(""), &out, &said)
	if failed := strings.Contains(got, "\nerror "); failed != (code == exitInput) {
		t.Errorf("%s: exit code %d, and it is read as\n%s\nsaid %s", file, code, got, said.String())
	}
}

// wantHead gives the lines about the file itself, and the flags that they name.
func wantHead(t *testing.T, name, text string) (head string, flags []string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(line, "# ") {
			break
		}
		head += line
		if given, ok := strings.CutPrefix(line, "# read with: "); ok {
			flags = strings.Fields(given)
		}
	}
	if !strings.HasPrefix(head, "# why: ") {
		t.Errorf("%s does not say why the file is there", name)
	}
	return head, flags
}

// placeMessy puts a file under the name by which it is read, with the tabs that
// no price sheet can do without, and gives the flags to read it.
func placeMessy(t *testing.T, dir, file string, content []byte) []string {
	t.Helper()
	_, role, _ := strings.Cut(file, ".")
	files, flags := map[string]string{role: string(content)}, []string{"--prices", role}
	if strings.HasPrefix(role, "bom.") {
		flags[0] = "--bom"
	} else if role == "quote.csv" {
		files["prices/settings.csv"] = "Setting,Value\nHome currency,EUR\n"
		files["prices/exchange.csv"] = "Currency,Rate\nUSD,0.92\nGBP,1.17\n"
		files["prices/offers.csv"] = "Part number,Supplier,Price\nRS-0010,Larkfield Parts,0.012\n"
		flags = []string{"--prices", "prices", role}
	} else if !strings.HasPrefix(role, "prices.") {
		files = map[string]string{
			"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
			"prices/exchange.csv": "Currency,Rate\nUSD,0.92\n",
			"prices/" + role:      string(content),
		}
		flags[1] = "prices"
	}
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return flags
}

// readMessy writes down what is read with some flags, and what is said.
func readMessy(t *testing.T, flags []string) string {
	t.Helper()
	s, cmd := &source{}, &cobra.Command{}
	s.flags(cmd)
	if err := cmd.ParseFlags(flags); err != nil {
		t.Fatal(err)
	}
	if err := s.prepare(cmd); err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	var problems bom.Problems
	if quotes := cmd.Flags().Args(); len(quotes) > 0 {
		parts, ps := sheet.ReadQuote(quotes[0], s.Open, sheet.QuoteOptions{Options: s.Options, Supplier: messySupplier})
		problems = ps
		if !ps.Failed() {
			writeQuoted(&b, parts)
		}
	} else if len(s.BOM) > 0 {
		unit, ps := s.ReadBOM(nil, s.BOM...)
		problems = ps
		if unit != nil && !ps.Failed() {
			writeLines(&b, unit)
		}
	} else {
		prices, ps := s.ReadPrices(s.Prices)
		problems = ps
		if prices != nil && !ps.Failed() {
			writePrices(&b, prices)
		}
	}
	for _, p := range problems.Grouped() {
		grade := map[bom.Severity]string{bom.Error: "error", bom.Warning: "warning", bom.Assumption: "assumed", bom.Note: "note"}[p.Severity]
		fmt.Fprintf(&b, "%s %s\n", grade, p)
	}
	return b.String()
}

// writeLines writes the lines of a bill of materials down, without what is
// blank or follows from the rest.
func writeLines(b *strings.Builder, a *bom.Assembly) {
	for _, l := range a.Lines {
		if l.Kind == bom.KindBoard && l.Head.Row == 0 { // the file is the list of a board
			fmt.Fprintf(b, "board %s:\n", l.Part)
			writeLines(b, l.Sub)
			continue
		}
		fmt.Fprintf(b, "row %d: %s × %q", l.Row, l.Quantity, l.Part)
		if !l.Fitted {
			b.WriteString(", not fitted")
		}
		if l.Nothing {
			b.WriteString(", nothing to buy")
		}
		fmt.Fprintf(b, ", %s %s", l.Kind, l.Mount)
		if l.Joints.Known {
			fmt.Fprintf(b, " with %s", reports.Counted(l.Joints.Count, "joint"))
		}
		if len(l.Designators) > 0 {
			fmt.Fprintf(b, ", at %s", strings.Join(l.Designators, " "))
		}
		for _, f := range [][2]string{{"value", l.Value}, {"package", l.Package}, {"description", l.Description},
			{"maker", l.Maker}, {"material", l.Material}} {
			if f[1] != "" {
				fmt.Fprintf(b, ", %s %q", f[0], clipped(f[1]))
			}
		}
		if l.MassG.Known {
			fmt.Fprintf(b, ", %v g", l.MassG.Value)
		}
		for _, e := range l.Extra {
			fmt.Fprintf(b, ", note %q: %q", e.Heading, clipped(e.Text))
		}
		b.WriteString("\n")
	}
}

// writeQuoted writes the parts of a quote down, without what it does not say.
func writeQuoted(b *strings.Builder, parts []bom.QuotedPart) {
	for i := range parts {
		p := &parts[i]
		fmt.Fprintf(b, "row %d:", p.Row)
		for _, f := range [][2]string{{"part", p.Part}, {"order code", p.Code}, {"our part", p.OurPart}, {"description", p.Description},
			{"supplier", p.Supplier}, {"unpriced", p.Unpriced}} {
			if f[1] != "" {
				fmt.Fprintf(b, " %s %q,", f[0], f[1])
			}
		}
		if p.StockSaid {
			fmt.Fprintf(b, " stock %d,", p.Stock)
		}
		fmt.Fprintf(b, " quantity %d, MOQ %d, multiple %d, pieces %s,", p.Quantity, p.MOQ, p.Multiple, p.Pieces)
		for _, br := range p.Breaks {
			fmt.Fprintf(b, " from %d %s", br.From, br.Price)
		}
		fmt.Fprintf(b, " %s, %s\n", strings.Join(p.Codes[:min(len(p.Codes), 2)], " or "), p.AsOf)
	}
}

// clipped keeps a very long text off the page.
func clipped(s string) string {
	if r := []rune(s); len(r) > 80 {
		return fmt.Sprintf("%s… %d characters", string(r[:20]), len(r))
	}
	return s
}

// writePrices writes down what stands in a price sheet, of its larger tabs.
func writePrices(b *strings.Builder, p *bom.Prices) {
	for _, s := range p.Settings.All {
		if !s.Default {
			fmt.Fprintf(b, "%s: %s\n", s.Name, s.Text)
		}
	}
	for _, r := range p.Exchange {
		fmt.Fprintf(b, "one %s is %s\n", r.Currency.Code, r.Rate)
	}
	for _, s := range p.Suppliers {
		fmt.Fprintf(b, "row %d: supplier %q, %s, delivery %s, duty %s %%\n", s.Row, s.Name, s.Currency.Code, s.Delivery, s.Duty)
	}
	for _, o := range p.Offers {
		fmt.Fprintf(b, "row %d: %q from %q by %q, stock %d, MOQ %d, multiple %d, pieces %s:", o.Row, o.Part, o.Supplier, o.Code, o.Stock, o.MOQ, o.Multiple, o.Pieces)
		for _, br := range o.Breaks {
			fmt.Fprintf(b, " from %d %s", br.From, br.Price)
		}
		fmt.Fprintf(b, " %s, %s\n", o.Currency.Code, o.AsOf)
	}
	for _, o := range p.HandWork {
		fmt.Fprintf(b, "row %d: %q, %s by %s, %v s\n", o.Row, o.Name, o.AppliesTo, o.Basis, o.Seconds)
	}
	for _, o := range p.OnHand {
		fmt.Fprintf(b, "row %d: %s × %q on hand\n", o.Row, o.Quantity, o.Part)
	}
}

// writeMessyBooks keeps the workbooks of fixtures/messy what the code makes. Their
// bytes differ from one making to the next, so their cells are compared.
func writeMessyBooks(t *testing.T) {
	t.Helper()
	for _, m := range messyBooks {
		path, content := filepath.Join(messyDir, m.name), m.content(t)
		old, _ := os.ReadFile(path) // none is as good as another
		was, _ := table.Read(m.name, old, table.Limits{})
		is, _ := table.Read(m.name, content, table.Limits{})
		switch {
		case reflect.DeepEqual(was, is):
		case !*update:
			t.Errorf("%s does not hold what the code makes; -update writes it", m.name)
		default:
			check(t, os.WriteFile(path, content, 0o644))
		}
	}
	var made []string
	for _, m := range messyBooks {
		made = append(made, m.name)
	}
	for _, name := range names(t, messyDir) {
		if ending := filepath.Ext(name); (ending == ".xlsx" || ending == ".ods") && !slices.Contains(made, name) {
			t.Errorf("no code makes %s", name)
		}
	}
}
