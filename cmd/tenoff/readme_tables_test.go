package main

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/bom/toolpath"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/cost/trial"
	"tenoff/fixtures"
)

var update = flag.Bool("update", false, "rewrite the golden files and the generated parts of README")

// TestReadmeTables keeps the tables of columns, settings and limits in README
// the same as the schema that the readers and the starter go by.
func TestReadmeTables(t *testing.T) {
	path := filepath.Join("..", "..", "README.md")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for name, want := range map[string]string{
		"bill of materials": bomTable(t),
		"price sheet":       priceTables(t),
		"quote":             columnList(bom.QuoteTab) + ".\n",
		"run":               columnTable(bom.ProgrammeTab),
		"settings":          settingList(),
		"limits":            limitTable(),
	} {
		begin, end := "<!-- "+name+" -->\n", "<!-- end of "+name+" -->\n"
		before, rest, ok1 := strings.Cut(text, begin)
		got, after, ok2 := strings.Cut(rest, end)
		if !ok1 || !ok2 {
			t.Fatalf("README has no part between %q and %q", begin, end)
		}
		if got != want && !*update {
			t.Errorf("the part %q of README is not what the schema says; go test ./cmd/tenoff -run Readme -update rewrites it", name)
		}
		text = before + begin + want + end + after
	}
	if *update {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func columnTable(tab bom.Tab) string {
	var b strings.Builder
	b.WriteString("| column | what stands in it | blank means |\n| --- | --- | --- |\n")
	for _, c := range tab.Columns {
		b.WriteString("| " + columnRow(c))
	}
	return b.String()
}

func columnRow(c bom.Column) string {
	heading := "**" + c.Heading + "**"
	if c.Required {
		heading += " (required)"
	}
	doc := c.Doc
	if len(c.Choices) > 0 {
		doc += " One of: " + strings.Join(c.Choices, ", ") + "."
	}
	return fmt.Sprintf("%s | %s | %s |\n", heading, doc, c.Default)
}

// columnList names the columns of a tab, those that must be filled in in bold.
func columnList(tab bom.Tab) string {
	var names []string
	for _, c := range tab.Columns {
		switch {
		case c.Heading == "As of" || c.Heading == "Note": // every row may carry them
		case c.Required:
			names = append(names, "**"+c.Heading+"**")
		default:
			names = append(names, c.Heading)
		}
	}
	return strings.Join(names, ", ")
}

// furtherRows explain the columns that the starter does not show: notes there explain the
// others.
func furtherRows(t *testing.T, tab bom.Tab, file, lead string) string {
	t.Helper()
	data, err := fs.ReadFile(fixtures.Starter(), file)
	if err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(string(data), "\n")
	shown := strings.Split(strings.TrimSpace(head), ",")
	var rows []bom.Column
	for _, c := range tab.Columns {
		n := len(rows) - 1
		switch {
		case slices.Contains(shown, c.Heading):
		case n >= 0 && rows[n].Doc == c.Doc && c.Default == "":
			rows[n].Heading += "**, **" + c.Heading
		default:
			rows = append(rows, c)
		}
	}
	var b strings.Builder
	for _, c := range rows {
		b.WriteString(lead + columnRow(c))
	}
	return b.String()
}

func bomTable(t *testing.T) string {
	return columnList(bom.BOMTab) + ".\n\nNot in the starter:\n\n| column | what stands in it | blank means |\n| --- | --- | --- |\n" +
		furtherRows(t, bom.BOMTab, "unit.csv", "| ")
}

func priceTables(t *testing.T) string {
	var list, further strings.Builder
	for _, tab := range bom.PriceTabs {
		fmt.Fprintf(&list, "- **%s**: %s Columns: %s.\n", tab.Name, tab.Doc, columnList(tab))
		further.WriteString(furtherRows(t, tab, "prices/"+strings.ReplaceAll(tab.Name, " ", "-")+".csv", "| "+tab.Name+" | "))
	}
	return list.String() + "\nNot in the starter:\n\n| tab | column | what stands in it | blank means |\n| --- | --- | --- | --- |\n" + further.String()
}

// settingList names the settings with their defaults, and tells those that have a source.
func settingList() string {
	var names []string
	for _, s := range bom.SettingDefs {
		name := s.Name
		if s.Required {
			name = "**" + name + "**"
		}
		if s.Default != "" {
			name += " (" + s.Default
			if s.Source == bom.SourceCommon {
				name += "*"
			}
			name += ")"
		}
		names = append(names, name)
	}
	return strings.Join(names, ", ") + ".\n"
}

func limitTable() string {
	l, m := table.DefaultLimits(), mesh.DefaultLimits()
	mib := func(bytes int64) string { return fmt.Sprintf("%d MiB", bytes>>20) }
	var b strings.Builder
	b.WriteString("| what | limit | raised by |\n| --- | --- | --- |\n")
	for _, row := range []struct {
		what  string
		value any
		key   string // empty: it is fixed
	}{
		{"size of a table's file", mib(l.FileBytes), "file-mb"},
		{"rows of a table that hold anything", l.Rows, "rows"},
		{"columns of a table", l.Columns, "columns"},
		{"cells of a file that hold anything", l.Cells, "cells"},
		{"characters of a cell", l.CellChars, "cell"},
		{"sheets of a workbook", l.Sheets, "sheets"},
		{"a workbook unpacked", mib(l.UnzipBytes), "unzip-mb"},
		{"a workbook unpacked, over its size (ODS: twice as many)", fmt.Sprintf("%d times", l.Expansion), "unzip-mb"},
		{"size of a mesh", mib(m.Bytes), "print-mb"},
		{"size of a toolpath", mib(toolpath.DefaultBytes), "print-mb"},
		{"a 3MF model unpacked", mib(m.Expanded), "unzip-mb"},
		{"a 3MF model unpacked, over its size", fmt.Sprintf("%d times", m.Expansion), "unzip-mb"},
		{"objects put in place in a 3MF model", m.Instances, "instances"},
		{"triangles of a mesh that is cut into layers", m.Kept, "triangles"},
		{"triangles of a mesh that is measured", m.Triangles, "triangles"},
		{"boards and assemblies within each other", sheet.MaxDepth, ""},
		{"lines of a unit, with those of its boards", sheet.MaxLines, ""},
		{"designators of a board", sheet.MaxDesignators, ""},
		{"units of a batch", cost.MaxBatch, ""},
		{"batch sizes of a sweep", sweep.MaxSizes, ""},
		{"trials", trial.MaxTrials, ""},
		{"faults of a table, after which it is not read on", sheet.MaxFaults, ""},
		{"complaints that are printed; the rest is counted", saidAtMost, ""},
	} {
		raised := "fixed"
		if row.key != "" {
			raised = "`--limit " + row.key + "=…`"
		}
		fmt.Fprintf(&b, "| %s | %v | %s |\n", row.what, row.value, raised)
	}
	return b.String()
}

// Every key of --limit raises a limit that README names.
func TestLimitsInReadme(t *testing.T) {
	text := limitTable()
	for _, key := range limitKeys() {
		if !strings.Contains(text, "`--limit "+key+"=…`") {
			t.Errorf("README does not name --limit %s", key)
		}
	}
}
