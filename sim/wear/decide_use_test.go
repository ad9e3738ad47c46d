package wear

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// A short ride says nothing of the cogs it did not touch: its shares count by
// its distance beside that of the default, km/(km + 200).
func TestShortRideCountsLittle(t *testing.T) {
	cogs := []gearing.Teeth{11, 17, 28}
	usual := defaultShares(cogs)
	for _, c := range []struct{ km, seen float64 }{{0, 1}, {2, 2.0 / 202}, {200, 0.5}, {1800, 0.9}} {
		d := decider{cassette: &gearing.WearPart{Teeth: cogs}, in: DecideInput{
			Usage: []CogUsage{{17, 25}, {28, 75}}, UsageKM: c.km,
		}}
		got, isDefault := d.useShares()
		for i, ridden := range []float64{0, 0.25, 0.75} {
			if want := c.seen*ridden + (1-c.seen)*usual[i]; math.Abs(got[i]-want) > 1e-12 || isDefault {
				t.Errorf("%v km, cog %d: %.4f, want %.4f", c.km, cogs[i], got[i], want)
			}
		}
	}
	for _, km := range []float64{-1, math.Inf(1), math.NaN()} {
		if err := (DecideInput{UsageKM: km}).check(); err == nil {
			t.Errorf("%v km: no error", km)
		}
	}
}
