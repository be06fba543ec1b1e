package table

import (
	"bytes"

	"github.com/richardlehane/mscfb"

	"tenoff/bom"
)

// compoundFile tells what a compound file is ([MS-CFB]) by the streams in it: an
// old workbook has Workbook or Book ([MS-XLS] 2.1.2), a new one that is encrypted
// has EncryptedPackage ([MS-OFFCRYPTO] 2.3.4); sections from memory.
func compoundFile(at bom.Place, data []byte, probs *bom.Problems) {
	what, want := "the file is an old binary document that holds no workbook", wantSaved
	compound, err := mscfb.New(bytes.NewReader(data))
	if err != nil {
		what = "the file is an old binary document, or an encrypted one, and damaged"
	} else {
		for _, f := range compound.File {
			switch f.Name {
			case "Workbook", "Book":
				what = "the file is an old binary workbook (.xls)"
			case "EncryptedPackage":
				what, want = "the workbook is encrypted", wantOpen
			}
		}
	}
	probs.Errorf(at, "", want, "%s", what)
}
