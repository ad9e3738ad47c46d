package build

import (
	"testing"

	"cagewise/gearing"
)

func TestReadings(t *testing.T) {
	got, err := ParseReadings("r.toml", []byte("[[reading]]\ngear = \"46x36\"\npitches = 112\ncage_angle = -29\n[[reading]]\ngear = \"30 x 11\"\nguide = [21.5, -80]\ntension = [\"-2 in\", -120.5]\ngap = 13\n[[reading]]\nstop = \"rear\"\ncage_angle = -190\n[[reading]]\nstop = \"forward\"\ngear = \"46x36\"\ncage_angle = 12\n"))
	if err != nil || len(got) != 4 {
		t.Fatalf("%v, %v", got, err)
	}
	want := []Reading{
		{GearID: gearing.GearID{Ring: 46, Cog: 36}, Pitches: 112, CageAngle: -29, Line: 1},
		{GearID: gearing.GearID{Ring: 30, Cog: 11}, Guide: [2]gearing.MM{21.5, -80}, Tension: [2]gearing.MM{-50.8, -120.5}, Gap: 13, Line: 5},
		{Stop: "rear", CageAngle: -190, Line: 10},
		{Stop: "forward", GearID: gearing.GearID{Ring: 46, Cog: 36}, CageAngle: 12, Line: 13},
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("got %+v, want %+v", got[i], want[i])
		}
	}
}

func TestReadingMessages(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "r.toml: holds no readings; allowed: one [[reading]] table for each gear looked at"},
		{"[[raeding]]\ngap = 3\n", "r.toml: raeding: unknown key; did you mean reading?; allowed: [[reading]] tables\nr.toml: holds no readings; allowed: one [[reading]] table for each gear looked at"},
		{"[[reading]]\ngap = 3\n", "r.toml:1: reading 1: gear: is missing; allowed: ring x cog, such as \"46x36\", or a stop"},
		{"[[reading]]\ngear = \"46-36\"\n", "r.toml:1: reading 1: gear: \"46-36\"; allowed: ring x cog, such as \"46x36\""},
		{"[[reading]]\ngear = \"46x36\"\n", "r.toml:1: reading 1: gear: nothing was read in it; allowed: one or more of cage_angle, guide, tension, gap"},
		{"[[reading]]\ngear = \"46x36\"\ngapp = 3\n", "r.toml:1: reading 1: gapp: unknown key; did you mean gap?; allowed: gear, stop, pitches, cage_angle, guide, tension, gap"},
		{"[[reading]]\ngear = \"46x36\"\ngap = nan\n", "r.toml:1: reading 1: gap: NaN is not a number; allowed: 0.1 to 80 mm"},
		{"[[reading]]\ngear = \"46x36\"\nguide = [1]\n", "r.toml:1: reading 1: guide: is not a pair; allowed: [ahead of the axle, above the axle] in mm, below being negative"},
		{"[[reading]]\nstop = \"back\"\ncage_angle = -190\n", "r.toml:1: reading 1: stop: \"back\"; allowed: rear, forward"},
		{"[[reading]]\nstop = \"rear\"\n", "r.toml:1: reading 1: stop: its cage_angle is missing (0 counts as not read); allowed: -270 to -60 degrees"},
		{"[[reading]]\nstop = \"forward\"\ncage_angle = 0\n", "r.toml:1: reading 1: stop: its cage_angle is missing (0 counts as not read); allowed: -120 to 90 degrees"},
		{"[[reading]]\nstop = \"rear\"\ncage_angle = -20\n", "r.toml:1: reading 1: cage_angle: the rear stop at -20 degrees; allowed: -270 to -60 degrees"},
		{"[[reading]]\nstop = \"rear\"\ncage_angle = -190\ngap = 6\n", "r.toml:1: reading 1: stop: a stop is read by cage_angle alone; allowed: a reading of its own for guide, tension and gap"},
		{"[[reading]]\nstop = \"rear\"\ncage_angle = -190\n[[reading]]\nstop = \"rear\"\ncage_angle = -191\n", "r.toml:4: reading 2: stop: the rear stop stands in reading 1 too; allowed: one reading of each stop"},
		{"\xff", "r.toml:1: is not UTF-8 text; allowed: a TOML file in UTF-8"},
		{"reading = 3\n", "r.toml: holds no readings; allowed: one [[reading]] table for each gear looked at"},
	}
	for _, tt := range tests {
		if _, err := ParseReadings("r.toml", []byte(tt.text)); err == nil || err.Error() != tt.want {
			t.Errorf("%q\ngot  %v\nwant %s", tt.text, err, tt.want)
		}
	}
}

func FuzzParseReadings(f *testing.F) {
	f.Add([]byte("[[reading]]\ngear = \"46x36\"\npitches = 112\ncage_angle = -29\nguide = [1, 2]\n"))
	f.Add([]byte("[[reading]]\nstop = \"rear\"\ncage_angle = -190\n"))
	f.Add([]byte("reading = [{gear = \"1x1\"}]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := ParseReadings("f.toml", data)
		if err == nil && len(list) == 0 {
			t.Fatal("no readings and no error")
		}
	})
}
