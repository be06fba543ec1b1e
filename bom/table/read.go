package table

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"tenoff/bom"
)

// Open reads a file. shown is its name in every place; an empty one stands for
// the path. See Read for what comes back.
func Open(path, shown string, lim Limits) ([]bom.Table, bom.Problems) {
	shown = cmp.Or(shown, path)
	name := filepath.ToSlash(shown)
	data, err := load(path, lim.filled().FileBytes)
	if err != nil {
		var probs bom.Problems
		probs.Errorf(bom.Place{File: name}, "", "a CSV file, or an XLSX or ODS workbook, that can be read",
			"the file cannot be read: %s", FileError(err))
		return nil, probs
	}
	return Read(name, data, lim)
}

// load reads no more than one byte over the limit, which is enough for Read to
// tell that the file is too large.
func load(path string, limit int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, limit+1))
}

// Read turns the bytes of one file into its tables: one for a CSV file, one for
// each work sheet of a workbook, in the workbook's order. name is the file's
// name in every place.
//
// Empty cells and rows are left out, and white space at both ends of a cell. A
// sheet without cells gives a table without rows; a text file without cells is
// an error. A table that could not be read to its end is left out, so that it
// cannot be taken for a short one; where bom.Problems.Failed says so, nothing
// may be computed from the others either. Read does not panic.
func Read(name string, data []byte, lim Limits) (tables []bom.Table, probs bom.Problems) {
	defer func() {
		if r := recover(); r != nil {
			tables = nil
			probs.Errorf(bom.Place{File: name}, fmt.Sprint(r), "a file that is whole: save it again as .xlsx, .ods or .csv",
				"the file is damaged in a way that keeps it from being read")
		}
	}()
	lim = lim.filled()
	at := bom.Place{File: name}
	starts := func(mark string) bool { return bytes.HasPrefix(data, []byte(mark)) }
	switch {
	case int64(len(data)) > lim.FileBytes:
		probs.Errorf(at, "", raise("file-mb", max(mebis(int64(len(data))), lim.FileBytes/mebi+1)),
			"the file is over the limit of %d MiB", mebis(lim.FileBytes))
	case len(data) == 0:
		emptyFile(&probs, at)
	case starts("PK\x03\x04"), starts("PK\x05\x06"): // whether it is a workbook is seen when it is read
		return readWorkbook(name, data, lim)
	case starts("\xD0\xCF\x11\xE0"):
		compoundFile(at, data, &probs)
	case bom.IsPointer(data):
		probs.Errorf(at, firstBytes(data), "the file itself, fetched from there", "the file is a pointer to a file kept elsewhere")
	case isMarkup(data) && isFlatDocument(data):
		tables = readSpreadsheet(at, data, lim, &probs)
	case isMarkup(data):
		probs.Errorf(at, firstBytes(data), wantSaved,
			"the file is a document or a web page, not a table")
	default:
		return readText(name, data, lim)
	}
	return tables, probs
}

func emptyFile(probs *bom.Problems, at bom.Place) {
	probs.Errorf(at, "", "a heading row and at least one row under it", "the file is empty")
}

// isMarkup tells HTML, XML, PDF and RTF by the first bytes: text, but no table.
func isMarkup(data []byte) bool {
	head := bytes.ToLower(bytes.TrimSpace(bytes.TrimPrefix(data[:min(len(data), 64)], []byte("\xEF\xBB\xBF"))))
	marks := []string{"<?xml", "<office:document", "<html", "<!doctype", "<!--", "<head", "<body", "<meta", "<style", "<div", "<table", "%pdf-", `{\rtf`}
	return slices.ContainsFunc(marks, func(mark string) bool { return bytes.HasPrefix(head, []byte(mark)) })
}

// firstBytes shows how a file begins.
func firstBytes(data []byte) string { return string(data[:min(len(data), 24)]) }
