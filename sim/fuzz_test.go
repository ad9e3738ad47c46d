package sim

import (
	"encoding/json"
	"testing"
	"time"

	"cagewise/gearing"
)

// fuzzTeeth turns any text into wheels.
func fuzzTeeth(text string, most int) []gearing.Teeth {
	seen := map[gearing.Teeth]bool{}
	var list []gearing.Teeth
	for _, c := range []byte(text) {
		if n := gearing.Teeth(c); !seen[n] && len(list) < most+1 {
			seen[n] = true
			list = append(list, n)
		}
	}
	return gearing.SortTeeth(list)
}

// FuzzJudge asks for everything of accepted but odd builds: no panic, no endless
// search, no number that is none (JSON knows none) or beyond what can be, a
// reason for every state.
func FuzzJudge(f *testing.F) {
	f.Add(uint8(1), "\x1e\x2e", "\x0b\x10\x24", 430.0, 70.0, 75.0, 12.0, -71.0, 29.0, -109.0, 9.4, 70.7, -205.0, -5.0, 0.0, 112, uint8(0))
	f.Add(uint8(3), "\x20", "\x0a\x33", 440.0, 40.0, 98.0, 1.0, -74.0, 2.0, -125.0, 18.3, 99.4, 0.0, 0.0, 1.0, 118, uint8(7))
	f.Add(uint8(0), "\x50", "\x08", 200.0, 200.0, 46.0, 0.0, -1.0, 0.0, -1.0, 46.0, 0.0, 0.0, 1.0, 5.0, 3, uint8(15))
	f.Add(uint8(2), "\x16\x20\x2c", "\x0b\x0d\x24", 440.0, -300.0, 90.0, 500.0, 500.0, -500.0, 500.0, 1.0, 89.0, -1.0, 0.0, 0.0, 10000, uint8(255))
	f.Add(uint8(1), "\x2c", "\x0b\x14\x32", 448.7, 14.3, 101.0, 1.85, -73.0, 12.7, -141.1, 21.1, 98.7, -176.0, -5.5, 0.0, 125, uint8(5))
	f.Add(uint8(4), "\x1e\x2e", "\x0b\x10\x24", 430.0, 70.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0, uint8(32))
	f.Add(uint8(4), "\x1e\x2e", "\x0b\x10\x24", 430.0, 70.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 108, uint8(16))
	f.Fuzz(func(t *testing.T, class uint8, rings, cogs string, chainstay, drop, centres, sx, sy, lx, ly, guide, tension, rear, forward, worn float64, pitches int, extra uint8) {
		name := ""
		if int(class) < len(classes) {
			name = classes[class].name
		}
		b := classBuild(name, gearing.MM(chainstay), gearing.MM(drop), fuzzTeeth(rings, gearing.MaxRings), fuzzTeeth(cogs, gearing.MaxCogs))
		b.Chain = gearing.Chain{Pitches: pitches, Elongation: gearing.Percent(worn), OffsetLink: extra&1 > 0}
		b.Rear.PulleyCentres = gearing.MM(centres)
		g := &b.Rear.Geometry
		g.PivotSmallX, g.PivotSmallY, g.PivotLargeX, g.PivotLargeY = gearing.MM(sx), gearing.MM(sy), gearing.MM(lx), gearing.MM(ly)
		g.PivotToGuide, g.PivotToTension = gearing.MM(guide), gearing.MM(tension)
		g.CageStopRear, g.CageStopForward = gearing.Degrees(rear), gearing.Degrees(forward)
		if extra&2 > 0 {
			b.Frame.Suspension = gearing.Suspension{PivotAhead: gearing.MM(lx), PivotAbove: gearing.MM(guide), Travel: gearing.MM(tension)}
		}
		if extra&4 > 0 {
			g.SpringPreload, g.SpringRate, g.MountPreload, g.MountRate = tension, guide, centres, worn
		}
		if extra&8 > 0 {
			b.Frame.DropoutRange, g.ExtenderBelow, g.PivotSide = gearing.MM(guide), gearing.MM(tension), "behind"
		}
		if extra&16 > 0 {
			b.Rear.RatedCapacity, b.Rear.LargestCog = gearing.Teeth(20+class%30), gearing.Teeth(24+class%28)
		} else if extra&32 > 0 {
			b.Rear.RatedCapacity = gearing.Teeth(20 + class%30)
		}
		checkStudy(t, b)
	})
}

func checkStudy(t *testing.T, b gearing.Build) {
	start := time.Now()
	s, err := NewStudy(b, gearing.TableOptions{})
	if err != nil {
		return // what cannot be is named
	}
	if _, err := json.Marshal(s.Advice); err != nil {
		t.Fatalf("%v: %+v", err, s.Advice)
	}
	checkAdvice(t, &s.Advice)
	if s.Answer == nil {
		return
	}
	a := s.Answer
	checkRanges(t, a)
	for i := range a.Fit.Gears {
		if g := &a.Fit.Gears[i]; len(g.Reason()) < 10 {
			t.Fatalf("%s is %s: %q", g.GearID, g.State, g.Reason())
		}
	}
	if _, err := s.Rig.Roadside(max(4, a.Length/2*2), 0); err != nil {
		t.Fatal(err)
	}
	if d := time.Since(start); d > 20*time.Second {
		t.Fatalf("took %v", d)
	}
}
