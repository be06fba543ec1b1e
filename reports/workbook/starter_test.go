package workbook_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/reports/workbook"
)

// starter is the price sheet that a new run begins with.
func starter(t *testing.T) *excelize.File {
	t.Helper()
	for _, j := range jobs(t) {
		if j.name == "start price sheet" {
			return write(t, j.tables, j.opt)
		}
	}
	t.Fatal("there is no starter")
	return nil
}

func TestStarterHasEveryTab(t *testing.T) {
	got, want := starter(t).GetSheetList(), bom.TabNames()
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("the starter has the sheets %q, want every tab: %q", got, want)
	}
}

// Every documented column is either there, with its note, or named above the
// headings.
func TestStarterNamesEveryColumn(t *testing.T) {
	f := starter(t)
	for _, tab := range bom.PriceTabs {
		var all strings.Builder
		head := headRow(t, f, tab.Name, tab.Columns[0].Heading)
		for row := 1; row < head; row++ {
			all.WriteString(raw(t, f, tab.Name, 1, row) + " ")
		}
		for col := 1; col <= len(tab.Columns); col++ {
			all.WriteString(raw(t, f, tab.Name, col, head) + "\n")
		}
		for _, c := range tab.Columns {
			if !strings.Contains(all.String(), c.Heading) {
				t.Errorf("%s: the column %s is not named", tab.Name, c.Heading)
			}
		}
		if !strings.Contains(all.String(), tab.Doc) {
			t.Errorf("%s: what the tab is for is not told", tab.Name)
		}
	}
}

// Columns that are left out are of interest to somebody who begins, not in a run
// that works without them.
func TestStarterAloneNamesWhatIsLeftOut(t *testing.T) {
	table := csvText(t, "exchange.csv", "Currency,Rate\nUSD,0.9\n")
	for _, starter := range []bool{false, true} {
		f := write(t, []bom.Table{table}, workbook.InputsOptions{Starter: starter})
		var guide strings.Builder
		for row := 1; row < headRow(t, f, "exchange", "Currency"); row++ {
			guide.WriteString(raw(t, f, "exchange", 1, row) + " ")
		}
		if got := strings.Contains(guide.String(), "As of, Note"); got != starter {
			t.Errorf("starter %v: the columns left out are named: %v (%s)", starter, got, guide.String())
		}
	}
}

// Example rows are told by their looks, also where no colour is printed.
func TestStarterMarksExamples(t *testing.T) {
	table := csvText(t, "exchange.csv", "Currency,Rate,Note\nUSD,0.9,Example: of a row\nGBP,1.1,mine\nCHF,1,not an example\n")
	f := write(t, []bom.Table{table}, workbook.InputsOptions{})
	head := headRow(t, f, "exchange", "Currency")
	for i, want := range []bool{true, false, false} {
		for col := 1; col <= 3; col++ {
			id, err := f.GetCellStyle("exchange", cellName(col, head+1+i))
			if err != nil {
				t.Fatal(err)
			}
			style, err := f.GetStyle(id)
			if err != nil {
				t.Fatal(err)
			}
			if got := style.Font.Italic && len(style.Fill.Color) > 0; got != want {
				t.Errorf("%s is marked as an example: %v, want %v", cellName(col, head+1+i), got, want)
			}
		}
	}
	guide := func(f *excelize.File) string { return raw(t, f, "exchange", 1, 2) + " " + raw(t, f, "exchange", 1, 3) }
	if !strings.Contains(guide(f), "examples") {
		t.Errorf("nothing tells what the examples are: %q", guide(f))
	}
	plain := write(t, []bom.Table{csvText(t, "exchange.csv", "Currency,Rate,Note\nUSD,0.9,mine\n")}, workbook.InputsOptions{})
	if strings.Contains(guide(plain), "examples") {
		t.Errorf("examples are spoken of where there are none: %q", guide(plain))
	}
}

// Each setting explains itself and is checked by its own rules.
func TestStarterSettings(t *testing.T) {
	f := starter(t)
	notes, err := f.GetComments("settings")
	if err != nil {
		t.Fatal(err)
	}
	text := map[string]string{}
	for _, n := range notes {
		for _, p := range n.Paragraph {
			text[n.Cell] += p.Text
		}
	}
	checks, err := f.GetDataValidations("settings")
	if err != nil {
		t.Fatal(err)
	}
	checked := map[string]string{}
	for _, c := range checks {
		checked[c.Sqref] = c.Type
		if c.Type == "list" {
			checked[c.Sqref] += " " + c.Formula1
		}
	}
	head := headRow(t, f, "settings", "Setting")
	for i, def := range bom.SettingDefs {
		row := head + 1 + i
		if got := raw(t, f, "settings", 1, row); got != def.Name {
			t.Fatalf("row %d is about %q, want %q", row, got, def.Name)
		}
		if got := text[cellName(1, row)]; !strings.Contains(got, def.Doc) || !strings.Contains(got, def.Default) {
			t.Errorf("the note of %s lacks what it is or its default: %q", def.Name, got)
		}
		want := map[bom.Form]string{bom.FormCurrency: "textLength", bom.FormMoney: "decimal", bom.FormPercent: "decimal", bom.FormNumber: "decimal",
			bom.FormWhole: "whole"}[def.Form]
		if len(def.Choices) > 0 {
			want = fmt.Sprintf("list %q", strings.Join(def.Choices, ","))
		}
		if got := checked[cellName(2, row)]; got != want {
			t.Errorf("the value of %s is checked as %q, want %q", def.Name, got, want)
		}
	}
}

// The headings stay in sight and are repeated on paper, which is A4.
func TestStarterPages(t *testing.T) {
	f := starter(t)
	titles := map[string]string{}
	for _, n := range f.GetDefinedName() {
		if n.Name == "_xlnm.Print_Titles" {
			titles[n.Scope] = n.RefersTo
		}
	}
	for _, tab := range bom.PriceTabs {
		head := headRow(t, f, tab.Name, tab.Columns[0].Heading)
		if want := fmt.Sprintf("'%s'!$%d:$%d", tab.Name, head, head); titles[tab.Name] != want {
			t.Errorf("%s: rows repeated on paper are %q, want %q", tab.Name, titles[tab.Name], want)
		}
		panes, err := f.GetPanes(tab.Name)
		if err != nil {
			t.Fatal(err)
		}
		if !panes.Freeze || panes.YSplit != head {
			t.Errorf("%s: %d rows stay in sight, want %d", tab.Name, panes.YSplit, head)
		}
		page, err := f.GetPageLayout(tab.Name)
		if err != nil {
			t.Fatal(err)
		}
		if page.Size == nil || *page.Size != 9 || page.FitToWidth == nil || *page.FitToWidth != 1 { // 9 is A4, ECMA-376 part 1, 18.3.1.63
			t.Errorf("%s: does not print on the width of A4: %+v", tab.Name, page)
		}
	}
}
