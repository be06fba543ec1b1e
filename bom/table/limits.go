package table

import (
	"fmt"
	"math"
	"strings"

	"tenoff/bom"
)

// Limits bound what one file may cost. A field of 0 stands for its default.
type Limits struct {
	FileBytes int64 // size of the file; 64 MiB
	Rows      int   // rows with at least one cell, per table; 200,000
	Columns   int   // last column of a table that holds anything; 1,000
	Cells     int   // cells that hold anything, and shared texts of a workbook; 2,000,000
	CellChars int   // characters of one cell; 32,767, as many as a workbook can hold
	Sheets    int   // work sheets of a workbook; 200

	// UnzipBytes bounds all parts of a workbook together, unpacked; 256 MiB.
	UnzipBytes int64
	// PartBytes bounds each part that lists or formats what the sheets hold
	// (the list of sheets, the styles), unpacked; 4 MiB.
	PartBytes int64
	// Expansion bounds how many times its packed size a workbook may unpack
	// to; 40. What unpacks to no more than 8 MiB is not measured against it. Of
	// OpenDocument it is twice as many, and 64 MiB.
	Expansion int64
}

const mebi = 1 << 20

// freeBytes is what any workbook may unpack to, whatever its packed size: a
// small one that is nearly all formatting packs very well and costs nothing.
const freeBytes = 8 * mebi

// OpenDocument writes a cell in some hundred characters that are always the
// same: price sheets saved by LibreOffice were found to unpack to 39 times their
// size, one with few columns that change to 143 times.
const (
	freeDocument      = 64 * mebi
	documentExpansion = 2
)

// DefaultLimits gives the limits in their documented defaults.
func DefaultLimits() Limits {
	return Limits{
		FileBytes:  64 * mebi,
		Rows:       200_000,
		Columns:    1_000,
		Cells:      2_000_000,
		CellChars:  32_767,
		Sheets:     200,
		UnzipBytes: 256 * mebi,
		PartBytes:  4 * mebi,
		Expansion:  40,
	}
}

// LimitKeys lists the keys that Set knows, in the order in which they are
// documented.
var LimitKeys = []string{"file-mb", "rows", "columns", "cells", "cell", "sheets", "unzip-mb"}

// Set changes the limit of one key. Raising unzip-mb raises what each part may
// hold with it, and lifts the bound on the expansion. A key that is not known
// and a value that is not positive are errors.
func (l *Limits) Set(key string, value int64) error {
	if value < 1 || value > math.MaxInt32 {
		return fmt.Errorf("limit %s is %d; a whole number from 1 to %d would be right", key, value, math.MaxInt32)
	}
	counts := map[string]*int{"rows": &l.Rows, "columns": &l.Columns, "cells": &l.Cells, "cell": &l.CellChars, "sheets": &l.Sheets}
	if count, ok := counts[key]; ok {
		*count = int(value)
		return nil
	}
	switch key {
	case "file-mb":
		l.FileBytes = value * mebi
	case "unzip-mb":
		l.UnzipBytes = value * mebi
		l.PartBytes = max(DefaultLimits().PartBytes, l.UnzipBytes/partShare)
		l.Expansion = math.MaxInt32
	default:
		return fmt.Errorf("there is no limit %q; known are %s", key, strings.Join(LimitKeys, ", "))
	}
	return nil
}

// partShare is which part of UnzipBytes one describing part may take once the
// limit is raised.
const partShare = 16

// filled puts the defaults where nothing is set.
func (l Limits) filled() Limits { return bom.OrDefaults(l, DefaultLimits()) }

// raise words the hint that names the flag behind a limit. A need of 0 means
// that it is not known how far to raise it.
func raise(key string, need int64) string {
	if need > 0 {
		return fmt.Sprintf("raise the limit with --limit %s=%d if the file is right", key, need)
	}
	return fmt.Sprintf("raise the limit with --limit %s=… if the file is right", key)
}

// mebis rounds a size up to whole MiB.
func mebis(bytes int64) int64 { return (bytes + mebi - 1) / mebi }
