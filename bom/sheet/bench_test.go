package sheet

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
)

// longBOM is a bill of materials of n lines.
func longBOM(n int) bom.Table {
	var b strings.Builder
	b.WriteString("Designator,Quantity,Part number,Description,Value,Package,Kind,Mount,Joints\n")
	for i := range n {
		fmt.Fprintf(&b, "R%d,1,QX-%d,resistor,4k7,0603,part,SMT,2\n", i+1, i+1)
	}
	return csvTable("unit.csv", b.String())
}

// longOffers is a price sheet with n offers of three breaks.
func longOffers(n int) []bom.Table {
	var b strings.Builder
	b.WriteString("Part number,Supplier,Order code,Stock,MOQ,Multiple,Pieces,From,Price,Currency,As of\n")
	for i := range n {
		for _, from := range []int{1, 10, 100} {
			fmt.Fprintf(&b, "QX-%d,Larch & Fen,C-%d,5000,1,1,1,%d,0.%d,EUR,2026-03-01\n", i+1, i+1, from, 900-from)
		}
	}
	return []bom.Table{csvTable("settings.csv", "Setting,Value\nHome currency,EUR\n"), csvTable("offers.csv", b.String())}
}

func BenchmarkReadBOM(b *testing.B) {
	for _, n := range []int{60, 6000} {
		t := longBOM(n)
		b.Run(fmt.Sprint(n, " lines"), func(b *testing.B) {
			for b.Loop() {
				if _, problems := ReadBOM("unit.csv", files(t), Options{}); problems.Failed() {
					b.Fatal(problems[0])
				}
			}
		})
	}
}

func BenchmarkReadPrices(b *testing.B) {
	for _, n := range []int{60, 6000} {
		tables := longOffers(n)
		b.Run(fmt.Sprint(n, " offers"), func(b *testing.B) {
			for b.Loop() {
				if _, problems := ReadPrices(tables, "prices", Options{}); problems.Failed() {
					b.Fatal(problems[0])
				}
			}
		})
	}
}
