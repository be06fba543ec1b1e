package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"

	"tenoff/bom/markup"
)

// parts is a workbook's zip archive, its sizes within the limits.
type parts struct {
	byName map[string]*zip.File // lower case, forward slashes: names differ in more than case
	all    []*zip.File          // in the archive's order
	done   map[*zip.File]bool   // read to its end
	lim    Limits
}

// refusal is why a file is not read, though it is not damaged.
type refusal struct{ what, found, want string }

func (e *refusal) Error() string { return e.what }

// maxParts bounds the entries of the archive; a sheet has about five.
const maxParts = 20_000

// What would be right instead of a workbook that cannot be read.
const (
	wantWhole = "a workbook that is whole: copy it again, or save it again as .xlsx or .ods"
	wantOpen  = "a workbook without a password, or CSV"
	wantSaved = "the table saved as .xlsx, .ods or .csv"
)

// openParts checks what the archive says of itself.
func openParts(data []byte, lim Limits) (*parts, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, &refusal{what: "the workbook is cut short or damaged: its zip archive cannot be read", want: wantWhole}
	}
	p := &parts{byName: make(map[string]*zip.File), all: z.File, done: make(map[*zip.File]bool), lim: lim}
	var total uint64
	for _, f := range z.File {
		name := markup.PartName(f.Name)
		switch {
		case len(p.byName) == maxParts:
			return nil, &refusal{what: fmt.Sprintf("the workbook has more than %d parts", maxParts), want: wantWhole}
		case p.byName[name] != nil:
			return nil, &refusal{"the workbook is damaged: one part stands in it twice", f.Name, wantWhole}
		case f.Flags&1 != 0:
			return nil, &refusal{"the workbook is encrypted", f.Name, wantOpen}
		}
		p.byName[name] = f
		// the archive reader gives an error at the first byte over this size
		total += min(f.UncompressedSize64, 1<<40)
	}
	free := int64(freeBytes)
	if p.has(mimePart) {
		free, lim.Expansion = freeDocument, documentExpansion*lim.Expansion
	}
	return p, fits(int64(total), int64(len(data)), free, lim)
}

// fits holds what is unpacked against the limits.
func fits(total, packed, free int64, lim Limits) error {
	what := ""
	switch {
	case total > lim.UnzipBytes:
		what = fmt.Sprintf("the workbook unpacks to %d MiB or more, over the limit of %d MiB", mebis(total), mebis(lim.UnzipBytes))
	case total > free && total/lim.Expansion > packed:
		what = fmt.Sprintf("the workbook unpacks to %d times its size or more, over the limit of %d times", total/max(packed, 1), lim.Expansion)
	default:
		return nil
	}
	return &refusal{what: what, want: raise("unzip-mb", mebis(total))}
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
	// Room for all of it at once: twice that, while it grows, is too much for large parts.
	data := bytes.NewBuffer(make([]byte, 0, int(f.UncompressedSize64)+bytes.MinRead))
	if _, err := data.ReadFrom(r); err != nil {
		return nil, damage(name, err)
	}
	return data.Bytes(), nil
}

// readSmall reads a part that lists or formats what the sheets hold.
func (p *parts) readSmall(name string) ([]byte, error) {
	if f := p.byName[markup.PartName(name)]; f != nil && int64(f.UncompressedSize64) > p.lim.PartBytes {
		size := mebis(int64(f.UncompressedSize64))
		return nil, &refusal{want: raise("unzip-mb", partShare*size),
			what: fmt.Sprintf("the part %s of the workbook unpacks to %d MiB, over the limit of %d MiB", name, size, mebis(p.lim.PartBytes))}
	}
	return p.read(name)
}

// eachStart walks such a part to its end and hands on every start of an element.
func (p *parts) eachStart(name string, use func(s *markup.Scanner, element string) error) error {
	data, err := p.readSmall(name)
	if err != nil {
		return err
	}
	if err := markup.EachStart(data, use); err != nil {
		return fmt.Errorf("the part %s is broken: %w", name, err)
	}
	return nil
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
