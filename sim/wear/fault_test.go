package wear

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func gear(ring, cog gearing.Teeth) gearing.GearID { return gearing.GearID{Ring: ring, Cog: cog} }

var faultBike = FaultBuild{Pitches: 108, Rings: []gearing.Teeth{34, 50}, Cogs: []gearing.Teeth{11, 13, 15, 17, 20, 23, 26, 30, 34}}

func turnsOf(t testing.TB, list []Rhythm, part FaultPart) float64 {
	t.Helper()
	for _, r := range list {
		if r.Part == part && !r.EveryOther {
			return r.Turns
		}
	}
	t.Fatalf("no rhythm of %q", part)
	return 0
}

// A stiff pitch every 2.16 turns for 108 on 50, 3.18 for 108 on
// 34; a cog R/F, a ring 1, a pulley 11/F.
func TestRhythms(t *testing.T) {
	for _, c := range []struct {
		gear  gearing.GearID
		part  FaultPart
		want  float64
		exact float64
	}{
		{gear(50, 17), FaultChain, 2.16, 108.0 / 50}, {gear(34, 17), FaultChain, 3.18, 108.0 / 34},
		{gear(50, 17), FaultCog, 0.34, 17.0 / 50}, {gear(50, 17), FaultWheel, 0.34, 17.0 / 50},
		{gear(34, 17), FaultRing, 1, 1}, {gear(50, 17), FaultPulleys, 0.22, 11.0 / 50},
	} {
		list, err := Rhythms(faultBike, c.gear)
		if err != nil {
			t.Fatal(err)
		}
		got := turnsOf(t, list, c.part)
		if math.Abs(got-c.want) > 0.005 || math.Abs(got-c.exact) > 1e-12 {
			t.Errorf("%s in %s: %v turns, want %v", c.part, c.gear, got, c.want)
		}
	}
}

func suspects(r FaultReport) string {
	var list []string
	for _, s := range r.Suspects {
		list = append(list, string(s.Part))
	}
	return strings.Join(list, "; ")
}

func TestFindFault(t *testing.T) {
	unlike := faultBike
	unlike.Guide, unlike.Tension = 12, 14
	for _, c := range []struct {
		name string
		b    FaultBuild
		gear gearing.GearID
		h    Heard
		want string // parts in order
		note string
	}{
		{"stiff link over ten", faultBike, gear(50, 17), Heard{Turns: 21.5, Repeats: 10}, string(FaultChain), "likely, not certain"},
		{"cog or wheel", faultBike, gear(34, 26), Heard{Turns: 7.6, Repeats: 10}, string(FaultCog) + "; " + string(FaultWheel), "coast"},
		{"ring, cog and wheel alike", faultBike, gear(34, 34), Heard{Turns: 10, Repeats: 10}, string(FaultRing) + "; " + string(FaultCog) + "; " + string(FaultWheel), "try 50x11"},
		{"pulleys apart", unlike, gear(50, 17), Heard{Turns: 5.6, Repeats: 20}, string(FaultTension), ""},
		{"odd cog, inner plates only", faultBike, gear(50, 23), Heard{Turns: 9.2, Repeats: 10}, string(FaultCog), "halve"},
		{"nothing", faultBike, gear(50, 17), Heard{Turns: 70, Repeats: 10}, "", "no part repeats"},
		{"one repeat is vague", faultBike, gear(34, 17), Heard{Turns: 0.9}, string(FaultRing), "over 5 or 10"},
	} {
		r, err := FindFault(c.b, c.gear, c.h)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := suspects(r)
		if c.name == "one repeat is vague" {
			got = got[:min(len(got), len(c.want))]
		}
		if got != c.want {
			t.Errorf("%s: suspects %q, want %q", c.name, got, c.want)
		}
		if notes := strings.Join(r.Notes, "\n"); !strings.Contains(notes, c.note) {
			t.Errorf("%s: notes %q, want %q in them", c.name, notes, c.note)
		}
	}
}

// Suspects stand in the order of their errors, and one of every other turn is
// called so wherever it is named.
func TestSuspectsSorted(t *testing.T) {
	b := FaultBuild{Pitches: 112, Rings: []gearing.Teeth{30, 46}, Cogs: []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}}
	r, err := FindFault(b, gear(46, 17), Heard{Turns: 0.6})
	if err != nil || len(r.Suspects) < 5 {
		t.Fatalf("%+v, %v", r, err)
	}
	if first := r.Suspects[0].Name(); first != string(FaultPulleys)+", every other turn" {
		t.Errorf("first is %q", first)
	}
	for i, s := range r.Suspects[1:] {
		if s.Off < r.Suspects[i].Off-1e-9 {
			t.Errorf("%s, %v errors off, stands behind %v", s.Name(), s.Off, r.Suspects[i].Off)
		}
	}
	r, err = FindFault(b, gear(30, 15), Heard{Turns: 10, Repeats: 10})
	if err != nil || !r.HasApart || len(r.Suspects) != 2 || r.Suspects[0].EveryOther {
		t.Fatalf("of equals the plain one is first: %+v, %v", r, err)
	}
	if x := r.Apart.Rhythms[1]; !x.EveryOther || !strings.Contains(strings.Join(r.Notes, " "), "cog tooth, every other turn") {
		t.Errorf("%+v, %q", x, r.Notes)
	}
}

// Near rhythms are both named with a gear that tells them apart: there they lie
// further apart than the count is wrong.
func TestFaultsToldApart(t *testing.T) {
	r, err := FindFault(faultBike, gear(34, 34), Heard{Turns: 10, Repeats: 10})
	if err != nil || !r.HasApart {
		t.Fatalf("%+v, %v", r, err)
	}
	gone := 0
	for _, x := range r.Apart.Rhythms {
		if x.Gone {
			gone++
		}
	}
	if gone != 1 || r.Apart.Cog == 34 {
		t.Errorf("%+v: the cog's tooth should be gone, and it alone", r.Apart)
	}
	single := FaultBuild{Pitches: 112, Rings: []gearing.Teeth{38}, Cogs: []gearing.Teeth{38}}
	if r, err := FindFault(single, gear(38, 38), Heard{Turns: 10, Repeats: 10}); err != nil || r.HasApart || !strings.Contains(strings.Join(r.Notes, " "), "no other gear") {
		t.Errorf("one gear alone: %+v, %v", r, err)
	}
}

func TestFaultRefused(t *testing.T) {
	good := Heard{Turns: 2}
	for name, try := range map[string]func() error{
		"no chain":    func() error { _, err := Rhythms(FaultBuild{}, gear(50, 17)); return err },
		"no ring":     func() error { _, err := Rhythms(faultBike, gear(0, 17)); return err },
		"no cog":      func() error { _, err := FindFault(faultBike, gear(50, 0), good); return err },
		"no turns":    func() error { _, err := FindFault(faultBike, gear(50, 17), Heard{}); return err },
		"not a count": func() error { _, err := FindFault(faultBike, gear(50, 17), Heard{Turns: math.NaN()}); return err },
		"repeats":     func() error { _, err := FindFault(faultBike, gear(50, 17), Heard{Turns: 1, Repeats: -1}); return err },
		"error": func() error {
			_, err := FindFault(faultBike, gear(50, 17), Heard{Turns: 1, Error: math.Inf(1)})
			return err
		},
	} {
		if err := try(); !errors.Is(err, ErrFault) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Whatever rhythm a part has, counting it names the part; a chain counted
// longer has the longer rhythm; suspects never lie beyond two errors.
func TestFaultProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGear(t, "gear")
		b := FaultBuild{Pitches: rapid.IntRange(80, 140).Draw(t, "pitches"), Rings: []gearing.Teeth{30, 46}, Cogs: []gearing.Teeth{11, 20, 36}}
		list, err := Rhythms(b, g)
		if err != nil {
			t.Fatal(err)
		}
		want := list[rapid.IntRange(0, len(list)-1).Draw(t, "part")]
		n := rapid.IntRange(1, 30).Draw(t, "repeats")
		off := rapid.Float64Range(-0.45, 0.45).Draw(t, "off")
		h := Heard{Turns: max(0.01, want.Turns*float64(n)+off), Repeats: n}
		r, err := FindFault(b, g, h)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, s := range r.Suspects {
			found = found || s.Part == want.Part
			if s.Off > withinErrors {
				t.Fatalf("%s lies %v errors off", s.Part, s.Off)
			}
		}
		if !found {
			t.Fatalf("%s every %v turns, heard %v: suspects %q", want.Part, want.Turns, h, suspects(r))
		}
		if r.HasApart && r.Apart.GearID == g {
			t.Fatal("the gear itself is to tell them apart")
		}
	})
}
