package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// anyWishes ask nothing.
var anyWishes = Wishes{LostGears: -1, OverCapacity: -1, OverCog: -1}

// wideBin has rings x cassettes x derailleurs x (1 + 3 extenders) x 20 chains x
// 8 wheels combinations of parts as they are sold (invented).
func wideBin(rings, cassettes, derailleurs int) gearing.PartsBin {
	rng := rand.New(rand.NewPCG(3, 3))
	b := bigBin(rng, rings, cassettes, derailleurs)
	for i := range b.Cassettes {
		b.Cassettes[i].Teeth = soldCassette(rng)
	}
	for k := range 3 {
		b.Extenders = append(b.Extenders, gearing.BinExtender{BinPart: gearing.BinPart{Price: 15}, Below: gearing.MM(10 + 7*k)})
	}
	for k := range 20 {
		b.Chains = append(b.Chains, gearing.BinChain{BinPart: gearing.BinPart{Price: float64(18 + k)}, Pitches: 110 + 2*k})
	}
	for k := range 8 {
		b.Wheels = append(b.Wheels, gearing.BinWheel{BinPart: gearing.BinPart{Price: float64(100 + 10*k)}, Wheel: gearing.Wheel{MeasuredRollOut: gearing.MM(1980 + 30*k)}})
	}
	return b
}

// soldCassette grows from the smallest cog by even steps with some play.
func soldCassette(rng *rand.Rand) []gearing.Teeth {
	n, last := 8+rng.IntN(5), 24+rng.IntN(28)
	first := 10 + rng.IntN(3)
	teeth := []gearing.Teeth{gearing.Teeth(first)}
	for k := 1; k < n; k++ {
		share := float64(k) / float64(n-1)
		t := gearing.Teeth(float64(first)*math.Pow(float64(last)/float64(first), share) + rng.Float64())
		if t > teeth[len(teeth)-1] {
			teeth = append(teeth, t)
		}
	}
	return teeth
}

// Combinations through the arithmetic bounds: every block is looked at and
// refused by a rating. At least 20 million a second.
func BenchmarkBounds(b *testing.B) {
	bin := wideBin(60, 120, 22)
	for i := range bin.Derailleurs {
		bin.Derailleurs[i].Rear.RatedCapacity = 1
	}
	w := anyWishes
	w.OverCapacity = 0
	r := run(b, bin, w, 0)
	seconds := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(r.Combinations/seconds/1e6, "Mcombinations/s")
	b.ReportMetric(r.Combinations/160/seconds/1e6, "Mblocks/s")
}

// Blocks judged at a glance, chain chosen, and the best of them looked at closely:
// every block of a bin of parts that mostly do not go together. Some 2,000 glances
// a second a core here and 4,000 where most work: each sets the B-screw of up to 16
// geometries for up to five chains.
func BenchmarkFits(b *testing.B) {
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprint(workers), func(b *testing.B) {
			r := run(b, wideBin(10, 20, 10), anyWishes, workers)
			b.ReportMetric(float64(r.Simulated)*float64(b.N)/b.Elapsed().Seconds(), "fits/s")
		})
	}
}

// The cost a combination from 10^4 to 10^8 with the same wishes.
func BenchmarkBySize(b *testing.B) {
	w := Wishes{Lowest: 1.5, Highest: 7.5, LargestStep: 22, LostGears: 0, OverCapacity: 4, OverCog: 4}
	for _, c := range []struct {
		name                          string
		rings, cassettes, derailleurs int
	}{
		{"1e4", 2, 4, 2}, {"1e5", 5, 8, 4}, {"1e6", 10, 20, 8}, {"1e7", 25, 40, 16}, {"1e8", 60, 120, 22},
	} {
		b.Run(c.name, func(b *testing.B) {
			r := run(b, wideBin(c.rings, c.cassettes, c.derailleurs), w, 0)
			b.ReportMetric(r.Combinations, "combinations")
			b.ReportMetric(float64(r.Simulated), "fits")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/r.Combinations, "ns/combination")
		})
	}
}

// Against plain brute force on one bin.
func BenchmarkAgainstBruteForce(b *testing.B) {
	bin := randomBin(rand.New(rand.NewPCG(9, 9)), 20000)
	w := Wishes{Lowest: 2.5, LostGears: 0, OverCapacity: -1, OverCog: -1}
	b.Run("search", func(b *testing.B) { run(b, bin, w, 0) })
	b.Run("brute", func(b *testing.B) {
		for b.Loop() {
			bruteForce(base(), bin.Available(), w, true)
		}
	})
}

func run(b *testing.B, bin gearing.PartsBin, w Wishes, workers int) Result {
	b.Helper()
	b.ReportAllocs()
	var r Result
	var err error
	for b.Loop() {
		if r, err = Run(context.Background(), base(), bin, w, Options{Workers: workers}); err != nil {
			b.Fatal(err)
		}
	}
	return r
}
