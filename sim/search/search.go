package search

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"cagewise/gearing"
	"cagewise/sim"
)

// Options say how a search runs. They never change what a search that is left
// to its end finds.
type Options struct {
	Workers int // 0: one for each processor
	// Progress, when not nil, is called now and then with the combinations
	// decided; from one goroutine at a time.
	Progress func(done, of float64)
}

// search is one run, read-only once it is set up.
type search struct {
	base   gearing.Build
	bin    gearing.PartsBin
	wishes Wishes

	steps                       []gearing.Percent // of each cassette
	ringCents, cassetteCents    []cents
	derailleurCents             []cents
	extenderCents               []cents
	wheels                      []wheelChoice
	chains                      []chainChoice
	simulable                   []bool // of each derailleur: something is known of its cage
	like                        []likeRig
	smallestWheel, largestWheel float64
	cheapestRest                cents // of the cheapest wheel and chain
	budget                      cents
	anyChain                    bool    // no chain is known of: one has yet to be bought
	perBlock                    float64 // combinations of chain and wheel
}

// likeRig is a rig with one of the derailleurs, made when it is first asked for:
// what is known of the derailleur is worked out once. It is nil where the first
// wheels of the bin suit none.
type likeRig struct {
	once *sync.Once
	rig  *sim.Rig
}

func (s *search) likeOf(derailleur int) *sim.Rig {
	l := &s.like[derailleur]
	l.once.Do(func() {
		l.rig, _ = sim.NewRig(s.build(&block{pair: &pair{}, derailleur: derailleur, extender: -1}))
	})
	return l.rig
}

type wheelChoice struct {
	index   int
	rollOut float64 // m
	cents   cents
}

type chainChoice struct {
	index, pitches int
	cents          cents
}

// Run looks for the best of a bin on a base build, whose frame, chain lines,
// rider and, where the bin has none, wheel are taken. When ctx ends it stops at
// once with what it has, marked partial. It fails with ErrWishes, ErrBin, or
// gearing.ErrNoChainstay.
func Run(ctx context.Context, base gearing.Build, bin gearing.PartsBin, w Wishes, o Options) (Result, error) {
	s, err := newSearch(base, bin, w)
	if err != nil {
		return Result{}, err
	}
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	r := s.result(s.all(ctx, workers, o.Progress))
	if len(r.Best) == 0 && !r.Partial {
		s.miss(ctx, &r)
	}
	return r, nil
}

// all divides the pairs among workers and gathers what they find. The set of
// what is found does not depend on who finds it.
func (s *search) all(ctx context.Context, workers int, progress func(done, of float64)) tally {
	var next atomic.Int64
	pairs := int64(len(s.bin.RingSets) * len(s.bin.Cassettes))
	perPair := s.perPair()
	tallies := make([]tally, workers)
	var wg sync.WaitGroup
	stop := s.report(&next, pairs, perPair, progress)
	for k := range tallies {
		wg.Go(func() {
			t := &tallies[k]
			for ctx.Err() == nil {
				n := next.Add(1) - 1
				if n >= pairs {
					return
				}
				if !s.pair(ctx, int(n), t) {
					t.partial = true
					return
				}
			}
			t.partial = next.Load() < pairs
		})
	}
	wg.Wait()
	stop()
	var whole tally
	for k := range tallies {
		whole.add(&tallies[k])
	}
	return whole
}

// perPair is how many combinations a pair has.
func (s *search) perPair() float64 {
	return float64(len(s.bin.Derailleurs)) * float64(1+len(s.bin.Extenders)) * s.perBlock
}

// pair decides all combinations of one pair; false when it was stopped.
func (s *search) pair(ctx context.Context, n int, t *tally) bool {
	p := s.newPair(n/len(s.bin.Cassettes), n%len(s.bin.Cassettes))
	if why, bad := s.refused(&p); bad {
		t.fellOut[why] += s.perPair()
		t.done += s.perPair()
		return true
	}
	for k := range s.bin.Derailleurs {
		for e := -1; e < len(s.bin.Extenders); e++ {
			b := s.block(&p, k, e)
			if why, bad := s.refusedBlock(&b); bad {
				t.fellOut[why] += s.perBlock
				t.done += s.perBlock
				continue
			}
			if ctx.Err() != nil {
				return false
			}
			t.simulated++
			at, why, ok := s.judge(&b)
			if ok {
				t.found = append(t.found, at)
			} else {
				t.fellOut[why] += s.perBlock
			}
			t.done += s.perBlock
		}
	}
	return true
}

// judge looks at a block at a glance.
func (s *search) judge(b *block) (score, Reason, bool) {
	l, why, ok := s.glance(b)
	if !ok {
		return score{}, why, false
	}
	return s.choose(b, &l)
}

// ErrBin is wrapped when a bin cannot be searched.
var ErrBin = errors.New("parts bin")

func newSearch(base gearing.Build, bin gearing.PartsBin, w Wishes) (*search, error) {
	if err := w.Check(); err != nil {
		return nil, err
	}
	if base.Frame.Chainstay <= 0 {
		return nil, gearing.ErrNoChainstay
	}
	noChains := len(bin.Chains) == 0 && base.Chain.Pitches == 0
	bin = withOwnChain(bin.Available(), base.Chain)
	if w.OnHandOnly {
		bin = onHand(bin)
	}
	s := &search{base: base, bin: bin, wishes: w, budget: toCents(w.Budget), anyChain: noChains && !w.OnHandOnly}
	if err := s.checkBin(); err != nil {
		return nil, err
	}
	if err := s.price(); err != nil {
		return nil, err
	}
	for _, c := range bin.Cassettes {
		s.steps = append(s.steps, largestStep(c.Teeth))
	}
	for k := range bin.Derailleurs {
		_, err := sim.NewDerailleur(s.build(&block{pair: &pair{}, derailleur: k, extender: -1}))
		s.simulable, s.like = append(s.simulable, !errors.Is(err, sim.ErrNoGeometry)), append(s.like, likeRig{once: new(sync.Once)})
	}
	s.perBlock = float64(len(s.chains) * len(s.wheels))
	return s, s.checkBuilds()
}

// OwnChain names the chain that the build itself has.
const OwnChain = "the build's own"

// withOwnChain adds the chain that is on the bike to what can be had for
// nothing.
func withOwnChain(b gearing.PartsBin, c gearing.Chain) gearing.PartsBin {
	if c.Pitches > 0 {
		own := gearing.BinChain{BinPart: gearing.BinPart{Name: OwnChain, OnHand: true}, Pitches: c.Pitches}
		b.Chains = append(slices.Clone(b.Chains), own)
	}
	return b
}

// onHand is a bin without what would have to be bought. A kind that is only
// for sale and could be done without is then done without; a chain cannot.
func onHand(b gearing.PartsBin) gearing.PartsBin {
	b.RingSets = slices.DeleteFunc(slices.Clone(b.RingSets), func(p gearing.BinRings) bool { return !p.OnHand })
	b.Cassettes = slices.DeleteFunc(slices.Clone(b.Cassettes), func(p gearing.BinCassette) bool { return !p.OnHand })
	b.Derailleurs = slices.DeleteFunc(slices.Clone(b.Derailleurs), func(p gearing.BinDerailleur) bool { return !p.OnHand })
	b.Chains = slices.DeleteFunc(slices.Clone(b.Chains), func(p gearing.BinChain) bool { return !p.OnHand })
	b.Extenders = slices.DeleteFunc(slices.Clone(b.Extenders), func(p gearing.BinExtender) bool { return !p.OnHand })
	b.Wheels = slices.DeleteFunc(slices.Clone(b.Wheels), func(p gearing.BinWheel) bool { return !p.OnHand })
	return b
}

// checkBin asks for the kinds that nothing works without.
func (s *search) checkBin() error {
	for _, c := range []struct {
		what string
		n    int
	}{{"ring sets", len(s.bin.RingSets)}, {"cassettes", len(s.bin.Cassettes)}, {"rear derailleurs", len(s.bin.Derailleurs)}} {
		if c.n == 0 {
			return fmt.Errorf("%w: no %s to choose from", ErrBin, c.what)
		}
	}
	return nil
}

// checkBuilds refuses teeth and wheels that cannot be computed, before the
// search meets them one by one.
func (s *search) checkBuilds() error {
	for i, r := range s.bin.RingSets {
		bike := s.base
		bike.Rings, bike.Cogs, bike.Rear = r.Teeth, s.bin.Cassettes[0].Teeth, gearing.RearDerailleur{}
		if err := bike.Check(); err != nil {
			return fmt.Errorf("%w: rings %q (%d): %w", ErrBin, r.Name, i+1, err)
		}
	}
	for i, c := range s.bin.Cassettes {
		bike := s.base
		bike.Rings, bike.Cogs, bike.Rear = s.bin.RingSets[0].Teeth, c.Teeth, gearing.RearDerailleur{}
		if err := bike.Check(); err != nil {
			return fmt.Errorf("%w: cassette %q (%d): %w", ErrBin, c.Name, i+1, err)
		}
	}
	return nil
}

// price counts every part in hundredths. Where the bin has no chains or wheels
// there is one choice of each that costs nothing.
func (s *search) price() error {
	cost := func(kind string, p gearing.BinPart) (cents, error) {
		if c := p.Cost(); !(c >= 0 && c <= mostMoney) {
			return 0, fmt.Errorf("%w: %s %q costs %v; allowed: 0 to %v", ErrBin, kind, p.Name, c, mostMoney)
		}
		return toCents(p.Cost()), nil
	}
	var err error
	each := func(kind string, p gearing.BinPart, add func(cents)) {
		c, e := cost(kind, p)
		if e != nil && err == nil {
			err = e
		}
		add(c)
	}
	for _, p := range s.bin.RingSets {
		each("rings", p.BinPart, func(c cents) { s.ringCents = append(s.ringCents, c) })
	}
	for _, p := range s.bin.Cassettes {
		each("cassette", p.BinPart, func(c cents) { s.cassetteCents = append(s.cassetteCents, c) })
	}
	for _, p := range s.bin.Derailleurs {
		each("rear derailleur", p.BinPart, func(c cents) { s.derailleurCents = append(s.derailleurCents, c) })
	}
	for _, p := range s.bin.Extenders {
		each("extender", p.BinPart, func(c cents) { s.extenderCents = append(s.extenderCents, c) })
	}
	for i, p := range s.bin.Chains {
		each("chain", p.BinPart, func(c cents) { s.chains = append(s.chains, chainChoice{i, p.Pitches, c}) })
	}
	for i, p := range s.bin.Wheels {
		each("wheel", p.BinPart, func(c cents) { s.wheels = append(s.wheels, wheelChoice{i, float64(p.Wheel.RollOut()), c}) })
	}
	s.fill()
	return err
}

// fill puts the build's own wheel where the bin has none, and a chain that has
// yet to be bought, its price not known, where no chain is known of. Of parts on
// hand alone nothing can be built without a chain.
func (s *search) fill() {
	if len(s.chains) == 0 {
		reach := 0 // all sold out, or none on hand
		if s.anyChain {
			reach = 1 << 30
		}
		s.chains = []chainChoice{{-1, reach, 0}}
	}
	if len(s.wheels) == 0 {
		s.wheels = []wheelChoice{{-1, float64(s.base.Wheel.RollOut()), 0}}
	}
	byWheel := func(a, b wheelChoice) int { return cmp.Compare(a.rollOut, b.rollOut) }
	s.smallestWheel, s.largestWheel = slices.MinFunc(s.wheels, byWheel).rollOut, slices.MaxFunc(s.wheels, byWheel).rollOut
	wheel, chain := s.wheels[0].cents, s.chains[0].cents
	for _, w := range s.wheels {
		wheel = min(wheel, w.cents)
	}
	for _, c := range s.chains {
		chain = min(chain, c.cents)
	}
	s.cheapestRest = wheel + chain
}
