package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
)

// stdinName is what complaints call standard input.
const stdinName = "standard input"

// source holds the flags that say what is read, and how.
type source struct {
	bom          string
	prices       string
	currency     string // of a run without a price sheet
	headings     []string
	decimalMark  string
	limits       []string
	allowOutside bool
	strict       bool

	stdin  io.Reader
	limit  table.Limits
	prints mesh.Limits // of toolpaths too, as far as their size goes
	option sheet.Options
	read   []string // files that were opened
	home   string   // folder of the bill of materials, through links
}

func (s *source) flags(cmd *cobra.Command) {
	s.priceFlags(cmd)
	f := cmd.Flags()
	f.StringVar(&s.bom, "bom", "", "`FILE` with the bill of materials of one unit, CSV, XLSX or ODS (file.xlsx#Sheet picks a sheet; - is standard input)")
	f.BoolVar(&s.allowOutside, "allow-outside", false, "lets File in a bill of materials leave its folder")
	f.BoolVar(&s.strict, "strict", false, "makes errors of what is assumed where a list does not say it")
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("bom", "csv", "xlsx", "ods", "tsv", "txt")
}

// currencyFlag lets a run do without a price sheet.
func (s *source) currencyFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&s.currency, "currency", "", "home currency, a `CODE` of ISO 4217, of a run with the prices in its list and no --prices")
}

// priceFlags say how the price sheet is read.
func (s *source) priceFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&s.prices, "prices", "", "price sheet `FILE`: an XLSX or ODS workbook, or a folder with one CSV for each tab")
	s.readFlags(f)
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("prices", "csv", "xlsx", "ods", "tsv", "txt")
}

// readFlags say how any table is read.
func (s *source) readFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&s.headings, "heading", nil, "reads another heading as a known one, `PAIR` such as 'Their name=Quantity' (repeatable)")
	f.StringVar(&s.decimalMark, "decimal-mark", "", "decimal `MARK` of figures typed as text: dot or comma (default: each file shows its own)")
	f.StringArrayVar(&s.limits, "limit", nil, "raises a limit on what is read, `LIMIT` such as rows=500000 (repeatable; see README)")
}

// prepare turns the flags into options.
func (s *source) prepare(cmd *cobra.Command) error {
	s.stdin = cmd.InOrStdin()
	if s.bom == "-" && s.prices == "-" {
		return usage("--bom and --prices cannot both be standard input")
	}
	if s.currency != "" {
		if s.prices != "" {
			return usage("--currency is for a run without --prices; a price sheet has the setting Home currency")
		}
		if _, err := parseCurrency(s.currency); err != nil {
			return err
		}
	}
	s.option = sheet.Options{Headings: map[string]string{}, AllowOutside: s.allowOutside, Strict: s.strict}
	for _, h := range s.headings {
		theirs, ours, ok := strings.Cut(h, "=")
		if !ok || strings.TrimSpace(theirs) == "" {
			return usage("--heading %q: 'Their name=Our name' is wanted", h)
		}
		s.option.Headings[strings.TrimSpace(theirs)] = strings.TrimSpace(ours)
	}
	switch s.decimalMark {
	case "":
	case "dot", ".":
		s.option.Mark = bom.MarkDot
	case "comma", ",":
		s.option.Mark = bom.MarkComma
	default:
		return usage("--decimal-mark %q: dot or comma is wanted", s.decimalMark)
	}
	return s.setLimits()
}

func parseCurrency(text string) (bom.Currency, error) {
	currency, ok := bom.FindCurrency(text)
	if !ok {
		return currency, usage("--currency %q: a code of ISO 4217 such as EUR is wanted", text)
	}
	return currency, nil
}

// limitKeys are all that --limit knows.
func limitKeys() []string {
	keys := slices.Clone(table.LimitKeys)
	for _, key := range mesh.LimitKeys {
		if !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	return keys
}

func (s *source) setLimits() error {
	s.limit, s.prints = table.DefaultLimits(), mesh.DefaultLimits()
	for _, l := range s.limits {
		key, value, _ := strings.Cut(l, "=")
		n, err := strconv.ParseInt(value, 10, 64)
		if err != nil {
			return usage("--limit %q: KEY=NUMBER is wanted, with one of %s", l, strings.Join(limitKeys(), ", "))
		}
		known := false
		if slices.Contains(table.LimitKeys, key) {
			known, err = true, s.limit.Set(key, n)
		}
		if err == nil && slices.Contains(mesh.LimitKeys, key) {
			known, err = true, s.prints.Set(key, n)
		}
		switch {
		case err != nil:
			return usage("--limit: %v", err)
		case !known:
			return usage("--limit: there is no limit %q; known are %s", key, strings.Join(limitKeys(), ", "))
		}
	}
	return nil
}

// open reads one file into tables.
func (s *source) open(path string) ([]bom.Table, bom.Problems) {
	if path == "-" {
		data, err := io.ReadAll(io.LimitReader(s.stdin, s.limit.FileBytes+1))
		if err != nil {
			return nil, unreadable(stdinName, err)
		}
		return table.Read(stdinName, data, s.limit)
	}
	s.read = append(s.read, path)
	return table.Open(filepath.FromSlash(path), filepath.ToSlash(path), s.limit)
}

func unreadable(name string, err error) bom.Problems {
	return bom.Problems{{Place: bom.Place{File: name}, What: fmt.Sprintf("cannot be read: %v", reason(err)), Want: "a file that can be read"}}
}

// loadBOM reads the bill of materials of the unit and all that it names, and
// settles what it leaves open. prices may be nil.
func (s *source) loadBOM(path string, prices *bom.Prices) (*bom.Assembly, bom.Problems) {
	first := true
	open := func(name string) ([]bom.Table, bom.Problems) {
		if first {
			first, s.home = false, resolved(filepath.Dir(name))
		} else if !s.mayRead(name) {
			return nil, bom.Problems{{Place: bom.Place{File: name}, What: linkOut, Want: wantInside}}
		}
		return s.open(name)
	}
	if prices != nil {
		s.option.Parts = prices.Parts
	}
	return sheet.ReadBOM(filepath.ToSlash(path), open, s.option)
}

const (
	linkOut    = "a link leads out of the folder of the bill of materials"
	wantInside = "a file in that folder, or --allow-outside"
)

// mayRead tells whether a file lies in the folder of the bill of materials. Its
// reader looks at names only; links are followed here.
func (s *source) mayRead(name string) bool {
	return s.allowOutside || within(s.home, resolved(name))
}

// loadBoth reads the bill of materials and the price sheet, as far as they are asked
// for. Without a price sheet the prices are those in the list.
func (s *source) loadBoth() (unit *bom.Assembly, prices *bom.Prices, problems bom.Problems) {
	var more bom.Problems
	if s.prices != "" {
		prices, more = s.loadPrices(s.prices)
	}
	if s.bom != "" {
		unit, problems = s.loadBOM(s.bom, prices)
	}
	problems = append(problems, more...)
	if unit != nil && s.prices == "" && s.currency != "" {
		home, _ := bom.FindCurrency(s.currency) // refused before, where it is none
		prices, more = sheet.PricesOf(unit, home)
		problems = append(problems, more...)
	}
	return unit, prices, problems
}

// loadPrices reads the price sheet.
func (s *source) loadPrices(path string) (*bom.Prices, bom.Problems) {
	tables, problems := s.priceTables(path)
	if problems.Failed() && len(tables) == 0 {
		return nil, problems
	}
	name := filepath.ToSlash(path)
	if path == "-" {
		name = stdinName
	}
	prices, more := sheet.ReadPrices(tables, name, s.option)
	return prices, append(problems, more...)
}

func (s *source) priceTables(path string) ([]bom.Table, bom.Problems) {
	info, err := os.Stat(path)
	if path == "-" || err == nil && !info.IsDir() {
		return s.open(path)
	}
	if err != nil {
		return nil, unreadable(filepath.ToSlash(path), err)
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return nil, unreadable(filepath.ToSlash(path), err)
	}
	var tables []bom.Table
	var problems bom.Problems
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || strings.HasPrefix(name, ".") || !tabFile(name) {
			continue
		}
		t, ps := s.open(filepath.ToSlash(filepath.Join(path, name)))
		tables, problems = append(tables, t...), append(problems, ps...)
	}
	if len(tables) == 0 && len(problems) == 0 {
		problems.Errorf(bom.Place{File: filepath.ToSlash(path)}, "",
			"files such as settings.csv and offers.csv: "+strings.Join(bom.TabNames(), ", "), "the folder holds no tab of a price sheet")
	}
	return tables, problems
}

// tableEndings are the endings under which tables are kept; what is in them is
// told by content all the same, and an old workbook is refused by it.
var tableEndings = []string{".csv", ".tsv", ".txt", ".xlsx", ".ods", ".fods", ".xls"}

// tabFile tells whether a file of a price folder may be one of its tabs. A
// table under a name that is no tab is read all the same, so that a misspelt
// name is complained of; other files, such as a text to read, are not.
func tabFile(name string) bool {
	ending := strings.ToLower(filepath.Ext(name))
	if ending == ".txt" {
		_, known := bom.PriceTab(strings.TrimSuffix(name, filepath.Ext(name)))
		return known
	}
	return slices.Contains(tableEndings, ending)
}
