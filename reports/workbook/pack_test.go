package workbook

import (
	"bufio"
	"bytes"
	"testing"
	"testing/fstest"
)

// A file system is packed as its files are, in the order of their names.
func TestPackOfAFileSystem(t *testing.T) {
	var b bytes.Buffer
	p := &pack{to: &b, rewrite: func(out *bufio.Writer, _ string, data []byte) { out.Write(data) }}
	if err := p.AddFS(fstest.MapFS{"xl/b.xml": {Data: []byte("second")}, "xl/a.xml": {Data: []byte("first")}}); err != nil {
		t.Fatal(err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"xl/a.xml": "first", "xl/b.xml": "second"} {
		if got := part(t, b.Bytes(), name); got != want {
			t.Errorf("%s holds %q, want %q", name, got, want)
		}
	}
}
