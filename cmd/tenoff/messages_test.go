package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestConsoleMessages keeps what the program says in one file, so that it can be read through in one
// go and a new message is met by a reader: all prose in the sources of the readers, the sums
// and the commands, but for what README shows of columns and --help of flags. A message stands
// with what would be right behind it; {} is what is filled in.
func TestConsoleMessages(t *testing.T) {
	var out bytes.Buffer
	for _, dir := range []string{"bom", "cost", "reports/pricesheet", "cmd"} {
		if err := filepath.WalkDir(filepath.Join("..", "..", filepath.FromSlash(dir)), func(file string, d fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") || slices.Contains(docFiles, strings.TrimPrefix(filepath.ToSlash(file), "../../")) {
				return err
			}
			said, err := prose(file)
			if err != nil || len(said) == 0 {
				return err
			}
			fmt.Fprintf(&out, "\n%s\n", strings.TrimPrefix(filepath.ToSlash(file), "../../"))
			for _, s := range said {
				fmt.Fprintf(&out, "  %s\n", s)
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join("testdata", "messages.txt")
	if *update {
		if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	old := strings.Split(string(want), "\n")
	for line := range strings.Lines(out.String()) {
		if line = strings.TrimSuffix(line, "\n"); !slices.Contains(old, line) {
			t.Errorf("not in %s: %s", path, line)
		}
	}
	if !bytes.Equal(out.Bytes(), want) {
		t.Errorf("%s is not what the sources say; go test ./cmd/tenoff -run Console -update rewrites it: read the difference", path)
	}
}

// TestConsoleMessageForm: what is wrong is lower case and has no full stop.
func TestConsoleMessageForm(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "messages.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasSuffix(line, ".") && !strings.HasSuffix(line, "...") {
			t.Errorf("ends with a full stop: %s", line)
		}
		if titled.MatchString(line) {
			t.Errorf("begins with a capital: %s", line)
		}
		for _, word := range formerWords {
			if strings.Contains(line, word) {
				t.Errorf("%q is said by another word: %s", word, line)
			}
		}
	}
}

// titled is a word that begins with a capital for no reason but its place.
var titled = regexp.MustCompile(`^  (The|A|An|No|This|There|Not|It|In|Of|Each|All|With|Without|More|Less|One|Take) `)

// formerWords are words that the trade has others for.
var formerWords = []string{
	"sold out", "passed over", "drawer", "top-up", "nowhere else", "next best", "left over", "is wanted", "are wanted", "to be had",
	"would be overwritten", "no such file",
}

// docFiles hold what README and notes of workbooks show.
var docFiles = []string{"bom/schema.go", "bom/actuals.go", "bom/printing.go", "bom/headings.go", "bom/packagewords.go", "cost/sumkeys.go", "cost/terms.go"}

// spoken is prose: three words at least, one after another.
var spoken = regexp.MustCompile(`(^|[^a-zA-Z])[a-z]+('s)?[,:]? (\{\}|[a-z]+)[,:;]? (\{\}|[a-z]+|[0-9])`)

// unsaid are calls and keys whose texts are not messages: help, names, patterns.
var unsaid = []string{
	"StringVar", "StringArrayVar", "BoolVar", "IntVar", "Int64Var", "Float64Var", "Var", "MustCompile", "words", "WordSet", "addRows", "cell",
	"Doc", "Heading", "Example", "Long", "Use", "panic", "mustBe",
}

// prose lists what a file says, a line for each message.
func prose(file string) ([]string, error) {
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		return nil, err
	}
	var said []string
	told := map[ast.Node]bool{}
	ast.Inspect(parsed, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.CallExpr:
			if slices.Contains(unsaid, lastName(x.Fun)) {
				return false
			}
			if joins[lastName(x.Fun)] {
				return true
			}
			args := x.Args
			if name := lastName(x.Fun); (name == "Errorf" || name == "Warnf") && len(args) >= 4 {
				args = append([]ast.Expr{args[3]}, args[1], args[2]) // what is wrong goes first
			}
			said = add(said, told, args)
		case *ast.CompositeLit:
			said = add(said, told, x.Elts)
		case *ast.KeyValueExpr:
			return !slices.Contains(unsaid, lastName(x.Key))
		case *ast.AssignStmt:
			said = add(said, told, x.Rhs)
		case *ast.ReturnStmt:
			said = add(said, told, x.Results)
		case *ast.ValueSpec:
			if len(x.Names) > 0 && strings.HasSuffix(x.Names[0].Name, "Rows") {
				return false
			}
			said = add(said, told, x.Values)
		case *ast.Field:
			return x.Tag == nil
		}
		return true
	})
	return said, nil
}

// joins are calls that make one text of several.
var joins = map[string]bool{"Sprintf": true, "Join": true, "Or": true}

func lastName(e ast.Expr) string {
	switch x := e.(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		return x.Sel.Name
	}
	return ""
}

// add adds the texts among some expressions as one line, where one of them is prose.
func add(said []string, told map[ast.Node]bool, exprs []ast.Expr) []string {
	var parts []string
	is := false
	for _, e := range exprs {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if slices.Contains(unsaid, lastName(kv.Key)) {
				continue
			}
			e = kv.Value
		}
		text, found := literal(e, told)
		if !found {
			continue
		}
		if text = strings.Join(strings.Fields(text), " "); text != "" && text != "{}" {
			parts = append(parts, text)
			is = is || spoken.MatchString(text)
		}
	}
	if is {
		said = append(said, strings.Join(parts, "; "))
	}
	return said
}

var verb = regexp.MustCompile(`%[-+#0-9.*]*[a-zA-Z]`)

// literal is the text of an expression, with {} for what is filled in; found tells whether
// any of it stands there.
func literal(e ast.Expr, told map[ast.Node]bool) (text string, found bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		if x.Kind != token.STRING || told[x] {
			return "{}", false
		}
		told[x] = true
		s, err := strconv.Unquote(x.Value)
		return strings.ReplaceAll(verb.ReplaceAllString(s, "{}"), "%%", "%"), err == nil
	case *ast.BinaryExpr:
		left, a := literal(x.X, told)
		right, b := literal(x.Y, told)
		return left + right, a || b
	case *ast.ParenExpr:
		return literal(x.X, told)
	case *ast.CallExpr:
		if joins[lastName(x.Fun)] && len(x.Args) > 0 {
			for _, arg := range x.Args {
				if text, found = literal(arg, told); found {
					return text, true
				}
			}
		}
	}
	return "{}", false
}
