package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
)

// mostProperties bounds what is read of a part that should be a few hundred
// bytes long.
const mostProperties = 1 << 16

// IsOurs tells whether the bytes are a workbook that Write wrote and that no
// other program has saved since: one that was changed by hand is its owner's.
func IsOurs(data []byte) bool {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return false
	}
	var app struct {
		Application string `xml:"Application"`
	}
	var core struct {
		Keywords string `xml:"keywords"`
	}
	return readPart(z, "docProps/app.xml", &app) && app.Application == application &&
		readPart(z, "docProps/core.xml", &core) && core.Keywords == keywords
}

func readPart(z *zip.Reader, name string, into any) bool {
	f, err := z.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	return xml.NewDecoder(io.LimitReader(f, mostProperties)).Decode(into) == nil
}
