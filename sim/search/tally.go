package search

import (
	"sync/atomic"
	"time"
)

// tally is what a worker has found so far.
type tally struct {
	done      float64
	fellOut   [reasons]float64
	simulated int
	partial   bool
	found     []score // at a glance
}

// add joins two tallies.
func (t *tally) add(o *tally) {
	t.done += o.done
	t.simulated += o.simulated
	t.partial = t.partial || o.partial
	for i, n := range o.fellOut {
		t.fellOut[i] += n
	}
	t.found = append(t.found, o.found...)
}

// result sifts a whole tally.
func (s *search) result(t tally) Result {
	f := s.sift(t.found)
	for i, n := range f.fellOut {
		t.fellOut[i] += n
	}
	r := Result{
		Bin: s.bin, Combinations: float64(len(s.bin.RingSets)*len(s.bin.Cassettes)) * s.perPair(),
		Done: t.done, Partial: t.partial, Simulated: t.simulated, Unsure: f.unsure,
		Best: f.best, RunnersUp: f.next, FellOut: []FellOut{},
	}
	for i, n := range t.fellOut {
		if n > 0 {
			r.FellOut = append(r.FellOut, FellOut{Reason(i), n})
		}
	}
	return r
}

// report calls progress every while until the returned function is called.
func (s *search) report(next *atomic.Int64, pairs int64, perPair float64, progress func(done, of float64)) (stop func()) {
	if progress == nil {
		return func() {}
	}
	quit, gone := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(gone)
		tick := time.NewTicker(100 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				progress(float64(min(next.Load(), pairs))*perPair, float64(pairs)*perPair)
			case <-quit:
				return
			}
		}
	}()
	return func() { close(quit); <-gone }
}
