package revision

import (
	"reflect"
	"testing"

	"tenoff/bom"
)

// TestEveryTabIsMixed: each tab of the price sheet can change from one run to
// another; one that is forgotten would be taken from the new run at once.
func TestEveryTabIsMixed(t *testing.T) {
	before, after := &bom.Prices{}, &bom.Prices{}
	v := reflect.ValueOf(before).Elem()
	tabs := 0
	for i := range v.NumField() {
		if v.Type().Field(i).Name == "Parts" {
			continue // it has done its work when the lists are read: the lines differ
		}
		if f := v.Field(i); f.Kind() == reflect.Slice {
			f.Set(reflect.MakeSlice(f.Type(), 1, 1))
			tabs++
		}
	}
	changed := 0
	out := bom.Prices{}
	for _, tab := range priceTabs() {
		changed += len(tab.changes(before, after))
		tab.fill(&out, before, after, map[any]bool{})
	}
	if changed != tabs {
		t.Errorf("%d tabs can change, the price sheet has %d", changed, tabs)
	}
	if !reflect.DeepEqual(&out, before) {
		t.Errorf("before any change the sheet is %+v", out)
	}
	for i, f := range fieldsOf(reflect.ValueOf(bom.Settings{})) {
		if inWords(settingNames[i]) != f.name {
			t.Errorf("setting %d is %s and %s", i, settingNames[i], f.name)
		}
	}
}
