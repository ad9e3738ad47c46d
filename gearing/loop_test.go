package gearing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// rigidLoop closes a chain of rigid links round two regular polygons: it lays
// pins on both polygons, joins them by straight runs and counts pitches,
// averaged over the tooth phase. It shares nothing with NewLoop but the teeth.
// The taut path round the pins is their convex hull, found by gift wrapping.
func rigidLoop(ring, cog int, centre float64) float64 {
	const phases = 24
	sum := 0.0
	for k := range phases {
		pins := append(polygon(ring, 0, float64(k)/phases), polygon(cog, centre, float64(k*7%phases)/phases)...)
		sum += hullLength(pins)
	}
	return sum / phases
}

// polygon is n pins a pitch apart, the phase in pitches; lengths in pitches.
func polygon(n int, x, phase float64) [][2]float64 {
	r := 0.5 / math.Sin(math.Pi/float64(n))
	pins := make([][2]float64, n)
	for i := range pins {
		a := 2 * math.Pi * (float64(i) + phase) / float64(n)
		pins[i] = [2]float64{x + r*math.Cos(a), r * math.Sin(a)}
	}
	return pins
}

func hullLength(pins [][2]float64) float64 {
	start := 0
	for i, p := range pins {
		if p[0] < pins[start][0] {
			start = i
		}
	}
	length, at := 0.0, start
	for {
		next := (at + 1) % len(pins)
		for i := range pins {
			a, b, c := pins[at], pins[next], pins[i]
			cross := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
			if cross < -1e-12 {
				next = i
			}
		}
		length += math.Hypot(pins[next][0]-pins[at][0], pins[next][1]-pins[at][1])
		if at = next; at == start {
			return length
		}
	}
}

// The independent figures of a rigid-link calculation (published with the
// model, mean over the tooth phase): 97.1385, 108.7948, 85.3833, 72.4423.
func TestLoopAgainstRigidLinks(t *testing.T) {
	tests := []struct {
		ring, cog Teeth
		centre    float64 // pitches
		want      float64 // 0: from rigidLoop
	}{
		{46, 11, 33.86, 97.1385}, {46, 36, 33.86, 108.7948}, {30, 11, 32.3, 85.3833}, {50, 11, 20, 72.4423},
		{46, 11, 33.86, 0}, {32, 51, 34.6, 0}, {22, 36, 35, 0}, {53, 12, 32, 0},
	}
	for _, tt := range tests {
		want, tol := tt.want, 0.0001
		if want == 0 {
			want, tol = rigidLoop(int(tt.ring), int(tt.cog), tt.centre), 0.01
		}
		l, err := NewLoop(tt.ring, tt.cog, MM(tt.centre)*Pitch)
		if err != nil || !near(float64(l.Length), want, tol) {
			t.Errorf("%s at %v: %.4f, want %.4f (%v)", GearName(tt.ring, tt.cog), tt.centre, l.Length, want, err)
		}
	}
}

func TestLoopProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ring := Teeth(rapid.IntRange(8, 80).Draw(t, "ring"))
		cog := Teeth(rapid.IntRange(8, 80).Draw(t, "cog"))
		c := MM(rapid.Float64Range(350, 1200).Draw(t, "centre"))
		l, err := NewLoop(ring, cog, c)
		if err != nil {
			t.Fatal(err)
		}
		back, err := NewLoop(cog, ring, c)
		if err != nil || !near(float64(back.Length), float64(l.Length), 1e-9) {
			t.Fatalf("swapped wheels: %v, %v", back.Length, l.Length)
		}
		longer, err := NewLoop(ring, cog, c+1)
		if err != nil || longer.Length <= l.Length {
			t.Fatal("the loop does not grow with the distance")
		}
		if ring == cog && !near(float64(l.Length), float64(2*c.Pitches())+float64(ring), 1e-9) {
			t.Fatal("equal wheels: not 2C + N")
		}
		if h := HandbookLength(ring, cog, c.Pitches()); !near(float64(h), float64(l.Length), 0.12) {
			t.Fatalf("handbook %.4f, exact %.4f", h, l.Length)
		}
	})
}

func TestLoopRefuses(t *testing.T) {
	for _, c := range []MM{0, -430, 20, MM(math.NaN())} {
		if _, err := NewLoop(46, 36, c); err == nil {
			t.Errorf("wheels %v mm apart were accepted", c)
		}
	}
}
