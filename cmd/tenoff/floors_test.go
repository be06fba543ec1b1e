package main

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// noImports leaves what other packages define unknown.
type noImports struct{}

func (noImports) Import(string) (*types.Package, error) { return nil, errors.New("not looked at") }

// TestFilesInFloors keeps the files of the estimate from using each other in a circle: each
// uses only what files below it define.
func TestFilesInFloors(t *testing.T) {
	names, err := filepath.Glob(filepath.Join("..", "..", "cost", "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	fset, files := token.NewFileSet(), []*ast.File{}
	for _, name := range names {
		if !strings.HasSuffix(name, "_test.go") {
			parsed, err := parser.ParseFile(fset, name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, parsed)
		}
	}
	info := types.Info{Uses: map[*ast.Ident]types.Object{}}
	conf := types.Config{Importer: noImports{}, Error: func(error) {}}
	pkg, _ := conf.Check("cost", fset, files, &info)
	fileOf := func(at token.Pos) string { return filepath.Base(fset.Position(at).Filename) }
	uses := map[string]map[string]string{} // by file: files that define what it uses, and one name of that
	for id, o := range info.Uses {
		if from, to := fileOf(id.Pos()), fileOf(o.Pos()); o.Pkg() == pkg && from != to {
			if uses[from] == nil {
				uses[from] = map[string]string{}
			}
			uses[from][to] = max(uses[from][to], o.Name())
		}
	}
	if len(uses) < len(files)/2 {
		t.Fatalf("only %d of %d files are seen to use others", len(uses), len(files))
	}
	for below := true; below; { // files that use none of those that are left stand below them
		below = false
		for file, used := range uses {
			for to := range used {
				if uses[to] == nil {
					delete(used, to)
				}
			}
			if len(used) == 0 {
				delete(uses, file)
				below = true
			}
		}
	}
	for file, used := range uses {
		var list []string
		for to, name := range used {
			list = append(list, name+" of "+to)
		}
		slices.Sort(list)
		t.Errorf("cost/%s stands in or over a circle: it uses %s", file, strings.Join(list, ", "))
	}
}
