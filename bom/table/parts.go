package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// parts is a workbook's zip archive, its sizes within the limits.
type parts struct {
	byName map[string]*zip.File // lower case, forward slashes: names differ in more than case
	all    []*zip.File          // in the archive's order
	done   map[*zip.File]bool   // read to its end
	lim    Limits
}

// limitError is a limit that was met while a part was read.
type limitError struct{ what, want string }

func (e *limitError) Error() string { return e.what }

// maxParts bounds the entries of the archive; a sheet has about five.
const maxParts = 20_000

// What would be right instead of a workbook that cannot be read.
const (
	wantWhole = "a workbook that is whole: copy it again, or save it again as .xlsx or .ods"
	wantOpen  = "a workbook without a password, or CSV"
	wantSaved = "the table saved as .xlsx, .ods or .csv"
)

// openParts checks what the archive says of itself. On a fault it gives nil.
func openParts(at bom.Place, data []byte, lim Limits, probs *bom.Problems) *parts {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		probs.Errorf(at, "", wantWhole, "the workbook is cut short or damaged: its zip archive cannot be read")
		return nil
	}
	p := &parts{byName: make(map[string]*zip.File), all: z.File, done: make(map[*zip.File]bool), lim: lim}
	var total uint64
	for _, f := range z.File {
		name := markup.PartName(f.Name)
		switch {
		case len(p.byName) == maxParts:
			probs.Errorf(at, "", wantWhole, "the workbook has more than %d parts", maxParts)
			return nil
		case p.byName[name] != nil:
			probs.Errorf(at, f.Name, wantWhole, "the workbook is damaged: one part stands in it twice")
			return nil
		case f.Flags&1 != 0:
			probs.Errorf(at, f.Name, wantOpen, "the workbook is encrypted")
			return nil
		}
		p.byName[name] = f
		// the archive reader gives an error at the first byte over this size
		total += min(f.UncompressedSize64, 1<<40)
	}
	free := int64(freeBytes)
	if p.has(mimePart) {
		free, lim.Expansion = freeDocument, documentExpansion*lim.Expansion
	}
	if !fits(at, int64(total), int64(len(data)), free, lim, probs) {
		return nil
	}
	return p
}

// fits holds what is unpacked against the limits.
func fits(at bom.Place, total, packed, free int64, lim Limits, probs *bom.Problems) bool {
	if total > lim.UnzipBytes {
		probs.Errorf(at, "", raise("unzip-mb", mebis(total)),
			"the workbook unpacks to %d MiB or more, over the limit of %d MiB", mebis(total), mebis(lim.UnzipBytes))
		return false
	}
	if total > free && total/lim.Expansion > packed {
		probs.Errorf(at, "", raise("unzip-mb", mebis(total)),
			"the workbook unpacks to %d times its size or more, over the limit of %d times", total/max(packed, 1), lim.Expansion)
		return false
	}
	return true
}

func (p *parts) has(name string) bool { return p.byName[markup.PartName(name)] != nil }

// read gives a part, read to its end and its checksum found right.
func (p *parts) read(name string) ([]byte, error) {
	f := p.byName[markup.PartName(name)]
	if f == nil {
		return nil, fmt.Errorf("the part %s is missing", name)
	}
	p.done[f] = true
	r, err := f.Open()
	if err != nil {
		return nil, damage(name, err)
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, damage(name, err)
	}
	return data, nil
}

// readSmall reads a part that lists or formats what the sheets hold, and walks
// it to its end.
func (p *parts) readSmall(name string) ([]byte, error) {
	if f := p.byName[markup.PartName(name)]; f != nil && int64(f.UncompressedSize64) > p.lim.PartBytes {
		size := mebis(int64(f.UncompressedSize64))
		return nil, &limitError{
			fmt.Sprintf("the part %s of the workbook unpacks to %d MiB, over the limit of %d MiB", name, size, mebis(p.lim.PartBytes)),
			raise("unzip-mb", partShare*size)}
	}
	data, err := p.read(name)
	if err != nil {
		return nil, err
	}
	elements, err := wellFormed(data)
	if err != nil {
		return nil, fmt.Errorf("the part %s is broken: %w", name, err)
	}
	if most := p.lim.PartBytes / elementBytes; elements > most {
		return nil, &limitError{
			fmt.Sprintf("the part %s of the workbook holds %d elements, over the limit of %d", name, elements, most),
			raise("unzip-mb", partShare*mebis(elements*elementBytes))}
	}
	return data, nil
}

// wellFormed walks a part to its end and counts its elements.
func wellFormed(data []byte) (elements int64, err error) {
	err = markup.EachStart(data, func(*markup.Scanner, string) error {
		elements++
		return nil
	})
	return elements, err
}

// checkRest reads to their ends the parts that nothing has read.
func (p *parts) checkRest() error {
	for _, f := range p.all {
		if p.done[f] {
			continue
		}
		if _, err := p.read(f.Name); err != nil {
			return err
		}
	}
	return nil
}

func damage(name string, err error) error {
	switch {
	case errors.Is(err, zip.ErrChecksum):
		return fmt.Errorf("the checksum of the part %s is wrong", name)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("the part %s ends early", name)
	}
	return fmt.Errorf("the part %s cannot be unpacked", name)
}

// relations reads the relationships of a part, by identifier.
func (p *parts) relations(of string) (map[string]markup.Relation, error) {
	name := markup.RelationsPart(of)
	data, err := p.readSmall(name)
	if err != nil {
		return nil, err
	}
	rels, err := markup.Relations(of, data)
	if err != nil {
		return nil, fmt.Errorf("the part %s is broken: %w", name, err)
	}
	return rels, nil
}
