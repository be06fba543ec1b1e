package bom

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Headings of lists are a maker's own words. Beside the documented headings and
// their synonyms, two tables say what a heading may mean. Both are common
// practice, no source.

// looseHeadings are headings that mean one field in some lists and another in
// others: which one is told by what stands under them. The fields are in order of
// preference.
var looseHeadings = func() map[string][]string {
	of := map[string][]string{}
	for fields, headings := range map[string]string{
		"Value, Description":                          "comment comments 规格",
		"Designator, Value, Description, Part number": "name",
		"Description, Value":                          "partname itemname productname partsname",
		"Designator, Part number, Description, Value": "part",
		"Designator, Quantity, Description":           "parts",
		"Designator, Value, Description":              "designation",
		"Designator, Part number": "reference references ref refs référence referencia " +
			"referencias referência riferimento 部品番号",
		"Designator": "id position location symbol метка",
		"Designator, Description": "item component components componenten componente componentes componenti composant composants komponente komponenten " +
			"onderdeel onderdelen nom bauteil bauteile label",
		"Description":                       "items products produkt produs articol equipment produit producto prodotto artículo artículos articulo ad isim 品名 名称",
		"Package, Description":              "device",
		"Quantity, Part number":             "number num numberparts nos",
		"Quantity, Designator, Description": "nombre",
		"Description, Part number":          "product",
		"Quantity":                          "productamount amount needed required anz numberofparts unidades unitats nb",
		"Kind, Mount, Description, Value":   "tipo",
		"Package":                           "taille size pattern",
		"File, Part number":                 "model",
		"Kind":                              "category",
		"Kind, Mount, Part number":          "type",
		"Side":                              "layer",
		"Part number, Value":                "型名 型式",
	} {
		for _, heading := range strings.Fields(headings) {
			of[heading] = strings.Split(fields, ", ")
		}
	}
	return of
}()

// wordRule names a field by the words of a heading: one word of each group, and
// no word besides but those of also.
type wordRule struct {
	field  string
	groups [][]string
	also   []string
}

var (
	makerWords    = words("manufacturer manufacturers manufacture mfr mfrs mfg manf manu manuf maker vendorname fabricant hersteller fabricante producer produttore fabrikant producent výrobce üretici 制造商 厂家 メーカー")
	supplierWords = words("supplier suppliers vendor vendors distributor distributors distributer seller shop store lieferant fournisseur proveedor distributeur distribuitor furnizor distribuidor fornitore leverancier dodavatel dostawca tedarikçi 供应商 供給業者 仕入先 販売会社 購入先")
	numberWords   = words("part parts number numbers no nr num pn code código codigo reference référence referencia ref id partnumber partno artikelnummer model číslo kód")
	priceWords    = words("price prices cost coste costo custo pret preț preis prix precio prezzo prijs preço preu cena pris fiyat ár einzelpreis 单价 価格 単価")
	oneWords      = words("unit each ea per piece pc one 1 single pcs stück item pce unitary unitaire unitario unitário unitar unidad part")
)

// aboutMoney are words beside one for a price that change nothing: currencies, and that it
// is not sure.
var (
	currencyWords = words("usd eur gbp inr cad aud nzd chf jpy cny czk pln sek nok dkk brl mxn ron huf try zar euro euros")
	aboutMoney    = append(words("est estimated estimate expected approx approximate ca"), currencyWords...)
)

// costRules tell columns of money that are not sure to be what one costs.
var costRules = []wordRule{
	{"Cost", [][]string{words("cost costs kosten coût cout costo coste custo 費用 费用")}, append(words("in product item component"), aboutMoney...)},
	{"Total", [][]string{words("total extended ext line całkowita calkowita łączna laczna"), words("cena pret preț price cost costs coût cout costo coste custo prix preis precio prezzo kosten")}, append(words("in"), aboutMoney...)},
	{"Total", [][]string{words("gesamtpreis gesamtkosten 总价 金额 合价 小计 金額 小計")}, append(words("in"), aboutMoney...)},
	{"Sum", [][]string{words("total totals totale totaal gesamt gesamtsumme summe sum suma summa somme soma celkem razem összesen subtotal montant betrag importe importo bedrag")},
		append(words("line ext extended grand sub row per in net netto"), aboutMoney...)},
}

// asideWords stand in brackets behind a word for money and leave it what it is.
var asideWords = append(words("accounts for incl including includes included with without excl excluding and or shipping delivery postage tax taxes vat gst each per piece unit pc in"), aboutMoney...)

// CostHeading tells what a heading of money says beside those for what one costs: "Cost",
// which may be that of one or of all in its row; "Total", which is that of the row; "Sum",
// where nothing but its figures tells whether it is money; or nothing. What stands in brackets may be a currency, or that postage or tax is in it.
func CostHeading(heading string) string {
	if !aboutTheMoney(asideOf(heading)) {
		return ""
	}
	tokens := headingWords(heading)
	if i := slices.IndexFunc(costRules, func(r wordRule) bool { return r.fits(tokens) }); i >= 0 {
		if field := costRules[i].field; field != "Sum" || !namesCurrency(heading) {
			return field
		}
		return "Total"
	}
	if of, _ := tradeHeadingOf(heading); of.list == "Sum" {
		return of.list
	}
	return ""
}

// namesCurrency tells whether a heading has a currency in it: Total (EUR), Total $.
func namesCurrency(heading string) bool {
	return slices.ContainsFunc(strings.FieldsFunc(heading, func(r rune) bool { return strings.ContainsRune(" ()[]/_,.:", r) }),
		func(word string) bool { return len(CurrencySigns(strings.ToUpper(word))) > 0 })
}

// aboutTheMoney tells whether what stands in brackets behind a heading is a currency, or that
// postage or tax is in it.
func aboutTheMoney(aside string) bool {
	other := func(t string) bool { return !slices.Contains(asideWords, t) }
	return CurrencySigns(strings.ToUpper(aside)) != nil || !slices.ContainsFunc(headingWords(aside), other)
}

// makerRules are the rules for the number that a maker gives a part.
var makerRules = []wordRule{
	{"Part number", [][]string{words("mpn mpns 型号 型番 teilenummer артикул")}, words("1 s number preferred main")},
	{"Part number", [][]string{makerWords, numberWords}, words("part number no s 1 name code")},
}

// wordRules are tried in order, after makerRules.
var wordRules = []wordRule{
	{"Order code", [][]string{append(words("order ordering catalog catalogue cat stock objednací katalogové"), supplierWords...), numberWords}, words("part number no s 1 code sku")},
	{"Order code", [][]string{words("sku skus ordercode bestellnummer bestellnr artikelnummer")}, append(words("1 s number"), supplierWords...)},
	{"Part number", [][]string{words("part parts component article product artikel"), words("number numbers no nr num pn code partnumber nummer")}, words("s")},
	{"Manufacturer", [][]string{makerWords}, words("name 1 s")},
	{"Supplier", [][]string{supplierWords}, words("name 1 s")},
	{"Designator", [][]string{words("designator designators ref refs reference references refdes refdesignator designations desig desigs repere repère bezeichner pozice oznaczenie 位号 位置 部品記号 リファレンス обозначение позиция")},
		words("поз des desig designator designators s component part parts schematic pcb board names list id identifier circuit ref")},
	{"Quantity", [][]string{words("units pcs pieces qty"), words("kit board pcb device assembly product")}, words("per a each")},
	{"Quantity", [][]string{words("required needed"), words("units pcs pieces amount")}, words("no of")}, // amount alone is money
	{"Quantity", [][]string{words("copies")}, words("number no of needed required")},
	{"Quantity", [][]string{words("qty qtys qt quantity quantities qtity quant qnty quan qte qté qtd qnt menge anzahl stückzahl stück stueck stk cantidad cant quantité quantita quantità quantidade aantal antal ilość ilosc sztuk množství počet kusů adet miktar cantitate bucati bucăți darab mennyiség 数量 個数 个数 用量 必要数 必要個数 総必要数 员数 物料数量 количество кол колво штук count pcs pieces")},
		words("nr per board pcb pcba unit device kit each assembly build 1 one for required requested needed used in bom pieces pcs of parts s component total req ea single instrument module product item components во")},
	{"Price", [][]string{priceWords, oneWords}, append(words("per piece unit s 1 pc in item supplier vendor"), aboutMoney...)},
	{"Price", [][]string{currencyWords, words("unit each ea per piece pc 1 one pcs stück pce")}, nil}, // but not CAD part
	{"Price", [][]string{words("unitprice unitcost einzelpreis 单价 単価 価格 price pret preț preis prix precio prezzo prijs preço preu cena pris fiyat ár")}, append(words("in 1"), aboutMoney...)},
	{"Description", [][]string{words("description descriptions desc descr beschreibung bezeichnung benennung descripcion descripción descrizione descrição descricao omschrijving opis désignation designación designacion designazione designação designacao aanduiding libellé libelle bezeichnungen název popis nazwa descriere denumire beskrivning benämning açıklama megnevezés 描述 说明 詳細 物料名称 材料名称 种类 種類 наименование описание details detail")},
		words("part item component of short long product s article full name")},
	{"Value", [][]string{words("value values val wert valeur valor valore waarde wartość hodnota värde değer érték 值 定数 値 参数 номинал значение")}, words("part component nominal s of or")},
	{"Package", [][]string{words("посад посадочное"), words("место")}, nil},
	{"Package", [][]string{words("package packages footprint footprints case housing boîtier boitier gehäuse bauform encapsulado empreinte impronta huella behuizing obudowa pouzdro kılıf 封装 パッケージ フットプリント корпус patternname landpattern")},
		words("pcb part size type code name s component land pattern case package footprint housing style id")},
	{"Mount", [][]string{words("mount mounting technology smd smt tht pth montage")}, words("type style smd smt tht th pth through hole technology mounting method or")},
	{"Side", [][]string{words("side layer seite lage")}, words("board pcb mounting placement top bottom component")},
	{"DNP", [][]string{words("dnp dnf dni dnm nofit unpopulated")}, words("yes no")},
	{"Fitted", [][]string{words("fitted fit populate populated placed stuffed installed mounted bestückt")}, words("yes no")},
	{"MOQ", [][]string{words("moq")}, nil},
	{"MOQ", [][]string{words("minimum min"), words("order ordering")}, words("quantity qty 1")},
	{"Stock", [][]string{words("stock availability available")}, words("in qty quantity at")},
	{"Currency", [][]string{words("currency währung devise moneda")}, nil},
}

// ofWords join the words of a heading: Référence du fabricant.
var ofWords = words("du de des del della der do da")

func words(s string) []string { return strings.Fields(s) }

// HeadingFields lists the fields of a bill of materials that a heading may mean,
// in order of preference, where it is neither a documented heading nor a synonym.
// loose tells that what stands under the heading has to decide.
func HeadingFields(heading string) (fields []string, loose bool) {
	if fields, ok := looseHeadings[looseForm(heading)]; ok {
		return fields, true
	}
	if of, ok := tradeHeadingOf(heading); ok && of.list != "" && of.list != "Unit" && of.list != "Sum" {
		return []string{of.list}, of.loose
	}
	tokens := headingWords(heading)
	if len(tokens) == 0 || len(tokens) > wordsLimit {
		return nil, false
	}
	if of := func(t string) bool { return slices.Contains(ofWords, t) }; !of(tokens[0]) {
		tokens = slices.DeleteFunc(tokens, of)
	}
	for _, rules := range [][]wordRule{makerRules, wordRules} {
		if r := First(rules, func(r *wordRule) bool { return r.fits(tokens) }); r != nil {
			return []string{r.field}, false
		}
	}
	return nil, false
}

// quoteRules name columns that lists do not have, or mean something else by.
var quoteRules = []wordRule{
	{"Discount %", [][]string{words("discount rebate rabatt remise sconto descuento desconto korting rabat sleva")}, words("line item percent in")},
	{"Line total", [][]string{words("total totale totaal gesamt g"), words("preis prix prezzo precio preço prijs montant betrag")}, append(words("in netto net"), aboutMoney...)},
	{"Line total", [][]string{words("gesamtpreis gesamtbetrag gesamt betrag montant importo importe bedrag")}, append(words("in netto net"), aboutMoney...)},
	{"Unit price", [][]string{words("stückpreis stueckpreis einheitspreis stukprijs eenheidsprijs")}, append(words("in netto net"), aboutMoney...)},
	{"Unit price", [][]string{words("e stk"), words("preis")}, append(words("in netto net"), aboutMoney...)},
	{"Order code", [][]string{words("codice código codigo référence réf artikelnr artikelcode bestelnummer bestelcode")}, words("articolo artículo produit producto prodotto fournisseur")},
	{"Order code", [][]string{words("art artikel"), words("nr no nummer")}, nil},
	{"Line total", [][]string{words("extended ext line"), words("price cost amount value total")}, words("1 in usd eur gbp")},
	{"MOQ", [][]string{words("moq minimum min"), words("multiple multiples mult")}, words("order quantity qty and")},
}

// Words beside those for a number that make it another than a supplier's for the part;
// common practice, no source.
var otherNumbers = words("customer customers cust your our internal requested original alternate alternative alt substitute replacement old new " +
	"order orders po so invoice line row sales serial lot batch tracking account tariff hts eccn cas drawing revision rev bin total sub phone tax vat")

// QuoteField is the column of a supplier's quote that a heading may mean, where it is
// neither a documented heading nor a synonym; empty where it is none. loose tells that
// what stands under the heading has to decide: a name nobody knows before a number may
// be the supplier's.
func QuoteField(heading string) (field string, loose bool) {
	if strings.ContainsAny(heading, "([") && (asideOf(heading) == "" || !aboutTheMoney(asideOf(heading))) {
		return "", false // of one batch or one of several suppliers
	}
	if of, ok := tradeHeadingOf(heading); ok {
		return of.quote, of.loose
	}
	fields, loose := HeadingFields(heading)
	tokens := headingWords(heading)
	fits := func(r wordRule) bool { return r.fits(tokens) }
	if i := slices.IndexFunc(quoteRules, fits); i >= 0 {
		return quoteRules[i].field, false
	}
	switch {
	case loose && slices.Contains(fields, "Description"):
		return "Description", true
	case loose:
		return "", false
	case len(fields) > 0 && slices.ContainsFunc(makerRules, fits):
		return "Manufacturer part number", false
	case len(fields) > 0:
		if fields[0] == "Price" {
			return "Unit price", false
		}
		return fields[0], false
	case len(tokens) < 2 || len(tokens) > 4 || anyOf(tokens, otherNumbers) || !anyOf(tokens, words("number no nr code")):
		return "", false
	}
	return "Order code", true
}

// HeadingsOf lists the headings that mean a column of a bill of materials, also those
// that may mean another.
func HeadingsOf(column *Column) []string {
	out := append([]string{column.Heading}, column.Synonyms...)
	var loose []string
	for heading, fields := range looseHeadings {
		if slices.Contains(fields, column.Heading) {
			loose = append(loose, heading)
		}
	}
	slices.Sort(loose)
	return append(out, loose...)
}

// SpeaksOfOrder tells whether a word of a heading, also in brackets, is about what is
// ordered in all: "Anzahl (bestellen)".
func SpeaksOfOrder(heading string) bool {
	return anyOf(headingWords(strings.NewReplacer("(", " ", "[", " ").Replace(heading)),
		words("order orders ordered ordering bestellen bestellt bestellung commande commander pedido pedir ordine 订购 注文"))
}

// SpeaksOfOne tells whether a word of a heading says that a price is that of one piece, or
// all do that stand in brackets behind it: "Cost (each)".
func SpeaksOfOne(heading string) bool {
	aside := headingWords(asideOf(heading))
	others := func(t string) bool { return !slices.Contains(oneWords, t) && !slices.Contains(currencyWords, t) }
	return anyOf(headingWords(heading), oneWords) || anyOf(aside, oneWords) && !slices.ContainsFunc(aside, others)
}

// asideOf is what stands in brackets behind a heading.
func asideOf(heading string) string {
	i := strings.IndexAny(heading, "([")
	if i < 1 {
		return ""
	}
	return strings.Trim(heading[i:], " ()[]")
}

// SpeaksOfQuantity tells whether a word of a heading is one for a number of pieces:
// "Order qty", "# needed".
func SpeaksOfQuantity(heading string) bool {
	quantity := words("needed needs required ordered order ordering")
	for _, r := range wordRules {
		if r.field == "Quantity" {
			quantity = append(quantity, r.groups[0]...)
		}
	}
	tokens := headingWords(heading)
	return len(tokens) == 1 && tokens[0] == "number" || // Number, but not Larch #
		anyOf(tokens, quantity) && !anyOf(tokens, priceWords) && !anyOf(tokens, words("stock available"))
}

// SpeaksOfMoney tells whether a word of a heading is one for a price or a sum: "Ext cost".
func SpeaksOfMoney(heading string) bool {
	return anyOf(headingWords(heading), append(words("total amount sum subtotal summe gesamt gesamtpreis 小計 合計 金額"), priceWords...))
}

// MayDescribe tells whether a heading may mean the description, and means nothing else for
// sure: Item, Component.
func MayDescribe(heading string) bool {
	fields, loose := HeadingFields(heading)
	return loose && slices.Contains(fields, "Description")
}

// SpeaksOfParts tells whether a word of a heading is about parts or their numbers:
// "Component / Ref.".
func SpeaksOfParts(heading string) bool {
	return anyOf(headingWords(heading), append(words("component components item article product type"), numberWords...))
}

// wordsLimit is for how many words a heading is looked at; a longer one is prose.
const wordsLimit = 8

func looseForm(heading string) string {
	form := strings.TrimSuffix(NormalHeading(heading), ":")
	if rest := strings.TrimPrefix(form, "#"); rest != "" { // # needed
		return rest
	}
	return form
}

// fits tells whether the words hold one of each group and none that is foreign.
func (r *wordRule) fits(tokens []string) bool {
	for _, g := range r.groups {
		if !anyOf(tokens, g) {
			return false
		}
	}
	for _, t := range tokens {
		known := slices.Contains(r.also, t)
		for _, g := range r.groups {
			known = known || slices.Contains(g, t)
		}
		if !known {
			return false
		}
	}
	return true
}

func anyOf(tokens, group []string) bool {
	return slices.ContainsFunc(tokens, func(t string) bool { return slices.Contains(group, t) })
}

// joined makes one word of the trade's short forms: P/N, Q'ty.
var joined = strings.NewReplacer("P/N", "PN", "p/n", "pn", "P/n", "PN", "'t", "t", "’t", "t", "'T", "T", "’T", "T")

// headingWords parts a heading at everything that is no letter or digit, and at
// capitals inside words: "MfrPartNo.", "Manufacturer_Part_Number". A # is the word
// number. What stands in brackets is left out, unless nothing stands before, and so is what
// it says of tax.
func headingWords(heading string) []string {
	_, heading = TaxIn(norm.NFC.String(foldWidth(heading)))
	heading = joined.Replace(heading)
	if i := strings.IndexAny(heading, "(["); i > 0 {
		heading = heading[:i]
	}
	var out []string
	var word []rune
	flush := func() {
		if text := strings.ToLower(string(word)); text != "" {
			if len(text) > 3 && slices.Contains(currencyWords, text[:3]) && slices.Contains(priceWords, text[3:]) { // USDPrice
				out, text = append(out, text[:3]), text[3:]
			}
			out, word = append(out, text), word[:0]
		}
	}
	runes := []rune(heading)
	for i, r := range runes {
		switch {
		case r == '#' || r == '№' || r == '°' && i > 0:
			flush()
			out = append(out, "number")
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			flush()
		default:
			if unicode.IsUpper(r) && i > 0 && unicode.IsLower(runes[i-1]) {
				flush()
			}
			word = append(word, r)
		}
	}
	flush()
	return out
}
