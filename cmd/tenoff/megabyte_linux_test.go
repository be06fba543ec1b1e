package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"
	"time"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

// megabyte is the size of the inputs that are built to cost much.
const megabyte = 1 << 20

// mostMemory is what no input of a megabyte may make the program hold at any
// time, in bytes.
const mostMemory = 200 << 20

// hostile is an input of a megabyte or a little less.
type hostile struct {
	why     string
	role    string // as in fixtures/messy; or the name of a file for measure
	content func(testing.TB) []byte
}

// filled repeats a text up to a megabyte under a head.
func filled(head, text string) func(testing.TB) []byte {
	return func(testing.TB) []byte {
		return []byte(head + strings.Repeat(text, (megabyte-len(head))/len(text)))
	}
}

// numbered is filled with a text that holds the number of the row in place of
// each #.
func numbered(head, text string) func(testing.TB) []byte {
	return func(testing.TB) []byte {
		var b strings.Builder
		b.WriteString(head)
		for i := 1; b.Len() < megabyte-2*len(text)-20; i++ {
			b.WriteString(strings.ReplaceAll(text, "#", fmt.Sprint(i)))
		}
		return []byte(b.String())
	}
}

const bomHead = "Designator,Quantity,Part number,Kind,Mount\n"

var megabytes = []hostile{
	{"bad rows", "bom.csv", filled(bomHead, "?,?\n")},
	{"the shortest rows", "bom.csv", filled(bomHead, "1\n")},
	{"rows of two cells", "bom.csv", filled("Designator,Part number\n", "1,\n")},
	{"rows of figures", "bom.csv", filled(bomHead, ",1\n")},
	{"figures beside a price", "bom.csv", numbered("Quantity,Part number,Price"+strings.Repeat(",", 250)+"\n", "1,#,5"+strings.Repeat(",17", 250)+"\n")},
	{"good rows", "bom.csv", numbered(bomHead, ",1,#,wire\n")},
	{"rows that are warned of", "bom.csv", filled(bomHead, ",1,1-May,wire\n")},
	{"rows of totals", "bom.csv", filled(bomHead, "sum\n")},
	{"rows of headings", "bom.csv", filled("Ref,Qty\n", "Ref,Qty\n")},
	{"remarks", "bom.csv", filled(bomHead, "ab ab ab\n")},
	{"one long remark", "bom.csv", filled(bomHead+"R1,1,", "a ")},
	{"quotes", "bom.csv", filled(bomHead, `"`)},
	{"cells of quotes", "bom.csv", filled(bomHead, `"""",`)},
	{"text behind quotes", "bom.csv", filled(bomHead, "\"\"a\n")},
	{"typographic quotes", "bom.csv", filled(bomHead, "“,”\n")},
	{"separators", "bom.csv", filled(bomHead, ",")},
	{"rows of separators", "bom.csv", filled(bomHead, ",,,,,\n")},
	{"line ends", "bom.csv", filled(bomHead, "\r\n")},
	{"one cell", "bom.csv", filled(bomHead, "a")},
	{"letters that look garbled", "bom.csv", filled(bomHead, "Ã,")},
	{"headings", "bom.csv", numbered("Ref,Qty,", "h#,")},
	{"a thousand unknown columns", "bom.csv", func(t testing.TB) []byte {
		row := strings.Repeat("x,", 900)
		return filled("Designator,Quantity,"+row+"\n", "R1,1,"+row+"\n")(t)
	}},
	{"ranges", "bom.csv", filled(bomHead, "R1-R999999,1,A,,SMT\n")},
	{"ranges that fit", "bom.csv", numbered(bomHead, "R#_1-9999,1,A,,SMT\n")},
	{"one list of designators", "bom.csv", numbered(bomHead+`"`, "R#,")},
	{"designators twice", "bom.csv", filled(bomHead, "R1,1,A,,SMT\n")},
	{"boards within boards", "bom.csv", filled("Part number,Quantity,Kind,File\n", "A,9,board,bom.csv\n")},
	{"files that are not there", "bom.csv", numbered("Part number,Quantity,Kind,File\n", "A,9,board,f#.csv\n")},
	{"Windows-1252", "bom.csv", filled(bomHead, "\xb5,\xb5\n")},
	{"UTF-16", "bom.csv", func(testing.TB) []byte {
		b := []byte("\xFF\xFE")
		for _, r := range bomHead + strings.Repeat("1,\n", megabyte/6-50) {
			b = binary.LittleEndian.AppendUint16(b, uint16(r))
		}
		return b
	}},
	{"unknown settings", "settings.csv", numbered("Setting,Value\nHome currency,EUR\n", "s#,1\n")},
	{"good offers", "offers.csv", numbered("Part number,Supplier,Price\n", "#,S,1\n")},
	{"bad offers", "offers.csv", filled("Part number,Supplier,Price\n", ",?,?\n")},
	{"breaks of one offer", "offers.csv", numbered("Part number,Supplier,From,Price\n", "A,S,#,1\n")},
	{"breaks that differ", "offers.csv", numbered("Part number,Supplier,From,Price\n", "A,S,1,#\n")},
	{"columns of breaks", "offers.csv", func(testing.TB) []byte {
		var b strings.Builder
		b.WriteString("Part number,Supplier")
		for i := 1; i <= 900; i++ {
			fmt.Fprintf(&b, ",@%d", i)
		}
		for i := 0; b.Len() < megabyte-2000; i++ {
			fmt.Fprintf(&b, "\n%d,S%s", i, strings.Repeat(",1", 900))
		}
		return []byte(b.String())
	}},
	{"columns of breaks in thousands", "offers.csv", numbered("Part number,Supplier,", "@#,")},
	{"suppliers", "suppliers.csv", numbered("Supplier,Currency\n", "s#,USD\n")},
	{"a drawer of doubles", "on-hand.csv", filled("Part number,Quantity\n", "A,1\n")},
	{"payers", "who-pays.csv", numbered("Applies to,Payer,Share %\n", "a#,b,1\n")},
	{"substitutes", "substitutes.csv", numbered("Part number,Substitute\n", "a#,b#\n")},
	{"empty rows of a sheet", "bom.xlsx", sheetOf(`<row/>`)},
	{"formatted rows of a sheet", "bom.xlsx", sheetOf(`<row><c s="1"/><c s="1"/></row>`)},
	{"rows of a sheet", "bom.xlsx", sheetOf(`<row><c><v>1</v></c><c t="inlineStr"><is><t>a</t></is></c></row>`)},
	{"formulas of a sheet", "bom.xlsx", sheetOf(`<row><c><f>A1</f></c><c><f>A1</f></c></row>`)},
	{"elements that nest", "bom.xlsx", sheetOf(strings.Repeat("<a>", 150) + strings.Repeat("</a>", 150))},
	{"elements that nest without end", "bom.xlsx", sheetOf("<a>")},
	{"sheets", "bom.xlsx", func(t testing.TB) []byte {
		return hostileBook(t, 1000, `<row r="1"><c><v>1</v></c></row>`)
	}},
	{"200 sheets", "bom.xlsx", func(t testing.TB) []byte {
		return hostileBook(t, 200, strings.Repeat(`<row><c><v>1</v></c><c><v>1</v></c></row>`, 2000))
	}},
	{"rows of a document", "bom.ods", documentOf(odsRow("", odsTexts("a"), odsNumber(odsFloat, "1", "1")))},
	{"short cells of a document", "bom.ods", documentOf(odsRow("", strings.Repeat(`<table:table-cell><text:p>1</text:p></table:table-cell>`, 900)))},
	{"one row of a document, many times", "bom.ods", func(t testing.TB) []byte {
		return odsBook(t, odsTable("parts", odsRow(`table:number-rows-repeated="1000000000"`, strings.Repeat(odsTexts("Quantity"), 10))))
	}},
	{"binary triangles", "a.stl", func(testing.TB) []byte {
		rnd := rand.New(rand.NewPCG(1, 2))
		n := (megabyte - 84) / 50
		b := binary.LittleEndian.AppendUint32(make([]byte, 80), uint32(n))
		for range n {
			b = append(b, make([]byte, 12)...)
			for range 9 {
				b = binary.LittleEndian.AppendUint32(b, 0x3f800000|rnd.Uint32()&0x7fffff)
			}
			b = append(b, 0, 0)
		}
		return b
	}},
	{"triangles as text", "a.stl", numbered("solid a\n", "facet normal 0 0 0 outer loop vertex # 0 0 vertex 0 # 0 vertex 0 0 # endloop endfacet\n")},
	{"an STL of one word", "a.stl", filled("solid a\nfacet ", "a")},
	{"components that double", "a.3mf", func(t testing.TB) []byte {
		var b strings.Builder
		b.WriteString(modelHead + `<object id="0"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices>` +
			`<triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh></object>`)
		for i := 1; i <= 60; i++ {
			fmt.Fprintf(&b, `<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i, i-1, i-1)
		}
		b.WriteString(`</resources><build><item objectid="60"/></build></model>`)
		return modelOf(t, b.String())
	}},
	{"components as deep as can be", "a.3mf", func(t testing.TB) []byte {
		var b strings.Builder
		b.WriteString(modelHead + `<object id="0"><mesh/></object>`)
		for i := 1; i <= 99; i++ {
			fmt.Fprintf(&b, `<object id="%d"><components>%s</components></object>`, i, strings.Repeat(fmt.Sprintf(`<component objectid="%d"/>`, i-1), 300))
		}
		b.WriteString(`</resources><build><item objectid="99"/></build></model>`)
		return modelOf(t, b.String())
	}},
	{"components without triangles", "a.3mf", func(t testing.TB) []byte {
		var b strings.Builder
		b.WriteString(modelHead + `<object id="0"><mesh/></object><object id="1"><components>` + strings.Repeat(`<component objectid="0"/>`, 20_000) + `</components></object></resources><build>`)
		b.WriteString(strings.Repeat(`<item objectid="1"/>`, 4) + `</build></model>`)
		return modelOf(t, b.String())
	}},
	{"vertices", "a.3mf", func(t testing.TB) []byte {
		return modelOf(t, modelHead+`<object id="0"><mesh><vertices>`+strings.Repeat(`<vertex x="1" y="2" z="3"/>`, 350_000)+`</vertices></mesh></object></resources><build><item objectid="0"/></build></model>`)
	}},
	{"objects", "a.3mf", func(t testing.TB) []byte {
		var b strings.Builder
		b.WriteString(modelHead)
		for i := range 120_000 {
			fmt.Fprintf(&b, `<object id="%d"/>`, i)
		}
		b.WriteString(`</resources><build><item objectid="0"/></build></model>`)
		return modelOf(t, b.String())
	}},
	{"elements of a model that nest", "a.3mf", func(t testing.TB) []byte {
		return modelOf(t, modelHead+strings.Repeat("<a>", 300_000))
	}},
	{"attributes of a model", "a.3mf", func(t testing.TB) []byte {
		return modelOf(t, modelHead+`<a`+strings.Repeat(` b=""`, 1_000_000)+`/>`)
	}},
	{"moves", "a.gcode", numbered("G21\nG90\nM83\nG1 F1200\n", "G1X#E1\n")},
	{"the shortest moves", "a.gcode", filled("G91\nM83\nG1 F1200\n", "X1E1\n")},
	{"layers", "a.gcode", numbered("M83\nG1 F1200\n", "G1Z#\nX1E1\nX0E1\n")},
	{"arcs", "a.gcode", filled("M83\nG91\nG1 F1200\n", "G2I1E1\n")},
	{"words that are not known", "a.gcode", numbered("", "A_#\n")},
	{"faults", "a.gcode", filled("", "G1X?\n")},
	{"a line without end", "a.gcode", filled("G1", " X1")},
	{"tools", "a.gcode", numbered("M83\nG91\nG1 F1200\n", "T#\nX1E1\n")},
}

const modelHead = `<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>`

// TestMegabyte reads inputs that are built to cost much by the commands that
// read such files, in a process of its own. Whatever comes of it, it takes
// little memory, and what is said of it is short.
func TestMegabyte(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long")
	}
	each := 3 / checks.Runs(3) // all where runs are long, else one in three
	for i, h := range megabytes {
		if i%each > 0 {
			continue
		}
		t.Run(h.why, func(t *testing.T) {
			said, memory, _ := runHostile(t, placeHostile(t, h))
			if memory > mostMemory {
				t.Errorf("%d MB are taken, %d are allowed; said\n%.300s", memory>>20, mostMemory>>20, said)
			}
			if n := strings.Count(said, "\n"); n > saidAtMost+4 || len(said) > 40_000 {
				t.Errorf("%d lines in %d bytes are said", n, len(said))
			}
			if said == "" {
				t.Error("nothing is said")
			}
		})
	}
}

// BenchmarkMegabyte tells what the same inputs take of the processor, the start
// of the program included, and of memory.
func BenchmarkMegabyte(b *testing.B) {
	for _, h := range megabytes {
		b.Run(strings.ReplaceAll(h.why, " ", "-"), func(b *testing.B) {
			args := placeHostile(b, h)
			var most int64
			var all time.Duration
			for b.Loop() {
				_, memory, taken := runHostile(b, args)
				most, all = max(most, memory), all+taken
			}
			b.ReportMetric(all.Seconds()*1000/float64(b.N), "cpu-ms/op")
			b.ReportMetric(float64(most>>20), "peak-MB")
		})
	}
}

// runHostile gives what is said, the most memory that the process held at any
// time, in bytes, and its processor time.
func runHostile(t testing.TB, args []string) (said string, memory int64, taken time.Duration) {
	t.Helper()
	forgetPeak(t)
	cmd := program(t, ".", args...)
	var b bytes.Buffer
	cmd.Stdout, cmd.Stderr = &b, &b
	_ = cmd.Run() // the exit code is looked at
	if code := cmd.ProcessState.ExitCode(); code != exitDone && code != exitInput {
		t.Errorf("exit code %d; said %.2000s", code, b.String())
	}
	usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	if !ok {
		t.Fatal("the system does not tell what a process takes")
	}
	return b.String(), int64(usage.Maxrss) << 10, cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
}

// forgetPeak makes the most memory that this process held what it holds now:
// the system hands the figure on to the processes that it starts (proc(5),
// clear_refs).
func forgetPeak(t testing.TB) {
	t.Helper()
	debug.FreeOSMemory()
	if err := os.WriteFile("/proc/self/clear_refs", []byte("5"), 0); err != nil {
		required(t, "the memory of a process cannot be told: %v", err)
	}
}

// placeHostile writes an input and gives the command that reads it.
func placeHostile(t testing.TB, h hostile) []string {
	t.Helper()
	dir, content := t.TempDir(), h.content(t)
	if len(content) > megabyte {
		t.Fatalf("%d bytes are more than a megabyte", len(content))
	}
	path := filepath.Join(dir, h.role)
	args := []string{"check", "--bom", path}
	switch {
	case strings.HasPrefix(h.role, "bom."):
	case strings.HasPrefix(h.role, "a."):
		args = []string{"measure", path}
	default:
		args = []string{"check", "--prices", dir}
		check(t, os.WriteFile(filepath.Join(dir, "exchange.csv"), []byte("Currency,Rate\nUSD,0.92\n"), 0o644))
		check(t, os.WriteFile(filepath.Join(dir, bom.TabSettings+".csv"), []byte("Setting,Value\nHome currency,EUR\n"), 0o644))
	}
	check(t, os.WriteFile(path, content, 0o644))
	return args
}

// sheetOf repeats the XML of rows up to what a workbook of a megabyte may unpack
// to.
func sheetOf(text string) func(testing.TB) []byte {
	return func(t testing.TB) []byte {
		const unpacked = 32 * megabyte
		return rawBook(t, headRow("Quantity", "Part number")+strings.Repeat(text, unpacked/len(text)), noise(800_000))
	}
}

// documentOf repeats the XML of rows up to what a spreadsheet of OpenDocument of
// a megabyte may unpack to.
func documentOf(text string) func(testing.TB) []byte {
	return func(t testing.TB) []byte {
		const unpacked = 76 * megabyte
		tables := odsTable("parts", odsRow("", odsTexts("Quantity", "Part number")), strings.Repeat(text, unpacked/len(text)))
		return odsBook(t, tables, noise(max(0, megabyte-1000-len(odsBook(t, tables)))))
	}
}

// noise does not pack, which keeps the size of a file what it is.
func noise(n int) string {
	rnd := rand.New(rand.NewPCG(3, 4))
	raw := make([]byte, n)
	for i := range raw {
		raw[i] = byte(rnd.Uint32())
	}
	return string(raw)
}

// modelOf packs a 3MF model.
func modelOf(t testing.TB, model string) []byte {
	t.Helper()
	return packed(t, [2]string{"3D/3dmodel.model", model})
}

// hostileBook has many sheets of the same rows.
func hostileBook(t testing.TB, sheets int, rows string) []byte {
	t.Helper()
	var list, rels strings.Builder
	parts := [][2]string{}
	for i := 1; i <= sheets; i++ {
		fmt.Fprintf(&list, `<sheet name="s%d" sheetId="%d" r:id="rId%d"/>`, i, i, i)
		fmt.Fprintf(&rels, `<Relationship Id="rId%d" Type="%sofficeDocument/2006/relationships/worksheet" Target="worksheets/sheet%d.xml"/>`, i, openXML, i)
		parts = append(parts, [2]string{fmt.Sprintf("xl/worksheets/sheet%d.xml", i), worksheet(rows)})
	}
	return packed(t, append(bookParts(list.String(), rels.String()), parts...)...)
}
