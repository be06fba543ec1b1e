package main

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/rogpeppe/go-internal/txtar"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// TestMain lets scripts and tests run the program as a process of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"tenoff": main})
}

// scriptDir holds one script for each thing a user does.
var scriptDir = filepath.Join("testdata", "script")

// TestScripts runs testdata/script.
func TestScripts(t *testing.T) {
	bad, err := filepath.Abs(filepath.Join("..", "..", "fixtures", "bad"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           scriptDir,
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv("BAD", bad)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"badge":  badge,
			"exits":  exits,
			"change": change,
			"encode": encode,
			"fill":   fill,
			"holds":  holds,
			"cells":  cells,
			"lines":  lines,
			"put":    put,
			"typed":  typed,
			"narrow": narrow,
			"pack":   pack,
		},
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

func needs(ts *testscript.TestScript, neg bool, ok bool, use string) {
	if neg || !ok {
		ts.Fatalf("usage: %s", use)
	}
}

// pack makes a zip archive of a folder.
func pack(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 2, "pack archive folder")
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	ts.Check(z.AddFS(os.DirFS(ts.MkAbs(args[1]))))
	ts.Check(z.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o666))
}

// badge unpacks the input files of estimate.txtar, whose sums are worked by hand
// there: a bill of materials with a board, and a folder of prices.
func badge(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 0, "badge")
	ts.Check(unpackBadge(ts.MkAbs(".")))
}

func unpackBadge(dir string) error {
	// A script has its own folder, so the path is taken from the test's.
	archive, err := txtar.ParseFile(filepath.Join(scriptDir, "estimate.txtar"))
	if err != nil {
		return err
	}
	for _, f := range archive.Files {
		if filepath.Ext(f.Name) != ".csv" {
			continue
		}
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.Data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// escapes spells what cannot stand in a script as itself.
var escapes = strings.NewReplacer(`\n`, "\n", `\e`, "\x1b", `\0`, "\x00")

// change replaces every OLD by NEW in a file of the script.
func change(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 3, "change FILE OLD NEW")
	text, old := ts.ReadFile(args[0]), escapes.Replace(args[1])
	if !strings.Contains(text, old) {
		ts.Fatalf("%s does not hold %q", args[0], old)
	}
	out := strings.ReplaceAll(text, old, escapes.Replace(args[2]))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(out), 0o644))
}

// exits runs a program and compares its exit code, which "exec" and "! exec"
// tell only as nought and not nought.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) >= 2, "exits CODE PROGRAM [ARGUMENT…]")
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d; %d is wanted", got, want)
	}
}

var encodings = map[string]encoding.Encoding{
	"utf-8-mark":   unicode.UTF8BOM,
	"utf-16le":     unicode.UTF16(unicode.LittleEndian, unicode.UseBOM),
	"utf-16be":     unicode.UTF16(unicode.BigEndian, unicode.UseBOM),
	"windows-1252": charmap.Windows1252,
}

// encode writes a file of the script again in another encoding.
func encode(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 3 && encodings[args[0]] != nil, "encode utf-8-mark|utf-16le|utf-16be|windows-1252 FROM TO")
	out, err := encodings[args[0]].NewEncoder().Bytes([]byte(ts.ReadFile(args[1])))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), out, 0o644))
}

// fill puts COUNT times the TEXT in the place of the word FILL, for files too
// large to stand in a script; in TEXT, %d is the number of the copy.
func fill(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 3, "fill FILE COUNT TEXT")
	count, err := strconv.Atoi(args[1])
	ts.Check(err)
	var b strings.Builder
	for i := range count {
		b.WriteString(escapes.Replace(strings.ReplaceAll(args[2], "%d", strconv.Itoa(i+1))))
	}
	old := ts.ReadFile(args[0])
	if !strings.Contains(old, "FILL") {
		ts.Fatalf("%s does not hold the word FILL", args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(old, "FILL", b.String(), 1)), 0o644))
}

// holds compares all names in a folder, hidden ones too, so that nothing that a
// run leaves behind goes unseen.
func holds(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) >= 1, "holds FOLDER [NAME…]")
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var got []string
	for _, e := range entries {
		if e.Name() != ".tmp" { // testscript's own
			got = append(got, e.Name())
		}
	}
	want := slices.Clone(args[1:])
	slices.Sort(want)
	if !slices.Equal(got, want) {
		ts.Fatalf("%s holds %v; %v is wanted", args[0], got, want)
	}
}

// cells prints every cell of a workbook as "Sheet!A1 kind: text", so that grep
// can look for them; one with a formula also as "Sheet!A1 gives: text".
func cells(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 1, "cells WORKBOOK")
	f, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	kinds := map[excelize.CellType]string{
		excelize.CellTypeInlineString: "text", excelize.CellTypeSharedString: "text",
		excelize.CellTypeFormula: "formula", excelize.CellTypeError: "error",
		excelize.CellTypeBool: "bool", excelize.CellTypeDate: "date",
		excelize.CellTypeNumber: "number", excelize.CellTypeUnset: "number",
	}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		ts.Check(err)
		for r, row := range rows {
			for c, text := range row {
				name, err := excelize.CoordinatesToCellName(c+1, r+1)
				ts.Check(err)
				kind, err := f.GetCellType(sheet, name)
				ts.Check(err)
				formula, err := f.GetCellFormula(sheet, name)
				ts.Check(err)
				said := kinds[kind]
				if formula != "" {
					fmt.Fprintf(ts.Stdout(), "%s!%s gives: %s\n", sheet, name, strings.ReplaceAll(text, "\n", " "))
					said, text = "formula", formula
				}
				if text != "" {
					fmt.Fprintf(ts.Stdout(), "%s!%s %s: %s\n", sheet, name, said, strings.ReplaceAll(text, "\n", " "))
				}
			}
		}
	}
}

// lines compares the number of lines of a file or stream.
func lines(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 2, "lines COUNT FILE")
	if got := strings.Count(ts.ReadFile(args[1]), "\n"); strconv.Itoa(got) != args[0] {
		ts.Fatalf("%s has %d lines; %s are wanted", args[1], got, args[0])
	}
}

// put fills cells of a workbook in, as a user does in a spreadsheet program.
func put(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) >= 3, "put WORKBOOK SHEET CELL=TEXT…")
	path := ts.MkAbs(args[0])
	f, err := excelize.OpenFile(path)
	ts.Check(err)
	defer f.Close()
	for _, a := range args[2:] {
		cell, text, ok := strings.Cut(a, "=")
		needs(ts, false, ok, "put WORKBOOK SHEET CELL=TEXT…")
		if n, err := strconv.ParseFloat(text, 64); err == nil {
			ts.Check(f.SetCellValue(args[1], cell, n))
			continue
		}
		ts.Check(f.SetCellStr(args[1], cell, text))
	}
	ts.Check(f.Save())
}

// narrow fails where a line of what was printed is wider than a plain terminal.
func narrow(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 1, "narrow FILE")
	for line := range bytes.Lines([]byte(ts.ReadFile(args[0]))) {
		if text := strings.TrimRight(string(line), "\n"); len([]rune(text)) > 80 {
			ts.Fatalf("wider than 80 columns: %s", text)
		}
	}
}

// typed types a price and a supplier wherever a price sheet lacks one, as a maker
// does who begins with it, and prints how many cells that took.
func typed(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 1, "typed WORKBOOK")
	f, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	count := 0
	for sheet, wanted := range map[string]map[string]any{
		"offers": {"Supplier": "Larch Parts", "@1": 0.25}, "boards": {"Fabricator": "Planewerk", "Price": 20},
		"materials": {"Supplier": "Larch Parts", "Spool g": 1000, "Spool price": 20},
	} {
		if i, err := f.GetSheetIndex(sheet); err != nil || i < 0 {
			continue
		}
		rows, err := f.GetRows(sheet)
		ts.Check(err)
		head := slices.IndexFunc(rows, func(row []string) bool { return len(row) > 2 })
		for r := head + 1; r < len(rows); r++ {
			for c, heading := range rows[head] {
				value, ok := wanted[heading]
				if !ok || c < len(rows[r]) && rows[r][c] != "" {
					continue
				}
				cell, err := excelize.CoordinatesToCellName(c+1, r+1)
				ts.Check(err)
				ts.Check(f.SetCellValue(sheet, cell, value))
				count++
			}
		}
	}
	ts.Check(f.Save())
	fmt.Fprintf(ts.Stdout(), "%d cells\n", count)
}
