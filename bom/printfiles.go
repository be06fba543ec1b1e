package bom

import (
	"bytes"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
)

// PrintFiles are what the files of one printed piece hold; nil where there is
// none of the kind.
type PrintFiles struct {
	Solid *Solid // a mesh, to be cut by a recipe
	Path  *Path  // a toolpath
}

// Path is what the toolpath of one piece comes to on one printer.
type Path struct {
	SizeMM    Point // of the piece, without skirt, brim and purge line
	G         Measure
	FilamentM float64
	Hours     float64 // without heating, which a toolpath does not tell
}

// SizeMM is the size of the piece: that of the mesh, else that of the toolpath.
func (f PrintFiles) SizeMM() (size Point, known bool) {
	switch {
	case f.Solid != nil:
		return f.Solid.Size(), true
	case f.Path != nil:
		return f.Path.SizeMM, true
	}
	return Point{}, false
}

// PrintedLines are the fitted printed lines of a bill of materials and of all
// that it names, each once, in order.
func (a *Assembly) PrintedLines() (out []*Line) {
	for l := range a.MadeLines() {
		if l.Kind == KindPrinted && l.Fitted {
			out = append(out, l)
		}
	}
	return out
}

// LineAmong is the printed line that a finished print was of: the first whose
// part it names, or whose file; nil where there is none. A file is named as the
// bill of materials names it, whatever folder it stands in.
func (p *PrintLog) LineAmong(lines []*Line) *Line {
	for _, l := range lines {
		if p.File != "" && slices.ContainsFunc(l.Files, p.Names) || p.File == "" && SameName(p.Part, l.Part) {
			return l
		}
	}
	return nil
}

// Names tells whether a path is that of the log's file.
func (p *PrintLog) Names(file string) bool {
	name := path.Clean(strings.ReplaceAll(p.File, `\`, "/"))
	return file == name || strings.HasSuffix(file, "/"+name)
}

// SplitPiece parts "case.3mf#2", which names a piece of a file, into the file and
// the piece. A file may have # in its own name, so that what exists decides: the
// whole, else the shortest name in front of a # that does. Where none does, the
// name is given as it stands.
func SplitPiece(name string, exists func(file string) bool) (file, piece string) {
	if exists(name) {
		return name, ""
	}
	for i := range len(name) {
		if name[i] == '#' && exists(name[:i]) {
			return name[:i], strings.TrimSpace(name[i+1:])
		}
	}
	return name, ""
}

// Stranger tells from its first bytes a file that is neither mesh nor toolpath as
// text but is known all the same: what it is and what would be right. Both are
// empty for any other.
//
// Toolpaths packed in binary form begin with GCDE.
func Stranger(head []byte) (what, want string) {
	switch {
	case IsPointer(head):
		return "is a pointer to a file kept elsewhere", "fetch the file itself"
	case bytes.HasPrefix(head, []byte("GCDE")):
		return "is a toolpath packed in binary form", "the toolpath as text"
	}
	return "", ""
}

// pointer is a text that stands in a repository for a large file which is kept
// elsewhere: the version of its form by an address, and the hash and size of the
// file. Common practice, no source.
var pointer = regexp.MustCompile(`^version https?://\S+/spec/\S+\r?\n(?:\S+ .*\r?\n)*?oid sha256:[0-9a-f]+\r?\n(?:\S+ .*\r?\n)*?size [0-9]+\s*$`)

// mostPointer is how long such a text can be, in bytes.
const mostPointer = 1024

// IsPointer tells whether a file holds nothing but such a text.
func IsPointer(data []byte) bool { return len(data) <= mostPointer && pointer.Match(data) }

// Watch tells how many bytes of a stream have been read, with those before it, where there
// is somebody to be told.
func Watch(r io.Reader, before int64, tell func(bytes int64)) io.Reader {
	if tell == nil {
		return r
	}
	return &watched{r, before, tell}
}

type watched struct {
	io.Reader
	done int64
	tell func(bytes int64)
}

func (w *watched) Read(b []byte) (int, error) {
	n, err := w.Reader.Read(b)
	w.done += int64(n)
	w.tell(w.done)
	return n, err
}
