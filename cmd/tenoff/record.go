package main

import (
	"path/filepath"
	"slices"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
	"tenoff/reports/pricesheet"
	"tenoff/reports/workbook"
)

// record asks for what --actuals and --carry write of one batch.
func (j *job) record(r *cost.Run) error {
	for _, f := range [][2]string{{"--actuals", j.actuals}, {"--carry", j.carry}} {
		if f[1] != "" && j.RunFile == "" && len(r.Batches) != 1 {
			return usage("%s is for one batch; %d are asked for", f[0], len(r.Batches))
		}
	}
	if j.carry != "" && (j.Prices == "" || j.Prices == "-") {
		return usage("--carry copies a price sheet, which --prices must name as a file or folder")
	}
	r.Record = j.actuals != "" || j.carry != ""
	return nil
}

// addRecord adds the plan to fill in, and the price sheet with what is on hand afterwards.
func (j *job) addRecord(o *outputs, e *cost.Estimate) error {
	if j.actuals == "" && j.carry == "" {
		return nil
	}
	record := e.Batches[0].Record
	if record == nil {
		return failed("something has no price, so that the batch can neither be settled nor carried over; give the price first")
	}
	if j.actuals != "" {
		addInputs(o, j.actuals, reports.ActualsTables(record), workbook.InputsOptions{Title: e.Name, Run: true})
	}
	if j.carry == "" {
		return nil
	}
	p, err := j.openFiles(j.Options)
	if err != nil {
		return err
	}
	changes, problems := pricesheet.Carry(p.prices, pricesheet.Planned(record.Left), e.Today)
	if !problems.Failed() {
		more, err := p.put(bom.TabOnHand, pricesheet.LastOnHand(p.prices), changes)
		if err != nil {
			return err
		}
		borne, last := pricesheet.OneOffs(p.prices, record.Charges, record.Good.Is())
		paid, err := p.put(bom.TabOneOff, last, borne)
		if err != nil {
			return err
		}
		problems = slices.Concat(problems, more, paid)
	}
	if problems.Failed() {
		return refused(problems)
	}
	if p.folder {
		o.dirs = append(o.dirs, j.carry)
	}
	for _, file := range p.files {
		path := j.carry
		if p.folder {
			path = filepath.Join(j.carry, filepath.Base(filepath.FromSlash(file)))
		}
		o.add(path, same(p.now[file]), writeBytes(p.now[file]))
	}
	return nil
}
