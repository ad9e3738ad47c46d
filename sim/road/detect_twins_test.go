package road

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// rounded rides gears of one ring at steady cadences; speeds are rounded to 0.1
// km/h and cadences to whole turns, and nothing else is wrong with them.
type rounded struct {
	table gearing.Table
	ring  gearing.Teeth
	list  []Sample
}

func (r *rounded) ride(t *testing.T, cog gearing.Teeth, cadence float64, seconds int) {
	t.Helper()
	g, ok := r.table.Gear(r.ring, cog)
	if !ok {
		t.Fatalf("no gear %dx%d", r.ring, cog)
	}
	speed := math.Round(float64(g.Development)*cadence/60*36) / 36
	for range seconds {
		r.list = append(r.list, Sample{Seconds: float64(len(r.list)), Speed: speed, Cadence: math.Round(cadence), Power: 150})
	}
}

// Three hundred equal roundings are no three hundred proofs: a rider who goes on
// evenly in a gear with a duplicate 0.6 % or 1.1 % away stays on his ring, at
// whatever cadence.
func TestRoundingsDoNotChangeTheRing(t *testing.T) {
	double := tableOf(t, 2183, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36})
	road := tableOf(t, 2183, []gearing.Teeth{34, 50}, []gearing.Teeth{11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32})
	for _, c := range []struct {
		table           gearing.Table
		ring, cog, next gearing.Teeth
	}{
		{double, 30, 21, 24}, {double, 46, 32, 28}, {double, 46, 17, 19}, {road, 34, 22, 25}, {road, 50, 16, 18},
	} {
		for cadence := 60.0; cadence < 100; cadence += 2.3 {
			r := rounded{table: c.table, ring: c.ring}
			r.ride(t, c.next, 90, 240)
			r.ride(t, c.cog, cadence, 300)
			r.ride(t, c.next, 90, 240)
			moments, _ := detectAll(t, c.table, DetectOptions{}, r.list)
			for _, m := range moments {
				if g := c.table.Gears[max(m.Gear, 0)]; m.Gear < 0 || g.Ring != c.ring {
					t.Errorf("%dx%d at %.1f rpm was taken for gear %d, %s", c.ring, c.cog, cadence, m.Gear, g.Name())
					break
				}
			}
		}
	}
}
