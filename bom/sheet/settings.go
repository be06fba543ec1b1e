package sheet

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// settings reads the tab settings. Every documented setting gets a place in
// Settings.All, whether it stands in the sheet or not.
func (p *priceReader) settings(name string, opt Options) {
	found := map[string]int{}
	d, ok := p.reader(bom.TabSettings)
	if ok {
		found = findSettings(d)
	} else {
		if p.regions[bom.TabSettings] == nil && !p.lost[bom.TabSettings] && len(p.regions)+len(p.lost) > 0 {
			p.problems.Errorf(bom.Place{File: name}, "", "a tab settings with a row for Home currency", "the price sheet has no tab settings")
		}
		d = newDecoder(&region{table: &bom.Table{File: name}, tab: &bom.Tab{}, head: &bom.Heading{}, rows: []bom.Row{{}}}, marking{}, &p.problems)
	}
	for _, def := range bom.Refs(bom.SettingDefs) {
		row, stands := found[def.Name]
		p.setting(d, def, row, stands)
	}
	if opt.Assembler != "" {
		p.setAssembler(opt.Assembler)
	}
	if s := &p.prices.Settings; bom.Fold(s.Assembler) == bom.AtBench {
		s.Assembler = bom.AtBench
	}
	if _, stands := found["Home currency"]; ok && !stands {
		p.problems.Errorf(d.reg.table.At(0, 0), "", "a row with Home currency and a code of ISO 4217 such as EUR", "the home currency is not given")
	}
	checkCharge(d, &p.prices.Settings, found)
}

// findSettings maps the documented settings to the rows that hold them.
func findSettings(d *decoder) map[string]int {
	found := map[string]int{}
	d.eachRow(func() {
		c := d.cell("Setting")
		if !d.need(c) {
			return
		}
		def, ok := bom.FindSetting(d.key(c))
		if !ok {
			want := "one of " + quoteList(bom.SettingNames())
			if near, ok := bom.Nearest(c.Text, bom.SettingNames()); ok {
				want = "did you mean " + near
			}
			d.wrong(c, want, "not a setting that is known")
			return
		}
		d.once(c, "the setting "+def.Name, def.Name)
		if _, doubled := found[def.Name]; !doubled {
			found[def.Name] = d.row
		}
	})
	return found
}

// setting reads one setting, from its row or its default, into its field and
// into the list of all.
func (p *priceReader) setting(d *decoder, def *bom.SettingDef, row int, stands bool) {
	s := bom.Setting{Name: def.Name, Text: def.Default, Default: true}
	var value, low, high bom.Cell
	if stands {
		d.row = row
		value, low, high = d.cell("Value"), d.cell("Low"), d.cell("High")
		s.Dated, s.Low, s.High = d.dated(), low.Text, high.Text
	}
	if value.Blank() {
		if def.Required && stands {
			d.problems.Errorf(d.place(value), "", "a code of ISO 4217 such as EUR", "%s is blank", def.Name)
		}
		value = bom.Cell{Col: value.Col, Kind: bom.Native, Text: def.Default}
	} else {
		s.Text, s.Default = value.Text, false
	}
	p.assign(d, def, value)
	if def.Form.Numeric() {
		s.Range = d.bounds(def.Form, value, low, high, settingLimits[def.Name])
	}
	p.prices.Settings.All = append(p.prices.Settings.All, s)
}

// setAssembler puts who is asked for in the place of the setting.
func (p *priceReader) setAssembler(name string) {
	s := &p.prices.Settings
	s.Assembler = name
	i := slices.IndexFunc(s.All, func(set bom.Setting) bool { return set.Name == "Assembler" })
	s.All[i] = bom.Setting{Dated: bom.Dated{Origin: bom.Origin{Head: &bom.Heading{File: "--assembler"}}}, Name: "Assembler", Text: name}
}

// assign reads the value of a setting into its field.
func (p *priceReader) assign(d *decoder, def *bom.SettingDef, c bom.Cell) {
	s := &p.prices.Settings
	usual, _ := decimal.NewFromString(def.Default) // 0 where it is no figure
	switch field := s.Field(def.Name).(type) {
	case *bom.Currency:
		*field = d.currency(c, bom.Currency{})
	case *decimal.Decimal:
		switch def.Form {
		case bom.FormMoney:
			*field = d.money(c, s.Home)
		case bom.FormPercent:
			*field = d.percent(c, usual.IntPart(), mostPercent(def.Name))
		default:
			*field = d.number(c, usual)
		}
	case *int:
		*field = int(d.whole(c, usual.IntPart(), 0))
	case *int64:
		*field = freeUnits(d, c)
	case *float64:
		*field = d.measure(c, true).Value
	case *bool:
		if def.Form == bom.FormYesNo {
			*field = d.yes(c, false)
		} else {
			*field = d.oneOf(c, def.Choices, nil) == "CIF"
		}
	case *bom.Workdays:
		*field = workdays(d, c)
	case *bom.Fitting:
		*field = bom.Fitting(cmp.Or(d.oneOf(c, def.Choices, nil), def.Default))
	case *string:
		if def.Form == bom.FormText {
			*field = d.text(c)
		} else {
			*field = d.key(c)
		}
	}
	checkSetting(d, s, def.Name, c)
}

// mostPercent bounds a setting that is a percentage.
func mostPercent(setting string) int64 {
	if setting == "Sales tax %" {
		return mostDuty
	}
	return 100
}

// checkSetting refuses what is out of the range of a setting.
func checkSetting(d *decoder, s *bom.Settings, name string, c bom.Cell) {
	if name == "Confidence %" || name == "Unit yield %" {
		warnOfShare(d, c)
	}
	switch {
	case name == "Confidence %" && (s.Confidence.IsZero() || s.Confidence.Equal(hundred)):
		d.wrong(c, "a percentage over 0 and under 100", "out of range")
	case name == "Unit yield %" && s.UnitYield.IsZero():
		d.wrong(c, "a percentage over 0 and up to 100", "out of range")
	case name == "Old price spread %" && s.OldSpread.Equal(hundred):
		d.wrong(c, "a percentage from 0 and under 100", "out of range")
	case name == "Thin cover" && s.ThinCover.LessThan(decimal.NewFromInt(1)):
		d.wrong(c, "a number of 1 or more", "out of range")
	case name == "Bench hours per day" && (!s.BenchHours.IsPositive() || s.BenchHours.GreaterThan(aDay)):
		d.wrong(c, "hours over 0 and up to 24", "out of range")
	}
}

var (
	hundred = decimal.NewFromInt(100)
	aDay    = decimal.NewFromInt(24) // h
)

// workdays are days of the week.
func workdays(d *decoder, c bom.Cell) bom.Workdays {
	if c.Blank() || !d.sound(c) {
		return 0
	}
	days, ok := bom.ParseWorkdays(c.Text)
	if !ok {
		d.wrong(c, "days such as Mon-Fri or Tue, Sat, or every day", "not days of the week")
	}
	return days
}

// freeUnits reads how many units are given away.
func freeUnits(d *decoder, c bom.Cell) int64 {
	if strings.EqualFold(strings.TrimSpace(c.Text), "all") {
		return bom.AllFree
	}
	return d.whole(c, 0, 0)
}

// checkCharge refuses a margin, a fee and a tax that leave nothing of the price.
func checkCharge(d *decoder, s *bom.Settings, found map[string]int) {
	gross := hundred.Add(s.SalesTax).Div(hundred)
	taken := s.Margin.Add(s.PaymentFee.Mul(gross))
	if taken.LessThan(hundred) {
		return
	}
	row, ok := found["Margin %"]
	if d.row = row; !ok || d.cell("Value").Blank() {
		d.row = found["Payment fee %"]
	}
	d.wrong(d.cell("Value"), "a margin and a payment fee that come to less than 100 % of the price",
		"margin and payment fee come to %s %%", taken)
}
