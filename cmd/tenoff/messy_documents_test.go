package main

import (
	"strings"
	"testing"
)

// odsBook packs tables as a spreadsheet of OpenDocument 1.3, and another part
// where there is one.
func odsBook(t testing.TB, tables string, more ...string) []byte {
	t.Helper()
	const urn = `urn:oasis:names:tc:opendocument:xmlns:`
	spaces := ""
	for _, s := range [][2]string{{"office", "office"}, {"text", "text"}, {"table", "table"}, {"style", "style"}} {
		spaces += ` xmlns:` + s[0] + `="` + urn + s[1] + `:1.0"`
	}
	parts := [][2]string{
		{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"},
		{"content.xml", `<office:document-content` + spaces + ` office:version="1.3"><office:body><office:spreadsheet>` + tables +
			`</office:spreadsheet></office:body></office:document-content>`},
		{"META-INF/manifest.xml", `<manifest:manifest xmlns:manifest="` + urn + `manifest:1.0" manifest:version="1.3">` +
			`<manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>`},
	}
	for _, text := range more {
		parts = append(parts, [2]string{"Pictures/more.bin", text})
	}
	return packed(t, parts...)
}

// odsTable is a sheet with rows, and the empty end that spreadsheets write.
func odsTable(name string, rows ...string) string {
	return `<table:table table:name="` + name + `"><table:table-column table:number-columns-repeated="16384"/>` + strings.Join(rows, "") +
		odsRow(`table:number-rows-repeated="1048500"`, `<table:table-cell table:number-columns-repeated="16384"/>`) + `</table:table>`
}

func odsRow(attrs string, cells ...string) string {
	return `<table:table-row ` + attrs + `>` + strings.Join(cells, "") + `<table:table-cell table:number-columns-repeated="16000"/></table:table-row>`
}

// odsTexts are cells of text; a line end begins a new paragraph.
func odsTexts(texts ...string) string {
	cells := ""
	for _, text := range texts {
		cells += `<table:table-cell office:value-type="string"><text:p>` + strings.ReplaceAll(text, "\n", "</text:p><text:p>") + `</text:p></table:table-cell>`
	}
	return cells
}

// odsNumber is a number, with further attributes and as it is shown.
func odsNumber(attrs, value, shown string) string {
	return `<table:table-cell ` + attrs + ` office:value="` + value + `"><text:p>` + shown + `</text:p></table:table-cell>`
}

const odsFloat = `office:value-type="float"`

func odsParts(t testing.TB) []byte {
	return odsBook(t, odsTable("parts",
		odsRow("", `<table:table-cell table:number-columns-spanned="4" table:number-rows-spanned="1" office:value-type="string"><text:p>Frost alarm,<text:s/> main board</text:p></table:table-cell>`+
			`<table:covered-table-cell table:number-columns-repeated="3"/>`),
		odsRow(`table:number-rows-repeated="2"`),
		`<table:table-header-rows>`+odsRow("", odsTexts("Designator", "Quantity", "Part number", "Mount", "Fitted"))+`</table:table-header-rows>`,
		odsRow("", odsTexts("R1,\nR2"), odsNumber(odsFloat, "2", "2"), odsNumber(odsFloat, "471", "000471"), odsTexts("SMT"),
			`<table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>TRUE</text:p></table:table-cell>`),
		odsRow(`table:visibility="collapse"`, `<table:table-cell office:value-type="string"><office:annotation><text:p>ask Ada</text:p></office:annotation><text:p>C1</text:p></table:table-cell>`,
			odsNumber(`table:formula="of:=[.B5]/2" `+odsFloat, "1", "1"), odsTexts("CK-0100", "SMT", "yes")),
	))
}

func odsFaults(t testing.TB) []byte {
	return odsBook(t, odsTable("parts",
		odsRow("", odsTexts("Designator", "Quantity", "Part number", "Mount")),
		odsRow("", odsTexts("J1"), `<table:table-cell table:formula="of:=[.E2]*1"/>`, odsTexts("HD-06", "THT")),
		odsRow("", odsTexts("J2"), odsNumber(`table:formula="of:=[.E3]/0" `+odsFloat, "0", "#DIV/0!"), odsTexts("HD-07", "THT")),
	))
}

func odsPrices(t testing.TB) []byte {
	price := func(attrs, shown string) string { return odsNumber(attrs, "0.02", shown) }
	offer := func(part, price, currency string) string {
		return odsRow("", odsTexts(part, "Larkfield Parts"), price, odsTexts(currency), `<table:table-cell office:value-type="date" office:date-value="2026-10-12"/>`)
	}
	return odsBook(t, odsTable("settings",
		odsRow("", odsTexts("Setting", "Value")), odsRow("", odsTexts("Home currency", "EUR")),
		odsRow("", odsTexts("Unit yield %"), odsNumber(`office:value-type="percentage"`, "0.97", "97%")))+
		odsTable("exchange", odsRow("", odsTexts("Currency", "Rate")), odsRow("", odsTexts("USD"), odsNumber(odsFloat, "0.92", "0.92")))+
		odsTable("offers", odsRow("", odsTexts("Part number", "Supplier", "Price", "Currency", "As of")),
			offer("RS-0010", price(`office:value-type="currency" office:currency="EUR"`, "0.02 €"), "EUR"),
			offer("RS-0011", price(`office:value-type="currency" office:currency="USD"`, "$0.02"), "EUR"),
			offer("RS-0012", price(odsFloat, "$0.02"), "USD"),
			offer("RS-0013", price(odsFloat, "$0.02"), "EUR")))
}
