package sheet

import (
	"strings"
	"testing"
)

// TestOffersAsList: a table of offers in place of a list is told what it is and where it belongs.
func TestOffersAsList(t *testing.T) {
	for _, heads := range []string{"Part number,Supplier,Price", "Part number,Supplier,@1"} {
		_, problems := ReadBOM("o.csv", files(csvTable("o.csv", heads+"\nVX-1,Corner Parts,0.02\nVX-2,Corner Parts,0.03\n")), Options{})
		if !problems.Failed() || !strings.Contains(problems[0].String(), "these are offers") {
			t.Errorf("%s: %v", heads, problems)
		}
	}
}
