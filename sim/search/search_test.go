package search

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"cagewise/gearing"
	"cagewise/sim"
)

// base is the bike that parts are looked for (invented).
func base() gearing.Build {
	return gearing.Build{
		Frame: gearing.Frame{Chainstay: 440, BottomBracketDrop: 70}, Wheel: gearing.Wheel{MeasuredRollOut: 2150},
		Rings: []gearing.Teeth{40}, Cogs: []gearing.Teeth{11, 28},
	}
}

// randomBin draws a bin of at most most combinations.
func randomBin(rng *rand.Rand, most float64) gearing.PartsBin {
	for {
		if b := drawBin(rng); b.Combinations() <= most {
			return b
		}
	}
}

func drawBin(rng *rand.Rand) gearing.PartsBin {
	var b gearing.PartsBin
	price := func() gearing.BinPart {
		return gearing.BinPart{Price: float64(rng.IntN(8)) * 12.5, OnHand: rng.IntN(4) == 0, Unavailable: rng.IntN(12) == 0}
	}
	for range 1 + rng.IntN(8) {
		b.RingSets = append(b.RingSets, gearing.BinRings{BinPart: price(), Teeth: drawTeeth(rng, 1+rng.IntN(3), 22, 50)})
	}
	for range 1 + rng.IntN(9) {
		b.Cassettes = append(b.Cassettes, gearing.BinCassette{BinPart: price(), Teeth: drawTeeth(rng, 6+rng.IntN(7), 11, 42)})
	}
	for range 1 + rng.IntN(6) {
		b.Derailleurs = append(b.Derailleurs, gearing.BinDerailleur{BinPart: price(), Rear: drawRear(rng)})
	}
	for range rng.IntN(6) {
		b.Chains = append(b.Chains, gearing.BinChain{BinPart: price(), Pitches: 104 + 2*rng.IntN(11)})
	}
	for range rng.IntN(3) {
		b.Extenders = append(b.Extenders, gearing.BinExtender{BinPart: price(), Below: gearing.MM(5 + rng.IntN(25)), Behind: gearing.MM(rng.IntN(5))})
	}
	for range rng.IntN(5) {
		b.Wheels = append(b.Wheels, gearing.BinWheel{BinPart: price(), Wheel: gearing.Wheel{MeasuredRollOut: gearing.MM(1900 + 50*rng.IntN(8))}})
	}
	return b
}

func drawTeeth(rng *rand.Rand, n, low, high int) []gearing.Teeth {
	all := rng.Perm(high - low + 1)[:n]
	teeth := make([]gearing.Teeth, n)
	for i, t := range all {
		teeth[i] = gearing.Teeth(low + t)
	}
	return gearing.SortTeeth(teeth)
}

func drawRear(rng *rand.Rand) gearing.RearDerailleur {
	r := gearing.RearDerailleur{RatedCapacity: gearing.Teeth(28 + rng.IntN(22)), LargestCog: gearing.Teeth(28 + rng.IntN(20))}
	if rng.IntN(6) > 0 {
		r.PulleyCentres = gearing.MM(55 + 5*rng.IntN(10))
	}
	return r
}

func drawWishes(rng *rand.Rand) Wishes {
	w := Wishes{LostGears: rng.IntN(6) - 1, OverCapacity: gearing.Teeth(rng.IntN(12) - 1), OverCog: gearing.Teeth(rng.IntN(12) - 1)}
	if rng.IntN(3) == 0 {
		w.Lowest = gearing.Metres(1.6 + rng.Float64()*1.5)
	}
	if rng.IntN(3) == 0 {
		w.Highest = gearing.Metres(4 + rng.Float64()*4)
	}
	if rng.IntN(3) == 0 {
		w.LargestStep = gearing.Percent(20 + rng.IntN(60))
	}
	if rng.IntN(3) == 0 {
		w.HasBudget, w.Budget = true, float64(50+rng.IntN(300))
	}
	w.OnHandOnly = rng.IntN(8) == 0
	return w
}

// block names what all chains and wheels share.
type blockKey struct{ i, j, k, e int }

// brute puts combinations together one by one, without any bound. Two that differ
// in chain and wheel alone share nothing but the memo of the same call.
type brute struct {
	bike   gearing.Build
	bin    gearing.PartsBin
	wishes Wishes
	like   map[int]*sim.Rig // one with each derailleur
}

// verdict is what one simulation says.
type verdict struct {
	yes    bool
	length int
	lost   []bool
	counts int // of the lost, that are held against a wish
	margin float64
	advice sim.Advice // of a close look
}

func glance(r *sim.Rig) verdict {
	q := r.Quick()
	return verdict{q.Verdict.Yes(), q.Length, q.Lost, q.Surely, q.Margin, sim.Advice{}}
}

func closely(r *sim.Rig) verdict {
	a := r.Advise()
	v := verdict{a.Verdict.Yes(), a.Length, nil, len(a.Lost()), r.Margin(&a), a}
	for i := range a.Gears {
		v.lost = append(v.lost, a.Gears[i].Lost)
	}
	return v
}

// bruteForce finds the best of all combinations at a glance, looks closely at them
// (where there are few, at all) and then at the next three, and begins anew with what that says, until there is
// nothing left to look at.
func bruteForce(bike gearing.Build, bin gearing.PartsBin, w Wishes, endless bool) []Found {
	if len(bin.Chains) == 0 && !endless {
		return []Found{} // nothing rides without a chain
	}
	f := brute{bike, bin, w, map[int]*sim.Rig{}}
	list, sure := oneABlock(f.all(glance, nil)), map[blockKey]bool{}
	few := len(list) <= fewEnough
	for {
		best := pareto(list)
		look := unsure(best, sure)
		if few {
			look = unsure(list, sure)
		}
		if len(look) == 0 {
			look = unsure(following(list, best), sure)
		}
		if len(look) == 0 {
			return best
		}
		for at := range look {
			sure[at] = true
		}
		list = slices.DeleteFunc(list, func(one Found) bool { return look[keyOf(one)] })
		list = append(list, oneABlock(f.all(closely, look))...)
		slices.SortFunc(list, func(a, b Found) int {
			if a.Choice.before(b.Choice) {
				return -1
			}
			return 1
		})
	}
}

func keyOf(f Found) blockKey { return blockKey{f.Rings, f.Cassette, f.Derailleur, f.Extender} }

// unsure are the blocks of some combinations that were not looked at closely.
func unsure(list []Found, sure map[blockKey]bool) map[blockKey]bool {
	look := map[blockKey]bool{}
	for _, one := range list {
		if at := keyOf(one); !sure[at] {
			look[at] = true
		}
	}
	return look
}

// following are the first three, the widest range first, that are not the best.
func following(list, best []Found) []Found {
	rest := slices.DeleteFunc(slices.Clone(list), func(one Found) bool {
		return slices.ContainsFunc(best, func(b Found) bool { return b.Choice == one.Choice })
	})
	sortFound(rest)
	return rest[:min(3, len(rest))]
}

// oneABlock keeps of combinations that differ in chain and wheel alone the best.
func oneABlock(all []Found) []Found {
	blocks := map[blockKey][]Found{}
	for _, one := range all {
		blocks[keyOf(one)] = append(blocks[keyOf(one)], one)
	}
	var list []Found
	for _, one := range all {
		if best := pareto(blocks[keyOf(one)]); best[0].Choice == one.Choice {
			list = append(list, one)
		}
	}
	return list
}

// all judges every combination, or those of some blocks.
func (f *brute) all(look func(*sim.Rig) verdict, only map[blockKey]bool) []Found {
	memo := map[blockKey]verdict{}
	var all []Found
	for i, rings := range f.bin.RingSets {
		for j, cassette := range f.bin.Cassettes {
			for k, d := range f.bin.Derailleurs {
				for e := -1; e < len(f.bin.Extenders); e++ {
					at := blockKey{i, j, k, e}
					if only != nil && !only[at] {
						continue
					}
					for c := min(0, len(f.bin.Chains)-1); c < len(f.bin.Chains); c++ {
						for v := min(0, len(f.bin.Wheels)-1); v < len(f.bin.Wheels); v++ {
							b := f.bike
							b.Rings, b.Cogs, b.Rear = rings.Teeth, cassette.Teeth, d.Rear
							b.Chain.Pitches, b.Chain.Elongation = 0, 0
							parts := []gearing.BinPart{rings.BinPart, cassette.BinPart, d.BinPart}
							if e >= 0 {
								b.Rear.Geometry.ExtenderBehind += f.bin.Extenders[e].Behind
								b.Rear.Geometry.ExtenderBelow += f.bin.Extenders[e].Below
								parts = append(parts, f.bin.Extenders[e].BinPart)
							}
							reach := math.MaxInt
							if c >= 0 {
								reach = f.bin.Chains[c].Pitches
								parts = append(parts, f.bin.Chains[c].BinPart)
							}
							if v >= 0 {
								b.Wheel = f.bin.Wheels[v].Wheel
								parts = append(parts, f.bin.Wheels[v].BinPart)
							}
							m, seen := memo[at]
							if !seen {
								if rig, err := f.like[k].For(b); err == nil {
									f.like[k] = rig
									m = look(rig)
								}
								memo[at] = m
							}
							if !m.yes || m.length > reach {
								continue
							}
							if one, ok := wished(b, f.wishes, &m, parts); ok {
								one.Choice = Choice{i, j, k, e, c, v}
								all = append(all, one)
							}
						}
					}
				}
			}
		}
	}
	return all
}

// wished holds one combination against the wishes.
func wished(b gearing.Build, w Wishes, v *verdict, parts []gearing.BinPart) (Found, bool) {
	t, err := gearing.NewTable(b, gearing.TableOptions{})
	if err != nil {
		return Found{}, false
	}
	a := &v.advice
	f := Found{
		Chain: v.length, Order: a.Order, Lost: a.Lost(), Doubtful: a.Doubtful(), Verdict: a.Verdict, Chance: a.Chance, Danger: a.LengthDanger,
		Knowledge: a.Knowledge, Advice: *a, Margin: gearing.Pitches(v.margin),
	}
	low, high := math.Inf(1), 0.0
	for i := range v.lost {
		if !v.lost[i] {
			low, high = min(low, t.Gears[i].Ratio), max(high, t.Gears[i].Ratio)
		}
	}
	for _, p := range parts {
		f.Price += p.Cost()
	}
	rollOut := float64(b.Wheel.RollOut())
	f.Range, f.Lowest, f.Highest = gearing.Percent(100*high/low), gearing.Metres(low*rollOut), gearing.Metres(high*rollOut)
	for i := 1; i < len(b.Cogs); i++ {
		f.LargestStep = max(f.LargestStep, gearing.StepPercent(float64(b.Cogs[i-1]), float64(b.Cogs[i])))
	}
	need := b.LargestRing() - b.SmallestRing() + b.LargestCog() - b.SmallestCog()
	bad := w.LostGears >= 0 && v.counts > w.LostGears ||
		w.Lowest > 0 && f.Lowest > w.Lowest || w.Highest > 0 && f.Highest < w.Highest ||
		w.LargestStep > 0 && f.LargestStep > w.LargestStep ||
		w.HasBudget && f.Price > w.Budget ||
		w.OverCapacity >= 0 && b.Rear.RatedCapacity > 0 && need > b.Rear.RatedCapacity+w.OverCapacity ||
		w.OverCog >= 0 && b.Rear.LargestCog > 0 && b.LargestCog() > b.Rear.LargestCog+w.OverCog
	return f, !bad
}

// pareto keeps what nothing beats, the earliest of equals, widest range first.
func pareto(all []Found) []Found {
	best := []Found{}
	for i := range all {
		beaten := false
		for j := range all {
			a, b := &all[j], &all[i]
			noWorse := a.Range >= b.Range && a.LargestStep <= b.LargestStep && a.Margin >= b.Margin && a.Price <= b.Price
			same := a.Range == b.Range && a.LargestStep == b.LargestStep && a.Margin == b.Margin && a.Price == b.Price
			if j != i && noWorse && (!same || j < i) { // all stands in the bin's order
				beaten = true
				break
			}
		}
		if !beaten {
			best = append(best, all[i])
		}
	}
	sortFound(best)
	return best
}

// sortFound sorts by range, step, margin and price; equals stay in their order.
func sortFound(list []Found) {
	slices.SortStableFunc(list, func(a, b Found) int {
		for _, d := range []float64{float64(b.Range - a.Range), float64(a.LargestStep - b.LargestStep), float64(b.Margin - a.Margin), a.Price - b.Price} {
			if d != 0 {
				return int(math.Copysign(1, d))
			}
		}
		return 0
	})
}

// Search and brute force find the identical set in the identical order, on 50
// random bins, whatever the number of workers.
func TestSearchIsExact(t *testing.T) {
	const seed = 11
	bins := 50
	if raceDetector {
		bins = 3
	}
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, seed))
	combinations, found, empty := 0.0, 0, 0
	for n := range bins {
		bin, w := randomBin(rng, 20000), drawWishes(rng)
		got, err := Run(context.Background(), base(), bin, w, Options{Workers: 1 + n%3})
		if errors.Is(err, ErrBin) {
			continue // nothing on hand, or a kind not to be had
		} else if err != nil {
			t.Fatal(err)
		}
		combinations += got.Combinations
		want := bruteForce(base(), got.Bin, w, len(bin.Chains) == 0 && !w.OnHandOnly)
		for i := range got.Best {
			checkShown(t, n, &got.Best[i], got.Bin)
			got.Best[i].cents = 0
		}
		if len(want) == 0 && len(got.Best) == 1 {
			continue // the nearest miss that a glance showed, and no miss by a close look
		}
		if !reflect.DeepEqual(got.Best, want) {
			t.Fatalf("bin %d, %+v:\nsearch %+v\nbrute  %+v", n, w, got.Best, want)
		}
		found += len(want)
		if len(want) == 0 {
			empty++
		}
		checkCounts(t, n, got)
	}
	t.Logf("%d bins, %.0f combinations, %d in the sets, %d sets empty", bins, combinations, found, empty)
	if !raceDetector && (found < 100 || empty < 3 || empty > 30) {
		t.Errorf("the bins prove little: %d found, %d empty", found, empty)
	}
}

// checkShown: what is shown is what every other command says of the build, made
// by itself.
func checkShown(t *testing.T, n int, f *Found, bin gearing.PartsBin) {
	t.Helper()
	b := base()
	b.Rings, b.Cogs, b.Rear = bin.RingSets[f.Rings].Teeth, bin.Cassettes[f.Cassette].Teeth, bin.Derailleurs[f.Derailleur].Rear
	b.Chain.Pitches = 0
	if f.Extender >= 0 {
		b.Rear.Geometry.ExtenderBehind += bin.Extenders[f.Extender].Behind
		b.Rear.Geometry.ExtenderBelow += bin.Extenders[f.Extender].Below
	}
	r, err := sim.NewRig(b)
	if err != nil {
		t.Fatal(err)
	}
	if a := r.Advise(); f.Chain != a.Length || f.Verdict != a.Verdict || f.Chance != a.Chance || !slices.Equal(f.Lost, a.Lost()) {
		t.Errorf("bin %d: shown %+v; a fit says %v, chance %v, chain %d, lost %v", n, f, a.Verdict, a.Chance, a.Length, a.Lost())
	}
}

// checkCounts: every combination is decided, and the reasons do not exceed them.
func checkCounts(t *testing.T, n int, r Result) {
	sum := 0.0
	for _, f := range r.FellOut {
		sum += f.Combinations
	}
	if r.Partial || r.Done != r.Combinations || sum > r.Combinations {
		t.Errorf("bin %d: %+v", n, r)
	}
	if m := r.Nearest; m != nil && len(m.Broken) == 0 {
		t.Errorf("bin %d: the nearest miss misses nothing: %+v", n, m)
	}
	if len(r.Best) > 0 && r.Nearest != nil {
		t.Errorf("bin %d: a nearest miss beside what was found", n)
	}
	for _, u := range r.RunnersUp {
		if slices.ContainsFunc(r.Best, func(f Found) bool { return f.Choice == u.Choice }) {
			t.Errorf("bin %d: a runner-up is in the set", n)
		}
	}
}

// The nearest miss is the one that is found when all combinations are looked at,
// where there are few enough: arithmetic only passes over what is farther off.
func TestNearestMiss(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 21))
	seen, bins := 0, 40
	if raceDetector {
		bins = 3
	}
	for range bins {
		bin, w := randomBin(rng, 3000), drawWishes(rng)
		r, err := Run(context.Background(), base(), bin, w, Options{})
		if err != nil || r.Nearest == nil {
			continue
		}
		seen++
		s, err := newSearch(base(), bin, w)
		if err != nil {
			t.Fatal(err)
		}
		list := s.nearBlocks(t.Context())
		var all []*near
		for i := range list {
			n := &list[i]
			n.block.pair, n.place = &n.pair, i
			teeth := n.least
			if !s.lookAt(n) {
				continue
			}
			if n.least.less(&teeth) {
				t.Errorf("%+v falls less short than arithmetic says: %+v", n, teeth)
			}
			all = append(all, n)
		}
		nearest := func() *near {
			return slices.MinFunc(all, func(a, b *near) int {
				if q := (queue{a, b}); q.Less(0, 1) {
					return -1
				}
				return 1
			})
		}
		for nearest().known < byClose {
			s.lookAt(nearest())
		}
		if want := nearest().miss; !reflect.DeepEqual(want, r.Nearest) {
			t.Errorf("nearest %+v, all combinations give %+v", r.Nearest, want)
		}
	}
	if !raceDetector && seen < 5 {
		t.Errorf("only %d bins", seen)
	}
}

// A search that is stopped says so at once, and what it has is sound.
func TestStopped(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	bin := bigBin(rng, 40, 60, 20)
	ctx, cancel := context.WithCancel(context.Background())
	time.AfterFunc(50*time.Millisecond, cancel)
	start := time.Now()
	r, err := Run(ctx, base(), bin, Wishes{LostGears: -1, OverCapacity: -1, OverCog: -1}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Partial || r.Done >= r.Combinations || r.Simulated == 0 {
		t.Errorf("%+v", r)
	}
	t.Logf("back %v after the stop", time.Since(start)-50*time.Millisecond)
}

func bigBin(rng *rand.Rand, rings, cassettes, derailleurs int) gearing.PartsBin {
	var b gearing.PartsBin
	for range rings {
		b.RingSets = append(b.RingSets, gearing.BinRings{BinPart: gearing.BinPart{Price: float64(20 + rng.IntN(100))}, Teeth: drawTeeth(rng, 1+rng.IntN(3), 22, 50)})
	}
	for range cassettes {
		b.Cassettes = append(b.Cassettes, gearing.BinCassette{BinPart: gearing.BinPart{Price: float64(20 + rng.IntN(100))}, Teeth: drawTeeth(rng, 9+rng.IntN(4), 11, 46)})
	}
	for range derailleurs {
		r := drawRear(rng)
		r.PulleyCentres = gearing.MM(60 + rng.IntN(40))
		b.Derailleurs = append(b.Derailleurs, gearing.BinDerailleur{BinPart: gearing.BinPart{Price: float64(20 + rng.IntN(150))}, Rear: r})
	}
	return b
}

// Whatever the number of workers, every word of the result is the same.
// workersBins is how many bins are searched by every number of workers.
const workersBins = 2

func TestWorkersChangeNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range workersBins {
		bin, w := randomBin(rng, 20000), Wishes{LostGears: -1, OverCapacity: -1, OverCog: -1}
		var first Result
		for k := range 8 {
			r, err := Run(context.Background(), base(), bin, w, Options{Workers: 1 + k})
			if errors.Is(err, ErrBin) {
				break
			} else if err != nil {
				t.Fatal(err)
			}
			if k == 0 {
				first = r
			} else if !reflect.DeepEqual(r, first) {
				t.Fatalf("%d workers find something else", 1+k)
			}
		}
	}
}

// The chain on the bike costs nothing and is as long as it is.
func TestOwnChain(t *testing.T) {
	bin := gearing.PartsBin{
		RingSets:    []gearing.BinRings{{Teeth: []gearing.Teeth{30, 46}}},
		Cassettes:   []gearing.BinCassette{{Teeth: []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28}}},
		Derailleurs: []gearing.BinDerailleur{{Rear: gearing.RearDerailleur{PulleyCentres: 75}}},
		Chains:      []gearing.BinChain{{BinPart: gearing.BinPart{Price: 20}, Pitches: 116}},
	}
	bike := base()
	for _, c := range []struct{ pitches, want int }{{0, 20}, {100, 20}, {116, 0}} {
		bike.Chain.Pitches = c.pitches
		r, err := Run(context.Background(), bike, bin, anyWishes, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Best) != 1 || r.Best[0].Price != float64(c.want) {
			t.Errorf("own chain of %d: %+v", c.pitches, r.Best)
		}
	}
	for i := range bin.RingSets {
		bin.RingSets[i].OnHand, bin.Cassettes[i].OnHand, bin.Derailleurs[i].OnHand = true, true, true
	}
	bike.Chain.Pitches = 100
	r, err := Run(context.Background(), bike, bin, Wishes{LostGears: -1, OverCapacity: -1, OverCog: -1, OnHandOnly: true}, Options{})
	if err != nil || len(r.Best) != 0 || len(r.FellOut) != 1 || r.FellOut[0].Reason != ChainShort {
		t.Errorf("on hand with a short chain: %+v %v", r, err)
	}
}

func TestNothingWorks(t *testing.T) {
	bin := gearing.PartsBin{
		RingSets:    []gearing.BinRings{{Teeth: []gearing.Teeth{34, 50}}},
		Cassettes:   []gearing.BinCassette{{Teeth: []gearing.Teeth{11, 12, 13, 15, 17, 19, 21, 24, 28}}, {Teeth: []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32}}},
		Derailleurs: []gearing.BinDerailleur{{Rear: gearing.RearDerailleur{PulleyCentres: 75}}},
	}
	r, err := Run(context.Background(), base(), bin, Wishes{Lowest: 1.8, LostGears: 0, OverCapacity: -1, OverCog: -1}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Best) != 0 || r.Nearest == nil || r.Nearest.Cassette != 1 || !slices.Contains(r.Nearest.Broken, TooHigh) || !r.Nearest.Works {
		t.Errorf("%+v %+v", r.Best, r.Nearest)
	}
}

func TestRefusals(t *testing.T) {
	bin := bigBin(rand.New(rand.NewPCG(1, 1)), 2, 2, 2)
	bike := base()
	for _, c := range []struct {
		name string
		bike gearing.Build
		bin  gearing.PartsBin
		w    Wishes
		want error
	}{
		{"no chainstay", gearing.Build{}, bin, Wishes{}, gearing.ErrNoChainstay},
		{"empty bin", bike, gearing.PartsBin{}, Wishes{}, ErrBin},
		{"no cassettes", bike, gearing.PartsBin{RingSets: bin.RingSets, Derailleurs: bin.Derailleurs}, Wishes{}, ErrBin},
		{"nothing on hand", bike, bin, Wishes{OnHandOnly: true}, ErrBin},
		{"contradiction", bike, bin, Wishes{Lowest: 5, Highest: 4}, ErrWishes},
		{"not a number", bike, bin, Wishes{Lowest: gearing.Metres(math.NaN())}, ErrWishes},
		{"budget", bike, bin, Wishes{HasBudget: true, Budget: -1}, ErrWishes},
		{"price", bike, gearing.PartsBin{RingSets: []gearing.BinRings{{BinPart: gearing.BinPart{Price: math.NaN()}, Teeth: []gearing.Teeth{40}}}, Cassettes: bin.Cassettes, Derailleurs: bin.Derailleurs}, Wishes{}, ErrBin},
		{"teeth", bike, gearing.PartsBin{RingSets: []gearing.BinRings{{Teeth: []gearing.Teeth{3}}}, Cassettes: bin.Cassettes, Derailleurs: bin.Derailleurs}, Wishes{}, ErrBin},
	} {
		if _, err := Run(context.Background(), c.bike, c.bin, c.w, Options{}); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// What a glance leaves out is little: of the set that a close look at every
// combination gives nearly all is found.
func TestAgainstCloseLooks(t *testing.T) {
	if raceDetector {
		t.Skip("a close look at thousands")
	}
	rng := rand.New(rand.NewPCG(77, 77))
	want, found, same := 0, 0, 0
	for bins := 0; bins < 12; {
		bin, w := randomBin(rng, 2000), drawWishes(rng)
		for i := range bin.Cassettes {
			bin.Cassettes[i].Teeth = soldCassette(rng)
		}
		if len(bin.RingSets)*len(bin.Cassettes)*len(bin.Derailleurs)*(1+len(bin.Extenders)) > 120 || w.OnHandOnly {
			continue
		}
		r, err := Run(t.Context(), base(), bin, w, Options{})
		if errors.Is(err, ErrBin) {
			continue
		} else if err != nil {
			t.Fatal(err)
		}
		if len(r.Bin.Chains) == 0 {
			continue // all are sold out
		}
		bins++
		f := brute{base(), r.Bin, w, map[int]*sim.Rig{}}
		all := pareto(oneABlock(f.all(closely, nil)))
		for _, one := range r.Best {
			if slices.ContainsFunc(all, func(other Found) bool { return other.Choice == one.Choice }) {
				same++
			}
		}
		want, found = want+len(all), found+len(r.Best)
	}
	t.Logf("%d in the sets, %d found, %d in both", want, found, same)
	if want < 30 || same*100 < want*85 || same*100 < found*85 {
		t.Errorf("of %d in the sets %d are found, among %d", want, same, found)
	}
}
