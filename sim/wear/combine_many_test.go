package wear

import (
	"fmt"
	"testing"
	"time"

	"cagewise/gearing"
)

// many is a log of n readings: half of them at one distance that is higher than
// all later ones, or of three readings a chain.
func many(n int, chains bool) gearing.WearLog {
	log := gearing.WearLog{}
	add := func(id string, km, e float64) {
		log.Readings = append(log.Readings, gearing.WearReading{Part: id, KM: km, Method: gearing.MethodRule, Pitches: 24, Length: gearing.MM(304.8 * (1 + e/100))})
	}
	if !chains {
		log.Parts = []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, FittedKM: -1, RemovedKM: -1}}
		for i := range n / 2 {
			add("c", 100, 2)
			add("c", 200+21*float64(i), 0.5)
		}
		return log
	}
	for i := range n / 3 {
		id := fmt.Sprint("c", i)
		log.Parts = append(log.Parts, gearing.WearPart{ID: id, Kind: gearing.PartChain, RemovedKM: -1})
		for k := range 3 {
			add(id, 100+500*float64(k), 0.1+0.1*float64(k))
		}
	}
	return log
}

// Time grows with the number of readings, not with its square; figures are logged,
// as a timing is never a test, but a square would take minutes.
func TestTimeIsLinear(t *testing.T) {
	for n, chains := range map[int]bool{32000: false, 3000: true} { // a forecast takes about a millisecond
		log := many(n, chains)
		start := time.Now()
		if _, err := Analyse(log); err != nil {
			t.Fatal(err)
		}
		t.Logf("%d readings of %d chains: %v", len(log.Readings), len(log.Parts), time.Since(start))
	}
}
