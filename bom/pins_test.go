package bom

import "testing"

// TestPinsSaid: numbers of pins in descriptions of connectors; common practice, no source.
func TestPinsSaid(t *testing.T) {
	for text, want := range map[string]int{
		"8-pin, angled": 8, "battery, 2 pins": 2, "40 pos 0.5 mm": 40, "4POS": 4, "10 position plug": 10, "6-way": 6, "12 contacts": 12, "16P": 16,
		"2x5 pins": 10, "1x06 pin": 6, "3 pin or 4 pin": 0, "pin 5": 0, "2x3": 0, "speaker": 0, "5-pole": 0, "pins": 0, "P 12": 0,
	} {
		if got := PinsSaid(text); got != want {
			t.Errorf("%q says %d pins, want %d", text, got, want)
		}
	}
}
