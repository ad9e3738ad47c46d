package build

import (
	"errors"
	"testing"
)

func TestForeign(t *testing.T) {
	old := errors.New("old")
	for name, tt := range map[string]struct{ wanted, text, want string }{
		"build for a log":       {"wear log", "[frame]\nchainstay = 430\n", "f: is a build file, no wear log; " + kindBuild.use},
		"log for a build":       {"build file", "[[part]]\nid = 'c'\n", "f: is a wear log, no build file; " + kindLog.use},
		"log by its reading":    {"build file", "[[reading]]\npart = 'c'\n", "f: is a wear log, no build file; " + kindLog.use},
		"readings for a build":  {"build file", "[[reading]]\ngear = '46x36'\n", "f: is a readings file, no build file; " + kindReadings.use},
		"bin for a build":       {"build file", "[[cassette]]\nname = 'c'\n[[rings]]\nname = 'r'\n", "f: is a parts bin, no build file; " + kindBin.use},
		"CSV":                   {"build file", "# a ride\nspeed_km_h,time_s\n", "f: is a recorded ride, no build file; " + kindRide.use},
		"GPX":                   {"wear log", "\ufeff<?xml version='1.0'?><gpx>", "f: is a recorded ride, no wear log; " + kindRide.use},
		"FIT":                   {"wear log", "\x0e\x20\x00\x00\x00\x00\x00\x00.FIT\xff\xff", "f: is a recorded ride, no wear log; " + kindRide.use},
		"right kind":            {"build file", "[frame]\nchainstey = 430\n", "old"},
		"right kind, doubled":   {"build file", "[[rings]]\nteeth = [40]\n[[cogs]]\nteeth = [11]\n", "old"},
		"marks of two":          {"parts bin", "[frame]\n[[part]]\nid = 'c'\n", "old"},
		"marks of none":         {"build file", "name = 'x'\n", "old"},
		"no TOML":               {"build file", "tea, for two\n", "old"},
		"a comment without end": {"build file", "#", "old"},
	} {
		if err := Foreign("f", tt.wanted, []byte(tt.text), old); err.Error() != tt.want {
			t.Errorf("%s: got %s, want %s", name, err, tt.want)
		}
	}
	if err := Foreign("f", "wear log", []byte("[frame]\n"), nil); err != nil {
		t.Errorf("a file without a fault: %v", err)
	}
}

func TestPointForComma(t *testing.T) {
	for text, want := range map[string]string{
		"43,7": "43.7", "-0,5": "-0.5", "+1,25": "+1.25", "1,230": "1.230 or 1230", "0,125": "0.125",
		"43.7": "", "1,2,3": "", ",5": "", "5,": "", "4x,2": "", "": "",
	} {
		if got := PointForComma(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}
