package search

import "slices"

// sifter finds the best of what was found at a glance. Whatever gets among the
// best is looked at closely, by the whole sample; it then counts with the figures
// of that, or falls out, and the best are picked anew, until all of them and of
// those told next have been looked at closely.
type sifter struct {
	*search
	list    []score
	close   map[Choice]Found // those looked at closely
	fellOut [reasons]float64
	unsure  int
	best    []Found
	next    []RunnerUp
}

// fewEnough is how many are all looked at closely: then nothing is left to a
// glance but whether a combination is likely to work.
const fewEnough = 60

// mostRunners is how many runners-up a result tells of.
const mostRunners = 3

func (s *search) sift(list []score) *sifter {
	f := &sifter{search: s, list: list, close: map[Choice]Found{}, best: []Found{}, next: []RunnerUp{}}
	if len(list) <= fewEnough {
		f.confirm(places(len(list)))
	}
	for {
		slices.SortFunc(f.list, func(a, b score) int {
			if a.better(&b) {
				return -1
			}
			return 1
		})
		best, next := f.front()
		if f.confirm(best) && f.confirm(next) {
			f.tell(best, next)
			return f
		}
	}
}

// places are the first n.
func places(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// front are the places in the list of those that none beats, and of the first
// that one does. The list stands in the order of better: what beats another
// stands before it.
func (f *sifter) front() (best, next []int) {
	for i := range f.list {
		switch {
		case f.beater(best, i) < 0:
			best = append(best, i)
		case len(next) < mostRunners:
			next = append(next, i)
		}
	}
	return best, next
}

// beater is the first of some places whose combination beats another; -1: none.
func (f *sifter) beater(best []int, i int) int {
	for _, k := range best {
		if f.list[k].dominates(&f.list[i]) {
			return k
		}
	}
	return -1
}

// confirm looks closely at the combinations at some places; false when one of
// them had not been looked at so.
func (f *sifter) confirm(places []int) bool {
	done := true
	for _, i := range places {
		at := f.list[i]
		if _, ok := f.close[at.Choice]; ok {
			continue
		}
		done = false
		b := f.blockOf(at.Choice)
		l, why, ok := f.closely(&b)
		if ok {
			at, why, ok = f.choose(&b, &l)
		}
		if !ok {
			f.fellOut[why] += f.perBlock
			f.unsure++
			f.list[i].out = true
			continue
		}
		f.list[i] = at
		f.close[at.Choice] = f.found(&b, &l, at)
	}
	f.list = slices.DeleteFunc(f.list, func(s score) bool { return s.out })
	return done
}

// tell turns the sifted list into what is shown.
func (f *sifter) tell(best, next []int) {
	for _, i := range best {
		f.best = append(f.best, f.close[f.list[i].Choice])
	}
	for _, i := range next {
		f.next = append(f.next, RunnerUp{Found: f.close[f.list[i].Choice], Better: f.list[f.beater(best, i)].Choice})
	}
}
