package wear

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// How sure a verdict on a chain must be (invented here).
const (
	surePast  = 0.9 // chance of being past the limit from which it is
	doubtPast = 0.05
	// A reading with so small an error is hardly improved by cheap tests; the
	// limit then counts as reached from this chance on, or when no more than
	// soonKM are left: it will be by the next look.
	goodError   = gearing.Percent(0.1)
	reachedPast = 0.3
	soonKM      = 200.0
	newUpTo     = gearing.Percent(0.3) // a chain up to here counts as new (one report)
	newUpToKM   = 300.0                // or, unread, up to here (invented here)
	surelyGone  = 0.977                // chance of two standard errors
)

// chainWasNew tells whether the chain that is on now was new, and on, at a
// distance.
func (d *decider) chainWasNew(km float64) bool {
	if d.chain == nil || d.chain.FittedKM < 0 || km < d.chain.FittedKM || startOf(*d.chain) > float64(fittedUsed) {
		return false
	}
	if s := d.states[d.chain.ID]; s.HasReading && s.Elongation <= newUpTo {
		return true // and it was no more worn then
	}
	return km-d.chain.FittedKM <= newUpToKM
}

// decideChain judges a chain by its elongation against the limit.
func (d *decider) decideChain(p gearing.WearPart, out *Decision) {
	s := d.states[p.ID]
	e := d.weigh(p, out)
	out.Limit = d.limit
	if s.HasReading {
		out.Elongation, out.Error, out.HasElongation = s.Elongation, s.Error, true
		out.Past = chancePast(s, d.limit)
	}
	out.serious = out.serious && !e.cleared
	switch {
	case out.serious:
		out.Verdict = Replace
		out.Changes = "the bad pitches taken out and others put in, so that the count stays; then a good look at every joint"
		return
	case !s.HasReading:
		d.unreadChain(e, out)
		return
	}
	out.Verdict = verdictOfChain(s, d.limit, out.Past)
	if out.Verdict == Keep && d.stale(s) {
		out.Verdict = KeepAndTest
	}
	d.sayChain(s, out)
	if out.Verdict == Keep && e.worst >= gradeDoubtful && !e.cleared {
		out.Verdict = KeepAndTest
	}
	if e.worst >= gradeDoubtful {
		out.tests.add(testIndex, testRhythm)
	}
	if out.Verdict == KeepAndTest {
		out.tests.add(testRead)
	}
	first := d.limit
	if out.Verdict == Replace {
		first += leastStep // that limit counts as reached
	}
	out.Watch = d.watchChain(s, first, out.Verdict != Keep)
}

func (d *decider) unreadChain(e evidence, out *Decision) {
	out.Verdict = CannotTell
	out.Against = append(out.Against, "no reading of its elongation")
	out.Changes = "any reading: a rule over 24 pitches or more, better 48"
	out.tests.add(testRead)
	if e.worst >= gradeDoubtful {
		out.tests.add(testIndex, testRhythm)
	}
	out.Watch = &Watch{LookEvery: lookDefault(d.in.Log.Motor), Why: "never read: " + Widely}
}

// chancePast is the chance that a chain is past a limit: its forecast's, or
// else for normal errors.
func chancePast(s ChainState, limit gearing.Percent) float64 {
	if s.forecast != nil {
		return s.forecast.chance(s.forecast.SeenKM, float64(limit))
	}
	room := float64(limit - s.Elongation)
	if s.Error == 0 {
		if room <= 0 {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc(room/float64(s.Error)/math.Sqrt2)
}

// verdictOfChain never gets milder with distance. A chance short of sureness is
// enough only where it was read well, not on a forecast: a new reading costs
// nothing.
func verdictOfChain(s ChainState, limit gearing.Percent, past float64) Verdict {
	known, e, good := s.asRead(limit, past)
	switch {
	case past >= surePast, good && known >= reachedPast, good && s.soon(limit, e):
		return Replace
	case past >= doubtPast, s.soon(limit, s.Elongation), s.Contradicts:
		return KeepAndTest
	}
	return Keep
}

// soon tells whether an elongation is about to reach the limit.
func (s ChainState) soon(limit, e gearing.Percent) bool {
	return s.HasRate && s.Rate > 0 && float64(limit-e)*s.perPercent() <= soonKM
}

// perPercent is the distance on the odometer, km, in which the chain gains 1 %
// at its rate; Rate over 0.
func (s ChainState) perPercent() float64 { return 1000 / s.Rate / s.share() }

// share is the part of all distance that the chain gets, 0 to 1, as far as its
// forecast knows of other chains.
func (s ChainState) share() float64 {
	if s.forecast == nil {
		return 1
	}
	return s.forecast.track.share
}

// asRead is the chance of being past the limit and the elongation at the last
// reading; good tells that the error there is small.
func (s ChainState) asRead(limit gearing.Percent, past float64) (chance float64, e gearing.Percent, good bool) {
	f := s.forecast
	if !s.Forecasted || f == nil {
		return past, s.Elongation, s.Error <= goodError
	}
	return f.chance(f.NowKM, float64(limit)), gearing.Percent(f.mean(f.NowKM)), f.errorAt(f.NowKM) <= goodError
}

// stale tells that a chain was ridden on for longer than the interval to look
// after, and no forecast says how it is now.
func (d *decider) stale(s ChainState) bool {
	return s.HasReading && !s.Forecasted && s.Since > lookDefault(d.in.Log.Motor)
}

// sayChain puts the reading into words.
func (d *decider) sayChain(s ChainState, out *Decision) {
	text := d.sayState(s) + fmt.Sprintf("; limit %s (common practice, no source, disputed): %s past it", sayPercent(d.limit), sayChance(out.Past))
	if s.Since > 0 && !s.Forecasted {
		text += " then"
	}
	if s.Contradicts {
		out.For = append(out.For, "its readings contradict each other: read it again before you go by this")
	}
	if d.stale(s) {
		out.For = append(out.For, fmt.Sprintf("the reading is %s old%s, more than the %s to look again after: it does not say how worn the chain is now", d.units.say(s.Since), s.ofItsOwn(), d.units.say(lookDefault(d.in.Log.Motor))))
	}
	switch {
	case out.Verdict == Keep, out.Past < doubtPast:
		out.Against = append(out.Against, text)
	default:
		out.For = append(out.For, text)
	}
	if s.Error > goodError {
		out.Against = append(out.Against, fmt.Sprintf("an error of %.2f %% is much against the limit: a longer span costs nothing", float64(s.Error)))
	}
	over := max(0, d.limit-normal90*s.Error)
	switch out.Verdict {
	case Replace:
		out.Changes = fmt.Sprintf("a longer, cleaner reading clearly under %s, or a plan that runs chain and cassette to the end", sayPercent(d.limit))
		d.addSkipRisk(out)
	case KeepAndTest:
		out.Changes = fmt.Sprintf("a reading with a smaller error: clearly under %s keeps it, over it replaces it", sayPercent(d.limit))
	default:
		out.Changes = fmt.Sprintf("a reading over %s with this error, or one past %s", sayPercent(over), sayPercent(d.limit))
	}
}

// ofItsOwn marks a distance as one that the chain itself has run, where it takes
// turns with others.
func (s ChainState) ofItsOwn() string {
	if s.wear == nil || !s.wear.track.turns() {
		return ""
	}
	return " in its own distance"
}

// rests tells that the bike went on after the last reading on other chains.
func (s ChainState) rests() bool {
	return s.wear != nil && s.wear.track.turns() && !isOff(s.wear.Part) && s.Since == 0 && s.at > s.wear.Now.KM+sameKM
}

// sayState says how worn a chain is, and whether that was read.
func (d *decider) sayState(s ChainState) string {
	what := sayWithError(s.Elongation, s.Error)
	switch {
	case s.Forecasted:
		text := fmt.Sprintf("forecast: about %s, last read %s ago%s", what, d.units.say(s.Since), s.ofItsOwn())
		if s.forecast.FarBeyond() {
			text += ", far beyond the readings"
		}
		return text
	case s.Since > 0:
		return fmt.Sprintf("read %s ago%s: %s then, and there is no forecast", d.units.say(s.Since), s.ofItsOwn(), what)
	case s.rests():
		return fmt.Sprintf("read at %s, not ridden since by the rides: %s", d.units.exact(s.wear.Now.KM, 0), what)
	}
	return "reads " + what
}

// addSkipRisk names the cogs that a new chain may skip on.
func (d *decider) addSkipRisk(out *Decision) {
	if cogs := d.cogsAt(RiskLikely); len(cogs) > 0 {
		out.Against = append(out.Against, "a new chain is likely to skip on "+sayCogs(cogs)+" (a risk, not a promise): see the cassette")
	}
}

// addUsedChain warns of new teeth under a used chain that is to stay.
func (d *decider) addUsedChain(out *Decision) {
	if d.chain == nil || d.chainWanted {
		return
	}
	if s := d.states[d.chain.ID]; s.HasReading && s.Elongation > newUpTo {
		out.Against = append(out.Against, fmt.Sprintf("the chain stays at %s: new teeth want one under %s (one report); where it can wait, change both together", sayPercent(s.Elongation), sayPercent(newUpTo)))
	}
}
