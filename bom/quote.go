package bom

import (
	"cmp"
	"strings"
)

// QuoteTab documents what is read of a supplier's quote, basket, price list or
// order confirmation. It is no tab of the price sheet. Besides these columns
// there are those of price breaks, "@10", "10+", "Price 10", or pairs of a
// quantity and a price, "Break qty 1" and "Price 1".
var QuoteTab = Tab{
	Name: "quote",
	Doc:  "One row for each part that a supplier asks a price for, or one for each of its price breaks.",
	Columns: []Column{
		{Heading: "Part number", Synonyms: []string{"Part no", "P/N", "Part", "Part id"}, Form: FormKey,
			Doc: "The part; beside a manufacturer part number it is the order code, or where there is one too, our name for the part.", Example: "RES-4K7-0805"},
		{Heading: "Manufacturer part number", Synonyms: []string{"MPN", "Manufacturer part no", "Manufacturer part", "Manufacturer number",
			"Mfr part number", "Mfr part no", "Mfr part", "Mfr no", "Mfg part number", "Mfg part no", "Mfg part", "Maker part number", "Maker's part number"}, Form: FormKey,
			Doc: "The part as its maker calls it.", Example: "RES-4K7-0805"},
		{Heading: "Order code", Synonyms: []string{"SKU", "Article", "Article no", "Article number", "Article code", "Item no", "Item number", "Item code",
			"Stock no", "Stock number", "Stock code", "Supplier part number", "Supplier part no", "Supplier part", "Cat no", "Catalogue no",
			"Catalogue number", "Catalog no", "Catalog number", "Product code", "Product no", "Product number"}, Form: FormKey,
			Doc: "What the supplier calls it.", Example: "10-4711"},
		{Heading: "Our part", Synonyms: []string{"Customer reference", "Customer ref", "Customer part number", "Customer part no", "Customer part",
			"Your reference", "Your ref", "Your part number", "Your part no", "Your part", "Our part number", "Our part no", "Our reference"}, Form: FormKey,
			Doc: "What we call it, as the supplier was told.", Example: "RES-4K7-0805"},
		{Heading: "Description", Synonyms: []string{"Item", "Product", "Designation", "Details", "Item description", "Product description", "Part description",
			"Article description", "Product name", "Text"}, Doc: "What it is, in words.", Example: "resistor 4k7 1 %"},
		{Heading: "Manufacturer", Synonyms: []string{"Mfr", "Mfg", "Maker"}, Doc: "Who makes it; not used.", Example: "any"},
		{Heading: "Value", Form: FormKey, Doc: "Its value, in RKM or SI writing (IEC 60062).", Example: "4k7"},
		{Heading: "Package", Synonyms: []string{"Footprint", "Case"}, Form: FormKey, Doc: "Its package or chip size.", Example: "0805"},
		{Heading: "Quantity", Synonyms: []string{"Qty", "Quantity ordered", "Qty ordered", "Order qty", "Order quantity", "Ordered", "Ordered qty",
			"Quantity requested", "Qty requested", "Requested qty", "Requested quantity", "Quantity quoted", "Qty quoted", "Quantity to order", "Qty to order", "Count"}, Form: FormWhole, Unit: "order units",
			Doc: "How many the price was asked for.", Example: "100"},
		{Heading: "From", Synonyms: []string{"Break", "Break quantity", "Break qty", "Qty break", "Quantity break", "Price break", "From qty", "From quantity",
			"Qty from", "Quantity from"}, Form: FormWhole, Unit: "order units",
			Doc: "The number of order units from which the price on the row holds.", Example: "100"},
		{Heading: "Unit price", Synonyms: []string{"Price", "Price each", "Each", "Net price", "Unit net price", "Net unit price", "Price per unit", "Price per piece",
			"Unit cost", "Cost", "Price per pc", "Item price", "Sales price"}, Form: FormMoney,
			Doc: "Price of one order unit; Price per 100 and the like is the price of so many.", Example: "0.012"},
		{Heading: "Price per", Synonyms: []string{"Per", "Price unit", "Price basis", "Pricing unit", "Unit of price"}, Form: FormWhole, Unit: "order units",
			Doc: "How many order units the price is for.", Default: "1", Example: "100"},
		{Heading: "Discount %", Synonyms: []string{"Discount", "Disc", "Disc %", "Rebate", "Rebate %"}, Form: FormPercent, Unit: "%",
			Doc: "What is taken off the unit price; the line total tells whether it is off already.", Default: "0", Example: "5"},
		{Heading: "Tax %", Synonyms: []string{"Tax", "Tax rate", "Tax amount", "Sales tax", "Sales tax %", "Sales tax rate", "VAT", "VAT %", "VAT rate", "VAT amount",
			"GST", "GST %", "GST rate", "MwSt", "MwSt %", "USt", "USt %", "TVA", "TVA %", "IVA", "IVA %", "BTW", "BTW %", "Moms", "Moms %"}, Unit: "%",
			Doc: "Sales tax, in % or money: over 0 it comes on top of the prices, unless they are headed as with tax; it is not entered, for the supplier's row has Import tax %.", Example: "20"},
		{Heading: "Line total", Synonyms: []string{"Total", "Amount", "Ext price", "Extended price", "Extended", "Ext cost", "Extended cost", "Ext", "Total price",
			"Total cost", "Net amount", "Line amount", "Total net", "Net total", "Line price", "Line value", "Position total", "Order price", "Sum", "Subtotal"}, Form: FormMoney,
			Doc: "Quantity × unit price, to check them by.", Example: "1.20"},
		{Heading: "Currency", Synonyms: []string{"Curr", "Cur", "Ccy", "Currency code"}, Form: FormCurrency,
			Doc: "Currency of the money on the row, a code of ISO 4217; blank: as a sign, a heading or the rows above say.", Example: "EUR"},
		{Heading: "Stock", Synonyms: []string{"Available", "Availability", "In stock", "On stock", "Stock quantity", "Stock qty", "Available stock", "Available qty",
			"Available quantity", "Qty available", "Quantity available", "Qty in stock", "Quantity in stock", "On hand"}, Form: FormText, Unit: "order units",
			Doc: "How many there are, or words such as in stock, out of stock.", Example: "4000"},
		{Heading: "MOQ", Synonyms: []string{"Minimum order quantity", "Minimum quantity", "Minimum order", "Minimum qty", "Min order quantity", "Min order qty",
			"Min order", "Min qty", "Min quantity", "Minimum"}, Form: FormWhole, Unit: "order units",
			Doc: "The fewest that are sold.", Example: "10"},
		{Heading: "Multiple", Synonyms: []string{"Order multiple", "Mult", "Multiples of", "Order multiples", "Increment", "Order increment", "Sold in multiples of"},
			Form: FormWhole, Unit: "order units", Doc: "Sold in multiples of this many.", Example: "10"},
		{Heading: "Pieces", Synonyms: []string{"Pack", "Pack size", "Pack qty", "Pack quantity", "Pieces per pack", "Pcs per pack", "Qty per pack", "Quantity per pack",
			"Packing unit", "Package quantity", "Contents"}, Form: FormNumber, Unit: "pieces",
			Doc: "Pieces in one order unit: the price is then for a pack of so many.", Example: "100"},
		{Heading: "Unit", Synonyms: []string{"UoM", "U/M", "UM", "Unit of measure", "Sales unit", "Selling unit", "Order unit", "Einheit"},
			Doc: "What the price is for: pcs, 100 pcs; the line total tells whether the quantity counts packs of so many or pieces.", Example: "100 pcs"},
		{Heading: "Supplier", Synonyms: []string{"Vendor", "Seller", "Sold by", "Distributor"}, Form: FormKey, Doc: "Who sells it; goes before --supplier.", Example: "example parts"},
		{Heading: "Date", Synonyms: []string{"As of", "Quote date", "Quotation date", "Order date", "Price date", "Date of price", "Date of quote", "Dated"}, Form: FormDate,
			Doc: "The date of the price; blank: as --as-of, else the rows above say.", Example: "2026-03-01"},
		{Heading: "Position", Synonyms: []string{"Pos", "Line", "Line no", "Line number", "No", "Nr", "#", "Index"}, Doc: "The number of the row; not used.", Example: "1"},
	},
}

// QuoteNames are the columns of QuoteTab that say which part a row is about: a
// heading row has one of them.
var QuoteNames = []string{"Part number", "Manufacturer part number", "Order code", "Our part", "Description", "Value"}

// QuoteAsides are the columns of QuoteTab that do not make a row a heading row:
// they head single cells in the rows above the table as well.
var QuoteAsides = []string{"Manufacturer", "Supplier", "Date", "Currency", "Tax %", "Position"}

// QuotedPart is one part of a supplier's quote with the prices that are asked
// for it. What the quote does not say is empty or 0.
type QuotedPart struct {
	Origin
	Part        string // as its maker, or whoever wrote the quote, calls it
	Code        string // order code
	OurPart     string // what we call it, as the supplier was told
	Description string
	Value       string
	Package     string

	Supplier string
	Codes    []string // currencies of ISO 4217 that the prices may be in, the likely ones first; a $ stands for many
	Quantity int64    // order units that the price was asked for
	Breaks   []Break  // per order unit, by rising From; none where no price is asked: see Unpriced
	Listed   bool     // Breaks is all that is asked at any quantity; else what was asked for Quantity alone

	StockSaid bool
	Stock     int64 // order units; -1: enough
	MOQ       int64
	Multiple  int64
	Pieces    Quantity // in one order unit
	AsOf      Date

	Tax     TaxSaid // whether the prices hold it
	TaxText string  // by what: "VAT 20 %"

	Unpriced string // why nothing is asked, as it stands there: "on request", "out of stock"
}

// Names are what the quote calls the part, for whoever has to find it there.
func (q *QuotedPart) Names() string {
	return cmp.Or(q.Part, q.OurPart, q.Code, q.Description, strings.TrimSpace(q.Value+" "+q.Package))
}
