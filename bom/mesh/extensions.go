package mesh

import (
	"archive/zip"
	"cmp"
	"path"
	"slices"
	"strings"
)

// extension is one of 3MF.
type extension struct {
	name   string // of what it adds
	shapes bool   // what is printed hangs on it, and it is not read
	quiet  bool   // it need not be read where the model does not require it
}

// extensions are those of the 3MF Consortium, by the word of their namespace
// that stands between "3dmanufacturing" and the date.
var extensions = map[string]extension{
	"core": {}, "production": {}, "material": {}, "trianglesets": {},
	"beamlattice":       {name: "a beam lattice", shapes: true},
	"booleanoperations": {name: "bodies cut from each other", shapes: true},
	"displacement":      {name: "a displaced surface", shapes: true},
	"implicit":          {name: "a shape given by a function", shapes: true},
	"volumetric":        {name: "a shape given by a field", shapes: true},
	"slice":             {name: "slices", shapes: true, quiet: true}, // of a mesh that stands beside them
	"securecontent":     {name: "encrypted parts", shapes: true, quiet: true},
}

// kindOf is the word of a namespace by which an extension goes, whatever its
// version; empty where it is of none.
func kindOf(space string) string {
	_, rest, _ := strings.Cut(space, "/3dmanufacturing/")
	kind, _, _ := strings.Cut(rest, "/")
	if _, ok := extensions[kind]; !ok {
		return ""
	}
	return kind
}

// required refuses an extension without which the model cannot be understood.
func (p *part) required(e *element, prefix string) error {
	space := e.Space(prefix)
	kind := kindOf(space)
	ext := extensions[kind]
	switch {
	case kind == "":
		return p.fault(e.at, cmp.Or(space, prefix), "a model that needs the core, production and materials specifications at most",
			"the model cannot be understood without an extension that is not known")
	case ext.shapes:
		return p.fault(e.at, prefix, "the shape as a mesh alone", "the shape rests on an extension that is not read, %s", ext.name)
	}
	return nil
}

// meet notes geometry of an extension that the model does not require.
func (m *model) meet(space string) {
	if ext := extensions[kindOf(space)]; ext.shapes && !ext.quiet && !slices.Contains(m.unread, ext.name) {
		m.unread = append(m.unread, ext.name)
	}
}

// foreign gives the attributes of other namespaces than the core. One that is of
// no extension is a setting of the program that wrote the file.
func (e *element) foreign(use func(space, name, value string)) {
	for _, a := range e.Attrs {
		if a.Prefix == "" || a.Prefix == "xmlns" {
			continue
		}
		space := e.Space(a.Prefix)
		if kindOf(space) == "" && a.Prefix != "xml" {
			e.part.m.private = true
		}
		use(space, a.Name, string(a.Value))
	}
}

// holdsSettings tells whether a package has parts besides the model, what links
// them, pictures and the properties of the document.
func holdsSettings(z *zip.Reader) bool {
	for _, f := range z.File {
		name := strings.ToLower(strings.TrimPrefix(f.Name, "/"))
		switch path.Ext(name) {
		case ".model", ".rels", ".png", ".jpg", ".jpeg":
			continue
		}
		if !strings.HasSuffix(name, "/") && name != "[content_types].xml" && !strings.HasPrefix(name, "docprops/") {
			return true
		}
	}
	return false
}
