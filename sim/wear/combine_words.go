package wear

import (
	"fmt"
	"time"

	"cagewise/gearing"
)

// explains tells whether a pair is a two-point gauge that reads above a method
// in which play cancels.
func explains(readings []reading, p suspect) bool {
	gauge, other, ok := gaugeOf(readings, p)
	return ok && readings[gauge].m.value > readings[other].m.value && p.kind == sameDistance
}

// gaugeOf finds which of the two depends on roller play, if only one does.
func gaugeOf(readings []reading, p suspect) (gauge, other int, ok bool) {
	a, b := readings[p.a].m.perMM > 0, readings[p.b].m.perMM > 0
	if a {
		return p.a, p.b, !b
	}
	return p.b, p.a, b
}

// together explains a gauge and another method that are both right.
func (c *ChainWear) together(p suspect, readings []reading, k play) Contradiction {
	gauge, other, _ := gaugeOf(readings, p)
	m, point := readings[gauge].m, c.pointOf(gauge)
	e := float64(point.Elongation)
	mm, _ := k.at(e)
	words := fmt.Sprintf("%s %s, while %s says %s %%: both can be right. A two-point gauge pushes its rollers apart and adds their play: with about %s mm (%s %%) it reads about %s %% on a chain of %s %%. Go by the reading in which play cancels.",
		readings[gauge].r.Method.Words(), shown(readings[gauge]), readings[other].r.Method.Words(), hundredths(readings[other].m.value),
		short(mm, 1), short(m.perMM*mm, 2), short(e+m.perMM*mm, 1), hundredths(e))
	return Contradiction{A: p.a, B: p.b, Z: p.asRead, Compatible: true, Words: words}
}

// pointOf is the point that a reading belongs to.
func (c *ChainWear) pointOf(index int) Point {
	low, high := 0, len(c.Points)-1
	for low < high {
		mid := (low + high + 1) / 2
		if c.Points[mid].From[0] <= index {
			low = mid
			continue
		}
		high = mid - 1
	}
	return c.Points[low]
}

// odds words a pair that does not go together.
func (c *ChainWear) odds(p suspect, limit float64, readings []reading) Contradiction {
	a, b := readings[p.a], readings[p.b]
	out := Contradiction{A: p.a, B: p.b, Z: p.asRead, gap: p.gap}
	at := func(q reading) string { return c.units.exact(q.r.KM, 0) }
	switch p.kind {
	case clock:
		out.Words = fmt.Sprintf("%s is dated %s and %s, further on, %s: the clock goes backwards. Distances are believed; check the dates.",
			at(a), a.r.On.Format(time.DateOnly), at(b), b.r.On.Format(time.DateOnly))
	case fallsShort:
		out.Words = fmt.Sprintf("%s %s at %s comes to %s %%, where the readings before it lead to %s %%, %s standard errors more: a chain that is ridden does not stay behind. All readings count, by their errors. %s",
			b.r.Method.Words(), shown(b), at(b), hundredths(p.expected-p.gap), hundredths(p.expected), short(p.net, 1), check(b.r.Method, a.r.Method))
	case shrinks:
		out.Words = fmt.Sprintf("%s%s %% at %s and %s%s %% at %s, %s standard errors lower: a chain does not shrink. Another chain fitted in between? %s",
			boundWords(a.m.bound), hundredths(p.high), at(a), boundWords(b.m.bound), hundredths(p.low), at(b), short(p.net, 1), check(a.r.Method, b.r.Method))
	default:
		playOff := ""
		if a.m.perMM != b.m.perMM {
			playOff = " once roller play is off"
		}
		out.Words = fmt.Sprintf("at %s %s %s and %s %s are %s standard errors apart%s (up to %s happens by chance): one of them is wrong. %s%s",
			at(b), a.r.Method.Words(), shown(a), b.r.Method.Words(), shown(b), short(p.net, 1), playOff, short(limit, 1), notCounted(a, b), check(a.r.Method, b.r.Method))
	}
	return out
}

// boundWords stand before a figure that is a bound, see measured.bound.
func boundWords(bound int) string {
	switch {
	case bound > 0:
		return "at least "
	case bound < 0:
		return "under "
	}
	return ""
}

// notCounted tells that the gauge of a pair is set aside.
func notCounted(a, b reading) string {
	if a.aside || b.aside {
		return "The gauge is not counted. "
	}
	return ""
}

// shown is what the owner saw, in percent.
func shown(q reading) string {
	if q.m.bound == 0 {
		return fmt.Sprintf("(%s %%)", hundredths(q.m.value))
	}
	return fmt.Sprintf("(mark %s %% %s)", short(q.m.value, 2), fallsWords(q.m.bound > 0))
}

// check says what goes wrong with the methods, the likeliest first (common
// practice, no source).
func check(a, b gearing.ReadingMethod) string {
	text := "Check " + mishap(a)
	if mishap(b) != mishap(a) {
		text += "; or " + mishap(b)
	}
	return text + "."
}

func mishap(m gearing.ReadingMethod) string {
	switch m {
	case gearing.MethodHung:
		return "that both hung chains have one count, are clean, and the new one is unused"
	case gearing.MethodCaliper:
		return "that the jaws sat on rollers, not plates, and counted 10 and 2 pitches"
	case gearing.MethodTwoPoint:
		return "that the gauge's marks are percent of length, and its count of pitches"
	case gearing.MethodThreePoint:
		return "that the gauge's marks are percent of length, and that it lay straight"
	case gearing.MethodLift:
		return "the lift with a better method, it is a rough bound"
	}
	return "the rule's zero or the tape's hook, slack, dirt in the joints, and the count of pitches"
}
