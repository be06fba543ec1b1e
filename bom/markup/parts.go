package markup

import (
	"path"
	"strings"
)

// What follows is about packages: archives of parts that name one another by
// relationships (ECMA-376 part 2, 6 and 8).

// PartName is the name by which a part is looked up: in small letters, with forward
// slashes and none in front. Programs write names that differ in no more than that.
func PartName(name string) string {
	return strings.ToLower(strings.TrimPrefix(strings.ReplaceAll(name, "\\", "/"), "/"))
}

// RelationsPart names the part that holds the relationships of a part; those of
// the whole archive for an empty name.
func RelationsPart(of string) string {
	return path.Join(path.Dir(of), "_rels", path.Base("/"+of)+".rels")
}

// Relation is one line of a part of relationships.
type Relation struct {
	Kind   string // last word of its type, in which the two dialects of the standard agree
	Target string // name of a part
}

// Relations reads the relationships of a part, by identifier.
func Relations(of string, data []byte) (map[string]Relation, error) {
	out := map[string]Relation{}
	err := EachStart(data, func(s *Scanner, name string) error {
		if name != "Relationship" || string(s.Attr("TargetMode")) == "External" {
			return nil
		}
		target := strings.ReplaceAll(string(s.Attr("Target")), "\\", "/")
		if !strings.HasPrefix(target, "/") {
			target = path.Join(path.Dir(of), target)
		}
		kind := string(s.Attr("Type"))
		out[string(s.Attr("Id"))] = Relation{kind[strings.LastIndexByte(kind, '/')+1:], strings.TrimPrefix(path.Clean(target), "/")}
		return nil
	})
	return out, err
}

// First gives the part of a kind among relationships that is there, of several the first
// by name; empty where none is.
func First(rels map[string]Relation, kind string, there func(part string) bool) string {
	first := ""
	for _, r := range rels {
		if r.Kind == kind && there(r.Target) && (first == "" || r.Target < first) {
			first = r.Target
		}
	}
	return first
}

// EachStart walks a part to its end and hands on every start of an element.
func EachStart(data []byte, use func(s *Scanner, name string) error) error {
	s := New(data)
	return s.Each(func(t Token) error {
		if t.Kind == Start {
			return use(s, t.Name)
		}
		return nil
	})
}
