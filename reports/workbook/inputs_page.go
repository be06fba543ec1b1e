package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// screenWidth is about how many characters fit beside one another on a screen;
// on wider sheets the first column stays in sight.
const screenWidth = 150

const paperA4 = 9 // ECMA-376 part 1, 18.3.1.63

// setUpPage sets what keeps the table at hand on the screen and whole on paper.
func (s *inputSheet) setUpPage(title string) {
	head := s.headRow()
	last := at(len(s.cols), max(s.lastRow(), head+1))
	s.keep(s.f.SetSheetDimension(s.name, "A1:"+last))
	// The filter resets the properties of the sheet, so it comes first.
	s.keep(s.f.AutoFilter(s.name, at(1, head)+":"+last, nil))
	first := 0 // columns that stay in sight
	if s.width() > screenWidth {
		first = 1
	}
	s.freeze(first, head)
	s.keep(s.f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: new(true)}))
	s.keep(s.f.SetPageLayout(s.name, &excelize.PageLayoutOptions{
		Size: new(paperA4), Orientation: new("landscape"), FitToWidth: new(1), FitToHeight: new(0)}))
	side, foot := 0.5, 0.3 // inches
	s.keep(s.f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &side, Bottom: &side, Header: &foot, Footer: &foot}))
	s.keep(s.f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{OddFooter: "&L" + footerText(title) + "&C&A&R&P / &N"}))
	s.titles(head)
}

// footerTitle bounds the title in a footer, which holds 255 characters in all.
const footerTitle = 80

// footerText keeps a title from being read as codes of the footer.
func footerText(title string) string {
	if r := []rune(title); len(r) > footerTitle {
		title = string(r[:footerTitle])
	}
	return strings.ReplaceAll(title, "&", "&&")
}

// checkedRows is how many rows under the headings are checked as they are
// filled in, at least.
const checkedRows = 500

// checkedRange is the part of a column that is filled in.
func (s *inputSheet) checkedRange(col int) string {
	first := s.headRow() + 1
	return at(col, first) + ":" + at(col, max(s.lastRow(), s.headRow()+checkedRows))
}

// writeChecks sets drop-downs and input checks.
func (s *inputSheet) writeChecks() {
	for i, c := range s.cols {
		s.addCheck(s.checkedRange(i+1), s.columnCheck(c))
	}
	for _, r := range s.data() {
		def := s.setting(r)
		if def == nil {
			continue
		}
		for _, h := range valueHeadings {
			if col := s.index(h); col > 0 {
				s.addCheck(at(col, r.Number+s.shift()), checkOf(def.Form, def.Choices, ""))
			}
		}
	}
	// Order codes that are all digits are text on purpose.
	s.keep(s.f.AddIgnoredErrors(s.name, at(1, s.headRow()+1)+":"+strings.Split(s.checkedRange(len(s.cols)), ":")[1],
		excelize.IgnoredErrorsNumberStoredAsText))
}

// inputCheck is what a spreadsheet accepts in a cell.
type inputCheck struct {
	list  []string
	kind  excelize.DataValidationType
	least int
	most  int // where it differs from least, between the two
	title string
	want  string
}

func (s *inputSheet) columnCheck(c inputColumn) *inputCheck {
	switch {
	case c.step:
		return checkOf(bom.FormMoney, nil, "")
	case c.def == nil:
		return nil
	case s.tab.Name == bom.TabSettings && c.def.Heading == "Setting":
		return checkOf(bom.FormChoice, bom.SettingNames(), "")
	}
	return checkOf(c.def.Form, c.def.Choices, c.def.Default)
}

// formChecks are those of the forms that a spreadsheet can check.
var formChecks = map[bom.Form]inputCheck{
	bom.FormNumber:   aNumber,
	bom.FormMoney:    aNumber,
	bom.FormPercent:  {kind: excelize.DataValidationTypeDecimal, title: "not a percentage", want: "a bare number of 0 or more: 4 for 4 %"},
	bom.FormWhole:    {kind: excelize.DataValidationTypeWhole, title: "not a whole number", want: "a whole number of 0 or more"},
	bom.FormDate:     {kind: excelize.DataValidationTypeDate, least: earliestDate, title: "not a date", want: "a date such as 2026-03-01"},
	bom.FormCurrency: {kind: excelize.DataValidationTypeTextLength, least: 3, most: 3, title: "not a currency", want: "a code of ISO 4217, three letters such as EUR"},
	bom.FormClock:    {kind: excelize.DataValidationTypeTextLength, least: 4, most: 5, title: "not a time of day", want: "hours and minutes such as 08:00"},
}

var aNumber = inputCheck{kind: excelize.DataValidationTypeDecimal, title: "not a number",
	want: "a bare number of 0 or more, such as 12.5; the unit stands in the note of the heading"}

// checkOf gives the check for a form, nil where anything goes. A whole number
// that counts from 1 where it is blank cannot be 0 either.
func checkOf(form bom.Form, choices []string, blank string) *inputCheck {
	check, checked := formChecks[form]
	switch {
	case form == bom.FormChoice, form == bom.FormYesNo:
		return &inputCheck{list: choices, title: "not one of the choices", want: "one of: " + strings.Join(choices, ", ")}
	case form == bom.FormWhole && blank == "1":
		check.least, check.want = 1, "a whole number of 1 or more"
	case !checked:
		return nil
	}
	return &check
}

// earliestDate is 2000-01-01 in days of a spreadsheet: a price that is older is a
// slip of the pen.
const earliestDate = 36526

// listLimit is the longest drop-down that a workbook holds, with its commas.
const listLimit = 255

func (s *inputSheet) addCheck(cells string, c *inputCheck) {
	if c == nil || len(strings.Join(c.list, ",")) > listLimit {
		return
	}
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(cells)
	switch {
	case c.list != nil:
		s.keep(dv.SetDropList(c.list))
	case c.most > 0:
		s.keep(dv.SetRange(c.least, c.most, c.kind, excelize.DataValidationOperatorBetween))
	default:
		s.keep(dv.SetRange(c.least, "", c.kind, excelize.DataValidationOperatorGreaterThanOrEqual))
	}
	dv.SetError(excelize.DataValidationErrorStyleStop, c.title, c.want)
	s.keep(s.f.AddDataValidation(s.name, dv))
}
