package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// Where the guide pulley stands in the cog the way out is the first angle going
// forward at which the teeth are clear on the working branch, against a walk in
// small steps; there may be none.
func TestClearOfCogAgainstWalk(t *testing.T) {
	found, none := 0, 0
	for x := gearing.MM(-20); x <= 30; x += 10 {
		for y := gearing.MM(-60); y >= -90; y -= 5 {
			for _, guide := range []gearing.MM{8, 14, 20} {
				b := marginBuilds()["measured"]
				b.Rear.Geometry.PivotLargeX, b.Rear.Geometry.PivotLargeY, b.Rear.Geometry.PivotToGuide = x, y, guide
				r, err := NewRig(b)
				if err != nil {
					t.Fatal(err)
				}
				tr := &r.gears[r.reference].train
				for _, from := range []float64{-2, middleAngle, -1} {
					if tr.pivot.add(tr.toGuide.rotated(math.Sincos(from))).length() > tr.contact {
						continue
					}
					got, p, ok := tr.clearOfCog(from, frontMost)
					want, clear := 0.0, false
					const step = 5e-4
					for at := from; at <= frontMost && !clear; at += step {
						q := tr.at(at)
						want, clear = at, q.ok && q.slope < 0 && q.guide.length() > tr.contact
					}
					if ok != clear || ok && (got < want-step-1e-9 || got > want+clearStep+step) || ok && p != tr.at(got) {
						t.Errorf("pivot %v, %v, %v: clear at %.4f, %v; a walk finds %.4f, %v", x, y, guide, got, ok, want, clear)
					}
					if ok {
						found++
					} else {
						none++
					}
				}
			}
		}
	}
	if found < 10 || none < 10 {
		t.Errorf("%d ways out, %d without", found, none)
	}
}

// A chain worn by 2 % sits 2 % further out on every wheel, and the hanger of most
// frames hangs 9 mm behind and 28 under the axle (from memory).
func TestWornTrain(t *testing.T) {
	b := classBuild("medium", 430, 70, []gearing.Teeth{46}, []gearing.Teeth{11, 36})
	b.Chain.Elongation = 2
	d, err := NewDerailleur(b)
	if err != nil {
		t.Fatal(err)
	}
	if d.Hanger != (Point{-9, -28}) {
		t.Errorf("hanger bolt at %v", d.Hanger)
	}
	tr, err := d.newTrain(b, 46, 36, 1, 0)
	if err != nil {
		t.Fatal(err)
	}
	for n, w := range map[gearing.Teeth]wheel{46: tr.ring, 36: tr.cog, 11: tr.guide} {
		if math.Abs(w.radius-1.02*float64(n.Radius())) > 1e-9 || math.Abs(w.perRadian-1.02*float64(n)/(2*math.Pi)) > 1e-9 {
			t.Errorf("%d teeth: %+v", n, w)
		}
	}
}

// Where every gear is lost none is ridden.
func TestNoCruise(t *testing.T) {
	o := compared(t, CompareOptions{}, ride([]gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15})).Options[0]
	for i := range o.Table.Gears {
		o.Table.Gears[i].Lost = true
	}
	if got := o.cruise(&Comparison{CruiseKmH: 25, Cadence: 90, Hole: 15}); got != (Cruise{}) {
		t.Errorf("%+v", got)
	}
}
