package wear

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func choice(ring, cog gearing.Teeth) Choice {
	return Choice{Drive: Drive{GearID: gearing.GearID{Ring: ring, Cog: cog}}}
}

func mustSpare(t rapid.TB, a, b Choice, r Road) Sparing {
	s, err := Friction{}.Spare(a, b, r)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var flatRoad = Road{Push: 30, RollOut: 2.1}

// The same ratio on wheels of twice the size: half the pull, half the turning,
// and each as often: the torque's part of the work halves (derived here), the
// lower run's does not; teeth bear half as much.
func TestTwiceTheTeeth(t *testing.T) {
	for _, pair := range [][2]Choice{{choice(48, 24), choice(24, 12)}, {choice(60, 20), choice(30, 10)}} {
		pair[0].LowerTension, pair[1].LowerTension = 1e-9, 1e-9
		s := mustSpare(t, pair[0], pair[1], flatRoad)
		for name, got := range map[string]float64{"chain": s.ChainLife, "cog": s.CogLife, "ring": s.RingLife} {
			if math.Abs(got-2) > 1e-6 {
				t.Errorf("%s life of %s over %s: %v, want 2", name, s.A.GearID, s.B.GearID, got)
			}
		}
		if !s.HasSpare || s.Spares != pair[0].GearID || math.Abs(float64(s.Step)) > 1e-9 {
			t.Errorf("%+v", s)
		}
	}
}

// The bench row's pair, 53x15 and 39x11 at the same ratio, and the cargo bike
// of S6: 38 for 44 pulls more.
func TestSpareExamples(t *testing.T) {
	s := mustSpare(t, choice(53, 15), choice(39, 11), flatRoad)
	t.Logf("53x15 over 39x11: chain life %.2f, cog %.2f, ring %.2f", s.ChainLife, s.CogLife, s.RingLife)
	if s.ChainLife < 1.2 || s.ChainLife > 1.4 || s.Spares.Ring != 53 {
		t.Errorf("%+v", s)
	}
	if math.Abs(s.CogLife-53.0/39) > 0.05 {
		t.Errorf("cog life %v, want about the pull's %v", s.CogLife, 53.0/39)
	}
	cargo := mustSpare(t, choice(44, 13), choice(38, 11), Road{Push: 110, RollOut: 1.6})
	if cargo.Spares.Ring != 44 || cargo.Step > SameGear || cargo.A.Pull >= cargo.B.Pull {
		t.Errorf("%+v", cargo)
	}
	longer := choice(53, 15)
	longer.Pitches = 116
	short := choice(53, 15)
	short.Pitches = 108
	if s := mustSpare(t, longer, short, flatRoad); math.Abs(s.ChainLife-116.0/108) > 1e-9 || !strings.Contains(strings.Join(s.Why, "\n"), "116 pitches") {
		t.Errorf("a longer chain: %+v", s)
	}
}

func TestSpareSaysWhatItLeavesOut(t *testing.T) {
	a, b := choice(50, 17), choice(34, 11)
	s := mustSpare(t, a, b, flatRoad)
	text := strings.Join(s.Why, "\n")
	if !strings.Contains(text, "chain line not known") || !strings.Contains(s.Note, Widely) || !strings.Contains(s.Note, "estimate") {
		t.Errorf("%s\n%s", text, s.Note)
	}
	if !strings.Contains(text, "apart: not the same gear") {
		t.Errorf("%s: a step of %v is not said", text, s.Step)
	}
	a.HasLine, b.HasLine, a.Line, b.Line = true, true, 3, -0.2
	if text := strings.Join(mustSpare(t, a, b, flatRoad).Why, "\n"); !strings.Contains(text, "speaks against it") {
		t.Errorf("%s: a crooked chain is not held against it", text)
	}
	if s := mustSpare(t, a, a, flatRoad); s.HasSpare || s.ChainLife != 1 {
		t.Errorf("a gear against itself: %+v", s)
	}
}

func TestSpareRefused(t *testing.T) {
	good := choice(50, 17)
	long := good
	long.Pitches = 2000
	for name, try := range map[string]func() error{
		"no push":  func() error { _, err := Friction{}.Spare(good, good, Road{RollOut: 2}); return err },
		"no wheel": func() error { _, err := Friction{}.RankGears(nil, Road{Push: 20}); return err },
		"no cog":   func() error { _, err := Friction{}.Spare(good, choice(50, 0), flatRoad); return err },
		"no ring":  func() error { _, err := Friction{}.Spare(choice(0, 17), good, flatRoad); return err },
		"chain":    func() error { _, err := Friction{}.RankGears([]Choice{long}, flatRoad); return err },
	} {
		if err := try(); !errors.Is(err, ErrDrive) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Swapping the two gears inverts the lives; ranks agree with comparisons.
func TestSpareProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := Choice{Drive: Drive{GearID: drawGear(t, "a")}}, Choice{Drive: Drive{GearID: drawGear(t, "b")}}
		r := Road{Push: rapid.Float64Range(5, 150).Draw(t, "push"), RollOut: 2}
		ab, ba := mustSpare(t, a, b, r), mustSpare(t, b, a, r)
		if math.Abs(ab.ChainLife*ba.ChainLife-1) > 1e-9 || math.Abs(ab.CogLife*ba.CogLife-1) > 1e-9 || ab.HasSpare != ba.HasSpare {
			t.Fatalf("%+v against %+v", ab, ba)
		}
		ranked, err := Friction{}.RankGears([]Choice{a, b}, r)
		if err != nil {
			t.Fatal(err)
		}
		if ab.HasSpare && ranked[0].GearID != ab.Spares {
			t.Fatalf("ranked %s first, spares %s", ranked[0].GearID, ab.Spares)
		}
	})
}
