package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mayImport says which packages of the module a package may import: an entry
// ending in / stands for all below it. The longest prefix that fits a package
// holds.
var mayImport = map[string][]string{
	"cmd":                    {"bom", "bom/", "cost", "cost/", "reports", "reports/", "fixtures"},
	"reports":                {"bom", "cost", "cost/quoting", "cost/revision", "cost/rulecost", "cost/settling", "cost/sum", "cost/sweep", "cost/trial", "cost/waysout"},
	"reports/terminal":       {"bom", "cost", "cost/sum", "cost/sweep", "reports"},
	"reports/workbook":       {"bom", "bom/markup", "cost", "cost/plan", "cost/revision", "cost/sum", "cost/workers", "reports"},
	"reports/pricesheet":     {"bom", "bom/markup", "cost/quoting", "cost/settling"},
	"cost":                   {"bom", "cost/"},
	"cost/revision":          {"bom", "cost"},
	"cost/partname":          {"bom"},
	"cost/quoting":           {"bom", "cost/partname"},
	"cost/rulecost":          {"bom", "cost"},
	"cost/settling":          {"bom", "cost/learning", "cost/money", "cost/yield"},
	"cost/sweep":             {"bom", "cost"},
	"cost/trial":             {"bom", "cost", "cost/chance"},
	"cost/waysout":           {"bom", "cost", "cost/partname", "cost/workers"},
	"cost/workers":           {},
	"cost/sum":               {"bom", "cost/money"},
	"cost/money":             {"bom"},
	"cost/yield":             {"bom"},
	"cost/learning":          {"bom"},
	"cost/lots":              {},
	"cost/buy":               {"bom"},
	"cost/cutting":           {"bom"},
	"cost/printing":          {"bom"},
	"cost/printing/plates":   {"bom"},
	"cost/printing/calendar": {"bom"},
	"cost/plan":              {"bom"},
	"bom":                    {},
	"bom/markup":             {},
	"bom/table":              {"bom", "bom/markup"},
	"bom/sheet":              {"bom"},
	"bom/mesh":               {"bom", "bom/markup"},
	"bom/toolpath":           {"bom"},
	"bom/load":               {"bom", "bom/mesh", "bom/sheet", "bom/table", "bom/toolpath"},
	"fixtures":               {},
	"fixtures/typed":         {"bom", "bom/mesh", "bom/sheet", "bom/table", "bom/toolpath", "cost", "fixtures"},
}

// onlyIn says where an outside package, or a part of the standard library, may
// be used at all.
var onlyIn = map[string][]string{
	"github.com/xuri/excelize/v2": {"bom/table", "reports/workbook"},
	"github.com/gocarina/gocsv":   {"bom/sheet"},
	"github.com/spf13/cobra":      {"cmd/tenoff"},
	"os":                          {"cmd/tenoff", "bom/load", "bom/table", "fixtures/checks"},
	"os/exec":                     {"fixtures/checks"},
	"net":                         {},
	"net/http":                    {},
	"time":                        {"cmd/tenoff", "bom", "bom/table", "bom/sheet", "reports", "reports/terminal", "reports/workbook"},
}

func TestImports(t *testing.T) {
	root := filepath.Join("..", "..")
	checked := 0
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return filepath.SkipDir
		}
		if filepath.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		for _, imp := range parsed.Imports {
			checked++
			checkImport(t, filepath.ToSlash(rel), filepath.Base(file), strings.Trim(imp.Path.Value, `"`))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if checked < 100 {
		t.Fatalf("only %d imports were looked at", checked)
	}
}

func checkImport(t *testing.T, pkg, file, imported string) {
	t.Helper()
	if places, bound := onlyIn[imported]; bound && !slices.Contains(places, pkg) {
		t.Errorf("%s/%s imports %s, which belongs in %v", pkg, file, imported, places)
	}
	ours, ok := strings.CutPrefix(imported, "tenoff/")
	if !ok {
		return
	}
	rule := pkg
	for mayImport[rule] == nil && rule != "." {
		rule = path.Dir(rule)
	}
	allowed := mayImport[rule]
	if !slices.ContainsFunc(allowed, func(a string) bool {
		return a == ours || strings.HasSuffix(a, "/") && strings.HasPrefix(ours, a)
	}) {
		t.Errorf("%s/%s imports %s; it may import only %v", pkg, file, ours, allowed)
	}
}

// TestNoExit keeps leaving the process in one place.
func TestNoExit(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if file != "main.go" && !strings.HasSuffix(file, "_test.go") && strings.Contains(string(text), "os.Exit(") {
			t.Errorf("%s leaves the process; main alone does", file)
		}
	}
}
