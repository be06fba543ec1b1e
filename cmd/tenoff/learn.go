package main

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/cost/settling"
	"tenoff/reports"
	"tenoff/reports/pricesheet"
)

// learn writes what a run has shown, and what is on hand after it, into a price sheet; it
// tells what was done.
func (n *settlement) learn(cmd *cobra.Command, run string, s *settling.Settlement) (done string, problems bom.Problems, err error) {
	if n.update == "-" {
		return "", nil, usage("--update writes into a price sheet, which cannot be standard input")
	}
	day, err := parseToday(n.date)
	if err != nil {
		return "", nil, err
	}
	sheet := *n.source
	sheet.Prices = n.update
	p, err := sheet.openFiles(sheet.Options)
	if err != nil {
		return "", nil, err
	}
	note := cmp.Or(s.Product, "run")
	if !s.PlannedOn.IsZero() {
		note += " of " + s.PlannedOn.String()
	}
	changes, left := pricesheet.Learn(p.prices, s, day, note)
	for _, x := range left {
		problems.Warnf(bom.Place{File: p.name, Sheet: x.Tab}, strings.Join(x.Row, ", "), "add the row where it is to be learnt", "no such row, so that %s is not written", x.Heading)
	}
	kept := bom.Each(s.Left, func(l *settling.Left) pricesheet.Kept { return pricesheet.Kept{RunLeft: l.RunLeft, Is: l.Is} })
	rows, more := pricesheet.Carry(p.prices, kept, day)
	if problems = append(problems, more...); problems.Failed() {
		return "", nil, refused(problems)
	}
	changes = append(changes, pricesheet.TabChange{Tab: bom.TabOnHand, Last: pricesheet.LastOnHand(p.prices), Rows: rows})
	var tabs []string
	for _, c := range changes {
		more, err := p.put(c.Tab, c.Last, c.Rows)
		if err != nil {
			return "", nil, err
		}
		if problems = append(problems, more...); problems.Failed() {
			return "", nil, refused(problems)
		}
		if len(c.Rows) > 0 {
			tabs = append(tabs, fmt.Sprintf("%s in %s", reports.Counted(len(c.Rows), "row"), c.Tab))
		}
	}
	if p.formulas {
		problems.Warnf(bom.Place{File: p.name}, "", "recalculate the workbook in a spreadsheet and save it", "formulas in the workbook are not recalculated")
	}
	done, err = p.replace(cmd, p.name, slices.Concat(n.Files(), []string{run}), strings.Join(tabs, ", "))
	return done, problems, err
}

// replace puts the files that changed into place, each with the one that was there beside
// it, and says so: rows tells what was done in what is shown.
func (p *priceFiles) replace(cmd *cobra.Command, shown string, read []string, rows string) (string, error) {
	o := &outputs{force: true, inputs: slices.DeleteFunc(slices.Clone(read), func(name string) bool { return slices.Contains(p.files, filepath.ToSlash(name)) })}
	var kept []string
	wrote := false
	for _, file := range p.files {
		path, old := load.Resolved(filepath.FromSlash(file)), p.old[file]
		if bytes.Equal(old, p.now[file]) {
			continue
		}
		if old != nil {
			if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, old) {
				return "", failed("%s: was changed meanwhile; run it again", file)
			}
			o.add(path+keptEnding, nil, writeBytes(old))
			o.files[len(o.files)-1].like = path
			kept = append(kept, file+keptEnding)
		}
		o.add(path, nil, writeBytes(p.now[file]))
		wrote = true
	}
	if !wrote {
		return shown + " says all of it already; nothing was written", nil
	}
	if err := o.write(cmd.Context()); err != nil {
		return "", err
	}
	done := "wrote " + shown + ": " + rows
	if kept != nil {
		done += "\nkept as it was before: " + strings.Join(kept, ", ")
	}
	return done, nil
}
