package search

import (
	"slices"
	"sync/atomic"
	"time"
)

// tally is what a worker has found so far.
type tally struct {
	done      float64
	fellOut   [reasons]float64
	simulated int
	partial   bool
	best      []Found // none dominates another
	also      []Found // the best of all that meet the wishes, dominated or not
}

// mostAlso is how many combinations that meet the wishes are kept to tell why
// the next best fell out.
const mostAlso = 64

// keep takes in a combination that meets every wish.
func (t *tally) keep(f Found) {
	t.also = insert(t.also, f)
	t.best = merge(t.best, f)
}

// merge puts a combination into a set in which none dominates another.
func merge(best []Found, f Found) []Found {
	for i := range best {
		if best[i].dominates(&f) {
			return best
		}
	}
	best = slices.DeleteFunc(best, func(g Found) bool { return f.dominates(&g) })
	return append(best, f)
}

// insert keeps the first mostAlso in the order of better.
func insert(list []Found, f Found) []Found {
	if len(list) == mostAlso && !f.better(&list[mostAlso-1]) {
		return list
	}
	at, _ := slices.BinarySearchFunc(list, f, func(a, b Found) int {
		if a.better(&b) {
			return -1
		}
		return 1
	})
	list = slices.Insert(list, at, f)
	return list[:min(len(list), mostAlso)]
}

// add joins two tallies.
func (t *tally) add(o *tally) {
	t.done += o.done
	t.simulated += o.simulated
	t.partial = t.partial || o.partial
	for i, n := range o.fellOut {
		t.fellOut[i] += n
	}
	for _, f := range o.also {
		t.also = insert(t.also, f)
	}
	for _, f := range o.best {
		t.best = merge(t.best, f)
	}
}

// result puts a whole tally in order.
func (s *search) result(t tally) Result {
	r := Result{
		Combinations: float64(len(s.bin.RingSets)*len(s.bin.Cassettes)) * s.perPair(),
		Done:         t.done, Partial: t.partial, Simulated: t.simulated,
		Best: t.best, RunnersUp: []RunnerUp{}, FellOut: []FellOut{},
	}
	slices.SortFunc(r.Best, func(a, b Found) int {
		if a.better(&b) {
			return -1
		}
		return 1
	})
	if r.Best == nil {
		r.Best = []Found{}
	}
	for i, n := range t.fellOut {
		if n > 0 {
			r.FellOut = append(r.FellOut, FellOut{Reason(i), n})
		}
	}
	for _, f := range t.also {
		if better := dominator(r.Best, &f); better != nil && len(r.RunnersUp) < mostRunners {
			r.RunnersUp = append(r.RunnersUp, RunnerUp{Found: f, Better: better.Choice})
		}
	}
	return r
}

// mostRunners is how many runners-up a result tells of.
const mostRunners = 3

// dominator is the first of a set that dominates f.
func dominator(best []Found, f *Found) *Found {
	for i := range best {
		if best[i].dominates(f) {
			return &best[i]
		}
	}
	return nil
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
