package cost

import (
	"testing"

	"tenoff/bom"
	"tenoff/cost/plan"
)

// Hours at so many a day are days in whole millionths: 2 h, 30 min and 30 min at 3 h a day
// are done in one. More days than a plan can have are not known, and neither is work on days
// without hours.
func TestDaysAt(t *testing.T) {
	most := plan.MaxDays.Float()
	for _, row := range []struct {
		hours, aDay float64
		want        bom.Quantity
		ok          bool
	}{
		{12, 8, 1_500_000, true}, {0, 8, 0, true}, {1, 3, 333_333, true}, {2, 3, 666_666, true}, {0.3, 0.1, 3_000_000, true},
		{0.05962499, 2, 29_812, true}, {0.0596249999999999, 2, 29_812, true}, {24 * most, 24, plan.MaxDays, true}, {24*most + 24, 24, 0, false}, {1, 0, 0, false}, {0, 0, 0, false},
	} {
		if got, ok := daysAt(row.hours, row.aDay); got != row.want || ok != row.ok {
			t.Errorf("%g h at %g h a day: %s days, %v; want %s, %v", row.hours, row.aDay, got, ok, row.want, row.ok)
		}
	}
	first, _ := daysAt(2, 3)
	rest, _ := daysAt(0.5, 3)
	if days := first + rest + rest; days.Ceil() != 1 {
		t.Errorf("a day in three parts is done after %s days", days)
	}
}
