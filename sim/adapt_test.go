package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// Typical geometry is lowered by no more than it takes, to a tenth of a
// millimetre, at most 27 mm; not at all where the screw opens the gap already or
// where 27 mm would not help.
func TestAdaptsNoMoreThanNeeded(t *testing.T) {
	lowered, kept, beyond, most := 0, 0, 0, gearing.MM(0)
	for _, class := range []string{"short", "medium", "long", "wide"} {
		for _, cogs := range [][]gearing.Teeth{{11, 15, 20, 28}, {11, 15, 20, 28, 36}, {11, 15, 24, 42}, {10, 14, 20, 28, 39, 51}} {
			for _, rings := range [][]gearing.Teeth{{32}, {30, 46}, {26, 36, 48}} {
				b := classBuild(class, 440, 40, rings, cogs)
				r := mustRig(t, b)
				d, err := NewDerailleur(b)
				if err != nil {
					t.Fatal(err)
				}
				plain := newRig(b, d)
				plain.layGears()
				big := plain.bigBig()
				n := plain.leastFor(plain.gears[big:big+1], 0)
				if n == 0 {
					n = plain.leastFor(plain.gears, 0)
				}
				by := r.Derailleur.Lowered
				most = max(most, by)
				switch {
				case by > 0:
					lowered++
					if by > 27 || !plain.opensWith(n, float64(by)) || plain.opensWith(n, float64(by)-0.2) || plain.opens(n) {
						t.Errorf("%s, %v x %v: lowered by %v", class, rings, cogs, float64(by))
					}
					if r.Derailleur.PivotLarge.Y != plain.Derailleur.PivotLarge.Y-by || math.Abs(math.Round(float64(by)*10)-float64(by)*10) > 1e-9 {
						t.Errorf("%s, %v x %v: pivot at %v", class, rings, cogs, r.Derailleur.PivotLarge)
					}
				case plain.opens(n):
					kept++
				default:
					beyond++
					for mm := 3.0; mm <= 27; mm += 3 {
						if plain.opensWith(n, mm) {
							t.Errorf("%s, %v x %v: not lowered, %v mm would do", class, rings, cogs, mm)
						}
					}
				}
			}
		}
	}
	if lowered < 5 || kept < 5 || beyond < 1 || most <= 24 {
		t.Errorf("%d lowered by up to %v mm, %d kept, %d beyond help", lowered, float64(most), kept, beyond)
	}
	r := mustRig(t, marginBuilds()["typical"])
	for mm, want := range map[float64]gearing.MM{2.5: 2.5, 2.51: 2.6, 2.59: 2.6} {
		moved := r.lowered(mm)
		if got := moved.Derailleur.Lowered; math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("%v mm are rounded to %v", mm, got)
		}
	}
}

// opens tells the truth about the whole range of the screw: somewhere in it both
// chains leave the gap its target or more.
func TestOpensAgainstScan(t *testing.T) {
	yes, no := 0, 0
	for name, b := range map[string]gearing.Build{"typical": marginBuilds()["typical"], "measured": marginBuilds()["measured"], "fouled": fouled(), "stops": marginBuilds()["stops"]} {
		r := mustRig(t, b)
		n := r.leastFor(r.gears, 0)
		for _, target := range []float64{3, 6, 9, 12, 15, 18, 24, 40} {
			r.target = target
			want := true
			for _, chain := range []float64{n, n + longerChain} {
				widest := math.Inf(-1)
				for k := -40; k <= 40; k++ {
					if gap, _, ok := r.gapAt(&r.gears[r.reference], chain, r.screw*float64(k)/40, middleAngle); ok {
						widest = max(widest, gap)
					}
				}
				want = want && widest >= target
			}
			if got := r.opens(n); got != want {
				t.Errorf("%s, %v mm: %v, a scan says %v", name, target, got, want)
			}
			if want {
				yes++
			} else {
				no++
			}
		}
	}
	if yes < 5 || no < 5 {
		t.Errorf("%d open, %d do not", yes, no)
	}
}
