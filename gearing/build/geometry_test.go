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
		{"cage_stop_rear = -170\n", ""},   // either stop alone
		{"cage_stop_forward = -20\n", ""}, // even one rearward of 0, which the other is when it was not read
		{"cage_stop_rear = -81\ncage_stop_forward = -80\n", ""},
		{"cage_stop_rear = -80\ncage_stop_forward = -80\n", "b.toml:8: rear_derailleur.geometry.cage_stop_rear: the rear stop at -80 degrees is not rearward of the forward stop at -80; allowed: cage_stop_rear under cage_stop_forward"},
		{"cage_stop_rear = -70\ncage_stop_forward = -110\n", "b.toml:8: rear_derailleur.geometry.cage_stop_rear: the rear stop at -70 degrees is not rearward of the forward stop at -110; allowed: cage_stop_rear under cage_stop_forward"},
		{"cage_stop_rear = -20\n", "b.toml:8: rear_derailleur.geometry.cage_stop_rear: -20 degrees; allowed: -270 to -60 degrees"},
		{"cage_stop_forward = -170\n", "b.toml:8: rear_derailleur.geometry.cage_stop_forward: -170 degrees; allowed: -120 to 90 degrees"},
		{"cage_stop_forward = 0\n", "b.toml:8: rear_derailleur.geometry.cage_stop_forward: 0 degrees counts as not read; write 0.1 instead"},
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
		{geometryTable + "cage_stop_rear = -60\n", ""}, // a stop alone says nothing of the swing
		{geometryTable + "cage_stop_forward = 60\n", ""},
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

// A stop where the other one usually is draws a warning.
func TestUnusualStops(t *testing.T) {
	for text, want := range map[string]string{
		"cage_stop_rear = -190\n":    "",
		"cage_stop_rear = -60\n":     "b.toml:8: rear_derailleur.geometry.cage_stop_rear: -60 degrees is unusual (usual: -240 to -120 degrees); is it a slip?",
		"cage_stop_forward = 15\n":   "",
		"cage_stop_forward = -110\n": "b.toml:8: rear_derailleur.geometry.cage_stop_forward: -110 degrees is unusual (usual: -60 to 75 degrees); is it a slip?",
	} {
		r := mustParse(t, geometryTable+text)
		got := ""
		for _, w := range r.Warnings {
			got += w.String()
		}
		if got != want {
			t.Errorf("%s\ngot  %q\nwant %q", text, got, want)
		}
	}
}

// Either stop can be given by its flag, alone and over a file.
func TestStopFlags(t *testing.T) {
	for _, key := range []string{"cage_stop_rear", "cage_stop_forward"} {
		d, err := Parse("b.toml", []byte(geometryTable+"cage_stop_rear = -170\n"))
		if err != nil {
			t.Fatal(err)
		}
		f, err := Find(geometrySection + "." + key)
		if err != nil || f.Flag != strings.ReplaceAll(key, "_", "-") {
			t.Fatalf("%+v, %v", f, err)
		}
		if err := d.SetFlag(f, "-100"); err != nil {
			t.Error(err)
		}
		r, err := d.Finish()
		if err != nil || f.read(&r.Build).num != -100 {
			t.Errorf("%+v, %v", r.Build.Rear.Geometry, err)
		}
	}
}
