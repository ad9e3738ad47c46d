package build

import (
	"fmt"
	"strings"
	"testing"
)

const geometryTable = least + "[rear_derailleur]\npulley_centres = 76\n[rear_derailleur.geometry]\n"

// Three sides close a triangle from flat to flat, stops keep their order.
func TestImpossibleGeometry(t *testing.T) {
	const cannot = "b.toml:%d: rear_derailleur.geometry.pivot_to_tension: a triangle of pivot_to_guide %s, pivot_to_tension %s and pulley_centres 76 mm cannot close; allowed: pivot_to_tension from %s to %s mm"
	tests := []struct{ text, want string }{
		{"pivot_to_guide = 11\npivot_to_tension = 71\n", ""},
		{"pivot_to_guide = 11\npivot_to_tension = 65\n", ""}, // flat: 76 - 11
		{"pivot_to_guide = 11\npivot_to_tension = 87\n", ""}, // flat: 76 + 11
		{"pivot_to_guide = 11\npivot_to_tension = 64\n", fmt.Sprintf(cannot, 9, "11", "64", "65", "87")},
		{"pivot_to_guide = 11\npivot_to_tension = 88\n", fmt.Sprintf(cannot, 9, "11", "88", "65", "87")},
		{"cage_stop_rear = -170\ncage_stop_forward = -20\n", ""},
		{"cage_stop_rear = -20\ncage_stop_forward = -20\n", "b.toml:8: rear_derailleur.geometry.cage_stop_rear: the rear stop at -20 degrees is not rearward of the forward stop at -20; allowed: cage_stop_rear under cage_stop_forward"},
		{"cage_stop_rear = -20\ncage_stop_forward = -170\n", "b.toml:8: rear_derailleur.geometry.cage_stop_rear: the rear stop at -20 degrees is not rearward of the forward stop at -170; allowed: cage_stop_rear under cage_stop_forward"},
	}
	for _, tt := range tests {
		_, err := parse(t, geometryTable+tt.text)
		if tt.want == "" && err != nil || tt.want != "" && (err == nil || err.Error() != tt.want) {
			t.Errorf("%s\ngot  %v\nwant %s", tt.text, err, tt.want)
		}
	}
	// Flat the other way: 60 - 46.
	for tension, want := range map[string]string{"14": "", "13": "pulley_centres 46 mm cannot close; allowed: pivot_to_tension from 14 to 106 mm"} {
		_, err := parse(t, strings.Replace(geometryTable, "76", "46", 1)+"pivot_to_guide = 60\npivot_to_tension = "+tension+"\n")
		if want == "" && err != nil || want != "" && (err == nil || !strings.HasSuffix(err.Error(), want)) {
			t.Errorf("%s: %v", tension, err)
		}
	}
	without := strings.Replace(geometryTable, "pulley_centres = 76\n", "", 1) + "pivot_to_guide = 11\npivot_to_tension = 64\n"
	if _, err := parse(t, without); err != nil && strings.Contains(err.Error(), "cannot close") {
		t.Error("a triangle of two sides cannot close:", err)
	}
}

func TestOddGeometry(t *testing.T) {
	const mixed, swing = "stands higher on the largest cog", "the cage swings only %s degrees between its stops; most swing 150 and more"
	one := strings.Replace(geometryTable, "[11, 13, 15]", "[15]", 1)
	tests := []struct{ text, want string }{
		{geometryTable + "pivot_small_x = 12\npivot_small_y = -70\npivot_large_x = 29\npivot_large_y = -110\n", ""},
		{geometryTable + "pivot_small_x = 12\npivot_small_y = -110\npivot_large_x = 29\npivot_large_y = -70\n", mixed},
		{geometryTable + "pivot_small_x = 12\npivot_small_y = -90\npivot_large_x = 29\npivot_large_y = -90\n", ""},
		{geometryTable + "pivot_large_x = 29\npivot_large_y = -70\n", ""},
		{one + "pivot_small_x = 12\npivot_small_y = -110\npivot_large_x = 29\npivot_large_y = -70\n", ""},
		{strings.Replace(one, "[15]", "[13, 15]", 1) + "pivot_small_x = 12\npivot_small_y = -110\npivot_large_x = 29\npivot_large_y = -70\n", mixed},
		{geometryTable + "cage_stop_rear = -109\ncage_stop_forward = -20\n", fmt.Sprintf(swing, "89")},
		{geometryTable + "cage_stop_rear = -110\ncage_stop_forward = -20\n", ""},
		{geometryTable + "cage_stop_rear = -170\ncage_stop_forward = -20\n", ""},
	}
	for _, tt := range tests {
		d, err := Parse("b.toml", []byte(tt.text))
		if err != nil {
			t.Fatal(err)
		}
		r, err := d.Finish()
		if err != nil {
			t.Error(tt.text, err)
			continue
		}
		found := ""
		for _, p := range d.oddGeometry(r.Build) {
			found += p.Text
		}
		if (found == "") != (tt.want == "") || !strings.Contains(found, tt.want) {
			t.Errorf("%s\ngot  %q\nwant %q", tt.text, found, tt.want)
		}
	}
}
