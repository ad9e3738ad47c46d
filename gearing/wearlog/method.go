package wearlog

import (
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// demand says which keys a reading's method needs and which it may have
// besides.
type demand struct{ needs, may []string }

// demandOf gives the demand of a method; a gauge either has a scale or a mark.
func demandOf(m gearing.ReadingMethod, scale bool) demand {
	switch m {
	case gearing.MethodRule:
		return demand{[]string{"pitches", "length_mm"}, []string{"error_mm"}}
	case gearing.MethodHung:
		return demand{[]string{"offset_mm"}, []string{"pitches", "error_mm"}}
	case gearing.MethodCaliper:
		return demand{[]string{"inside_10_mm", "inside_2_mm"}, []string{"error_mm"}}
	case gearing.MethodLift:
		return demand{[]string{"lift_mm", "ring"}, []string{"error_mm"}}
	}
	if scale {
		return demand{[]string{"scale_percent"}, []string{"pitches"}}
	}
	return demand{[]string{"mark_percent", "falls"}, []string{"pitches"}}
}

func (d demand) all() []string { return slices.Concat(d.needs, d.may) }

// everyReading lists the keys that readings by every method have.
var everyReading = []string{"part", "at", "on", "method", "note"}

// checkReading holds a reading against its method and its chain.
func (r *reader) checkReading(s *spot, rd gearing.WearReading) {
	d := demandOf(rd.Method, rd.HasScale)
	for _, key := range d.needs {
		if !s.gave(key) {
			r.report(s, key, fmt.Sprintf("is missing; a reading by method %q needs it%s", rd.Method, orScale(rd.Method)))
		}
	}
	missing := s.bad
	for _, f := range s.given {
		if !slices.Contains(everyReading, f.Key) && !slices.Contains(d.needs, f.Key) && !slices.Contains(d.may, f.Key) {
			r.report(s, f.Key, fmt.Sprintf("does not belong to a reading by method %q", rd.Method), d.all()...)
		}
	}
	chain := r.chain(s, "part", rd.Part)
	if chain == nil {
		return
	}
	if !missing {
		r.checkLength(s, rd, chain)
		r.checkScale(s, rd)
	}
	r.checkTime(s, rd.KM, chain)
}

// gave tells whether a key was given in either unit.
func (s *spot) gave(key string) bool {
	return slices.ContainsFunc(s.given, func(f *Field) bool { return f.Key == key })
}

func orScale(m gearing.ReadingMethod) string {
	if m == gearing.MethodTwoPoint || m == gearing.MethodThreePoint {
		return ", or what its scale shows"
	}
	return ""
}

// caliperPitches is what a caliper reading spans: inside 10 less inside 2.
const caliperPitches gearing.Pitches = 8

// Lengths further off than mostOff are slips: a log is not read with them. Further
// than oddOff they draw a warning (both invented here).
const (
	mostOff gearing.Percent = 10
	oddOff  gearing.Percent = 2.5
)

// checkLength refuses a length that no chain of that count has.
func (r *reader) checkLength(s *spot, rd gearing.WearReading, chain *gearing.WearPart) {
	key, read, nominal := "", gearing.MM(0), gearing.MM(0)
	switch rd.Method {
	case gearing.MethodRule:
		key, nominal = "length_mm", gearing.Pitches(rd.Pitches).MM()
		read = rd.Length
	case gearing.MethodHung:
		count := hungPitches(rd, chain)
		if count == 0 {
			r.report(s, "pitches", fmt.Sprintf("is missing, and so is the count of %q; a reading by method %q needs one of them", build.Shorten(rd.Part), rd.Method))
			return
		}
		key, nominal = "offset_mm", count.MM()
		read = nominal + rd.Offset
	case gearing.MethodCaliper:
		key, nominal = "inside_10_mm", caliperPitches.MM()
		read = rd.Inside10 - rd.Inside2
	default:
		return
	}
	r.checkOff(s, key, read, nominal)
}

// hungPitches is the count a hung reading compares over: its own or the
// chain's; 0: not known.
func hungPitches(rd gearing.WearReading, chain *gearing.WearPart) gearing.Pitches {
	if rd.Pitches > 0 {
		return gearing.Pitches(rd.Pitches)
	}
	return gearing.Pitches(chain.Pitches)
}

func (r *reader) checkOff(s *spot, key string, read, nominal gearing.MM) {
	off := gearing.Percent((read/nominal - 1) * 100)
	said := fmt.Sprintf("makes %s mm over %s, %.1f %% off a new chain", trim(micro(float64(read))), nominal.Pitches(), off)
	switch {
	case math.Abs(float64(off)) > float64(mostOff):
		r.report(s, key, fmt.Sprintf("%s; allowed: at most %v %% off; %s", said, float64(mostOff), slipOf(key, read, nominal)))
	case off < gearing.LeastElongation, off > gearing.MostElongation:
		r.slip(s, key, fmt.Sprintf("%s, which no chain is: it is left out of every figure; %s", said, slipOf(key, read, nominal)))
	case off > oddOff:
		r.warn(s, key, said+"; is it a slip?")
	}
}

// checkScale warns of what no chain shows on a gauge.
func (r *reader) checkScale(s *spot, rd gearing.WearReading) {
	if rd.HasScale && (rd.Scale < gearing.LeastElongation || rd.Scale > gearing.MostElongation) {
		r.slip(s, "scale_percent", fmt.Sprintf("%v %%, which no chain is: it is left out of every figure; is the scale in percent?", float64(rd.Scale)))
	}
}

// slipOf guesses what went wrong with a length: its unit, where it was taken, or
// the count.
func slipOf(key string, read, nominal gearing.MM) string {
	const near = 0.035 // of the length, in another unit
	like := func(x gearing.MM) bool { return math.Abs(float64(x/nominal-1)) <= near }
	text := trim(micro(float64(read)))
	switch {
	case key == "inside_10_mm":
		return "is the count right? The jaws hold 10 pitches, then 2"
	case key != "length_mm":
		return "is the count right?"
	case like(read * 10):
		return fmt.Sprintf("is it %s cm?", text)
	case like(read * 25.4):
		return fmt.Sprintf("is it %s in?", text)
	case like(read / 2):
		return fmt.Sprintf("are those link pairs? They are %.0f pitches", 2*float64(nominal.Pitches()))
	case nearRoller(read - nominal):
		return "was it taken between the rollers? It goes from a pin to a pin, or from an edge of a roller to the same edge of the last"
	}
	return fmt.Sprintf("is the count right? %.0f pitches come nearest", math.Round(float64(read.Pitches())))
}

// nearRoller tells of a length that is off by about a roller.
func nearRoller(off gearing.MM) bool {
	return math.Abs(math.Abs(float64(off))/float64(gearing.RollerDiameter)-1) <= 0.2
}
