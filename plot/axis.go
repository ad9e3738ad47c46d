package plot

import (
	"math"
	"strconv"
)

// scale maps values to places on the page in mm.
type scale struct {
	lo, hi float64 // values at the ends
	a, b   float64 // places of the ends, mm
	log    bool
}

// at is the place of a value. On a log scale the value must be over 0.
func (s scale) at(v float64) float64 {
	lo, hi := s.lo, s.hi
	if s.log {
		v, lo, hi = math.Log(v), math.Log(lo), math.Log(hi)
	}
	return s.a + (s.b-s.a)*(v-lo)/(hi-lo)
}

// tick is a labelled place on an axis.
type tick struct {
	value float64
	label string
}

// Leading digits of ticks on a log scale, the coarser sets first.
var logDigits = [][]float64{
	{1, 10},
	{1, 2, 5},
	{1, 1.5, 2, 3, 5, 7},
	{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8},
}

// ticks gives at least want labelled places between the ends, evenly spaced
// numbers where the range is too narrow for leading digits.
func (s scale) ticks(want int) []tick {
	if s.log {
		for _, digits := range logDigits {
			if t := logTicks(s.lo, s.hi, digits); len(t) >= want {
				return t
			}
		}
	}
	return linearTicks(s.lo, s.hi, want)
}

// roomyTicks gives the most ticks, up to 10, that stand at least gap mm apart;
// where even few do not, those are left out that would stand too close.
func (s scale) roomyTicks(gap float64) []tick {
	for want := 10; want > 2; want-- {
		if t := s.ticks(want); len(t) == len(s.thinned(t, gap)) {
			return t
		}
	}
	return s.thinned(s.ticks(2), gap)
}

// thinned leaves out ticks less than gap mm above the one below.
func (s scale) thinned(ticks []tick, gap float64) []tick {
	var kept []tick
	for _, t := range ticks {
		if n := len(kept); n == 0 || math.Abs(s.at(t.value)-s.at(kept[n-1].value)) >= gap {
			kept = append(kept, t)
		}
	}
	return kept
}

func logTicks(lo, hi float64, digits []float64) []tick {
	var list []tick
	for e := math.Floor(math.Log10(lo)); e <= math.Ceil(math.Log10(hi)); e++ {
		for _, d := range digits {
			v := d * math.Pow(10, e)
			if d < 10 && v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
				list = append(list, tick{v, plain(v)})
			}
		}
	}
	return list
}

// linearTicks steps by 1, 2 or 5 times a power of ten.
func linearTicks(lo, hi float64, want int) []tick {
	span := hi - lo
	if !(span > 0) || math.IsInf(span, 0) {
		return []tick{{lo, plain(lo)}}
	}
	exp := math.Floor(math.Log10(span)) + 1
	for ; ; exp-- {
		for _, d := range []float64{5, 2, 1} {
			step := d * math.Pow(10, exp)
			if first, last := math.Ceil(lo/step-1e-9), math.Floor(hi/step+1e-9); int(last-first)+1 >= want {
				return evenTicks(first, last, step)
			}
		}
	}
}

func evenTicks(first, last, step float64) []tick {
	var list []tick
	for k := first; k <= last; k++ {
		list = append(list, tick{k * step, plain(k * step)})
	}
	return list
}

// plain writes a number to 6 significant digits without trailing zeros.
func plain(v float64) string {
	f, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil || f == 0 {
		return "0"
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// fixed writes a number with so many decimals, never a minus zero.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if f, err := strconv.ParseFloat(s, 64); err == nil && f == 0 && s[0] == '-' {
		return s[1:]
	}
	return s
}
