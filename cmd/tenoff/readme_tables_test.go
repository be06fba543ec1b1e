package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
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
		"bill of materials": columnTable(bom.BOMTab),
		"price sheet":       priceTables(),
		"quote":             columnTable(bom.QuoteTab),
		"run":               columnTable(bom.ProgrammeTab),
		"settings":          settingTable(),
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
		heading := "**" + c.Heading + "**"
		if c.Required {
			heading += " (required)"
		}
		if len(c.Synonyms) > 0 {
			heading += "; also " + strings.Join(c.Synonyms[:min(4, len(c.Synonyms))], ", ")
		}
		if len(c.Synonyms) > 4 {
			heading += " and the like"
		}
		doc := c.Doc
		if len(c.Choices) > 0 {
			doc += " One of: " + strings.Join(c.Choices, ", ") + "."
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", heading, doc, c.Default)
	}
	return b.String()
}

func priceTables() string {
	var b strings.Builder
	for _, tab := range bom.PriceTabs {
		fmt.Fprintf(&b, "\n**%s**: %s\n\n", tab.Name, tab.Doc)
		shown := tab
		shown.Columns = nil
		for _, c := range tab.Columns {
			if c.Heading != "As of" && c.Heading != "Note" {
				shown.Columns = append(shown.Columns, c)
			}
		}
		b.WriteString(columnTable(shown))
	}
	b.WriteString("\n")
	return b.String()
}

func settingTable() string {
	var b strings.Builder
	b.WriteString("| setting | what it says | unit | default | where the default comes from |\n| --- | --- | --- | --- | --- |\n")
	for _, s := range bom.SettingDefs {
		doc := s.Doc
		if len(s.Choices) > 0 {
			doc += " One of: " + strings.Join(s.Choices, ", ") + "."
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", s.Name, doc, s.Unit, s.Default, s.Source)
	}
	return b.String()
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
