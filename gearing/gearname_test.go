package gearing

import "testing"

func TestParseGear(t *testing.T) {
	for text, want := range map[string]GearID{
		"46x36": {46, 36}, "46X36": {46, 36}, "46/36": {46, 36}, " 46 x 36 ": {46, 36},
		"46": {}, "46x": {}, "x36": {}, "46x36x1": {}, "46-36": {}, "46x3.6": {}, "": {}, "46x99999999999999999999": {}, "46x-36": {},
		GearName(MinTeeth, MaxTeeth): {MinTeeth, MaxTeeth}, GearName(MinTeeth-1, 30): {}, GearName(30, MaxTeeth+1): {},
	} {
		if got, ok := ParseGear(text); got != want || ok != (want != GearID{}) {
			t.Errorf("%q: %v, %v", text, got, ok)
		}
	}
}
