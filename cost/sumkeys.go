package cost

import "strconv"

// Keys of one batch:
const (
	OfPlate    = "plate"    // Batch.Plates
	OfPlates   = "plates"   // rows of the tab printers, after the last: without a printer; What is the printer
	OfWork     = "work"     // Batch.Work
	OfBoard    = "board"    // Batch.Boards
	OfCount    = "count"    // Batch.Boards: what is populated
	OfPart     = "part"     // Batch.Parts
	OfBuy      = "buy"      // Batch.Purchases
	OfOrder    = "order"    // Terms.Suppliers
	OfFee      = "fee"      // Batch.Fees
	OfParcel   = "parcel"   // Batch.Posts
	OfLine     = "line"     // Estimate.Entries
	OfCategory = "category" // Category; the total is categoryCount
	OfPayer    = "payer"    // see PayerKey
	OfProduct  = "product"  // Batch.Products; of shares: Batch.Splits
	OfBorne    = "borne"    // see BorneKey
	OfMade     = "made"     // see MadeKey
	OfCharge   = "charge"   // 0: the price to charge, 1: the given price
	OfQuote    = "quote"    // line of the quote; 0 for what is of all
	OfTotal    = "total"    // over all of a batch: What is the sum

	OfOneOff     = "one-off"    // the rows of the tab; What is a heading
	OfSubstitute = "substitute" // substitutes that are taken; What is a heading
)

// What the keys of a batch's sums are of, with what At counts. Keys of figures and
// results of the whole run:
const (
	OfSetting  = "setting"        // What names it
	OfRate     = "rate"           // What is the currency's code
	OfSupplier = "supplier"       // Terms.Suppliers; What is a heading
	OfBreak    = "break"          // breaks of Terms.Offers
	OfAssembly = "assembly"       // Terms.Assemblers; What is a heading
	OfTier     = "assembly quote" // Terms.Tiers; What is a heading
	OfWorth    = "worth"          // Estimate.Parts, then Estimate.Boards: value of one on hand
	OfShare    = "who pays"       // rules; What is the payer
	OfPrinter  = "printer"        // What is "NAME: heading"
)

// RowMark stands before the number of a row of stock, where a part has several: "held, row 2".
const RowMark = ", row "

// What sums are shared out over, in the keys of shares: what is used of a part over its
// purchases; a purchase or what comes from stock over categories; a purchase of
// filament over Part.PaidAs; that of a panel over its boards; what falls in a category over its lines, by the number of the line; a pot over its payers.
const (
	OverPurchases  = "over purchases"
	OverCategories = "over categories"
	OverBoards     = "over boards"
	OverPrinted    = "over printed parts"
	OverLines      = "over lines"
	OverPayers     = "over payers"
	OverProducts   = "over products"
)

// headingStep keeps the numbers of suppliers apart from those of customs headings.
const headingStep = 1000

// Things besides those of a batch that are shared out.
const (
	OfStock = "stock" // of Batch.Parts, over categories for the payers; each further row of stock counts on by as many
	OfPot   = "pot"   // Batch.Pots
)

// PayerKey is where the key of what a payer bears stands: of a category, or of all.
func PayerKey(payer int, c Category) int { return payer*(int(categoryCount)+1) + int(c) }

// PayerOf is the payer and the category of such a key.
func PayerOf(at int) (payer int, c Category) {
	return at / (int(categoryCount) + 1), Category(at % (int(categoryCount) + 1))
}

// AllCategories stands for all categories together in the keys of sums.
const AllCategories = categoryCount

// MadeKey is where the key of what a product costs in a category stands.
func MadeKey(product int, c Category) int { return product*int(categoryCount) + int(c) }

// BorneKey is where the key of what a payer bears of a product stands.
func BorneKey(product, payer, payers int) int { return product*payers + payer }

// ForProduct is what of a purchase, or of an order, is for a product, in the keys of sums.
func ForProduct(product int) string { return "for product " + strconv.Itoa(product+1) }

// Keys of OfCharge: the price, or of several products the account of all of them; a given
// price; then the products where there are several.
const (
	saleOfAll = iota
	saleGiven
	saleFirst
)

// SaleKey is where the key of a product's price stands, of so many products.
func SaleKey(product, products int) int {
	if products == 1 {
		return saleOfAll
	}
	return saleFirst + product
}
