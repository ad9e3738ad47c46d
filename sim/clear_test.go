package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// Where the guide pulley stands in the cog the way out, either way, is the first
// angle at which the teeth are clear on the working branch and the lower run is
// clear of the guide pulley, against a walk in small steps; there may be none.
func TestClearOfCogAgainstWalk(t *testing.T) {
	rng := rand.New(rand.NewPCG(20261303, 1))
	found, none := [2]int{}, [2]int{}
	for i := range 500 {
		r, err := newReference(strange(rng, i))
		if err != nil {
			continue
		}
		tr := &r.gears[r.reference].train
		for _, from := range []float64{-2, middleAngle, -1} {
			if !tr.inCog(from) {
				continue
			}
			for k, end := range [...]float64{frontMost, rearMost} {
				got, p, ok := r.clearOfCog(tr, from, end)
				want, clear := walked(r, tr, from, end)
				if ok && p != tr.at(got) || ok && clear && (math.Abs(got-want) > clearStep+walkStep || math.Abs(got-from) < math.Abs(want-from)-walkStep-1e-6) {
					t.Errorf("%d: clear at %.4f, %v; a walk to %.1f finds %.4f, %v", i, got, ok, end, want, clear)
				}
				if ok != clear && isFree(r, tr, want+math.Copysign(clearStep, end-from)) {
					t.Errorf("%d: clear at %.4f, %v; a walk to %.1f finds %.4f, %v, and wider than a step", i, got, ok, end, want, clear)
				}
				if ok {
					found[k]++
				} else {
					none[k]++
				}
			}
		}
	}
	if min(found[0], none[0], found[1], none[1]) < 10 {
		t.Errorf("%d ways out, %d without", found, none)
	}
}

const walkStep = 5e-4

// walked goes from an angle towards an end to the first that is free.
func walked(r *Rig, t *train, from, end float64) (at float64, free bool) {
	step := math.Copysign(walkStep, end-from)
	for at = from; (end-at)*step >= 0; at += step {
		if isFree(r, t, at) {
			return at, true
		}
	}
	return at, false
}

// isFree tells whether the cage may stand at an angle: the path shortens going
// forward and nothing touches.
func isFree(r *Rig, t *train, at float64) bool {
	p := t.at(at)
	return p.ok && p.slope < 0 && p.guide.length() > t.contact && p.runClearance(t.tension.radius) > t.guide.radius+r.plate
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
