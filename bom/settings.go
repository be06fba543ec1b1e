package bom

import (
	"reflect"
	"strings"

	"github.com/shopspring/decimal"
)

// SettingPlace is the cell of a setting; the name of the price sheet where the default holds.
func (p *Prices) SettingPlace(name string) Place {
	for _, s := range p.Settings.All {
		if s.Name == name && !s.Default {
			return s.At("Value")
		}
	}
	return Place{File: p.Name}
}

// RangeOf is the range of a setting, none where it has none.
func (s *Settings) RangeOf(name string) Range {
	if row := First(s.All, func(row *Setting) bool { return row.Name == name }); row != nil {
		return row.Range
	}
	return Range{}
}

// settingFields are the fields of Settings, by what the settings are called.
var settingFields = func() map[string]int {
	fields, all := map[string]int{}, reflect.TypeFor[Settings]()
	for i := range all.NumField() {
		fields[all.Field(i).Tag.Get("setting")] = i
	}
	return fields
}()

// Field points to where the value of a documented setting is kept.
func (s *Settings) Field(name string) any {
	return reflect.ValueOf(s).Elem().Field(settingFields[name]).Addr().Interface()
}

// Figure gives a setting that is a figure, and what it is counted in.
func (s *Settings) Figure(name string) (d decimal.Decimal, unit string, ok bool) {
	switch field := s.Field(name).(type) {
	case *decimal.Decimal:
		d = *field
	case *int:
		d = decimal.NewFromInt(int64(*field))
	default:
		return d, "", false
	}
	def, _ := FindSetting(name)
	return d, strings.Replace(def.Unit, "home currency", s.Home.Code, 1), true
}
