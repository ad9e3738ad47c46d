package plot

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// limitName is the name of a limit's line: what common practice does there.
func limitName(l gearing.Percent) string {
	s := plain(float64(l)) + " %"
	switch l {
	case wear.LimitMany:
		return s + ": replace, 11 or more cogs"
	case wear.LimitFew:
		return s + ": replace, up to 10 cogs"
	case wear.LimitCassette:
		return s + ": the cassette is gone too"
	}
	return s
}

// meetsWords tell when a limit is met, with its interval.
func (c WearChart) meetsWords(l *wear.LimitForecast) string {
	switch between := c.between(l); {
	case l.Passed:
		return fmt.Sprintf("likely passed at %s, %s", c.distance(l.KM)+monthOf(l.On), between)
	case l.OpenKM:
		return "not expected within " + c.distance(wear.FarKM)
	default:
		return fmt.Sprintf("expected at %s, %s", c.distance(l.KM)+monthOf(l.On), between)
	}
}

// between is the 90 % interval of where a limit is met.
func (c WearChart) between(l *wear.LimitForecast) string {
	if l.Open {
		return "90 % from " + c.distance(l.LowKM) + " on"
	}
	return fmt.Sprintf("90 %% between %s and %s", fixed(l.LowKM/c.unitKM(), 0), c.distance(l.HighKM))
}

// meetsLabel is the label where the fit meets a limit, or beyond the chart's
// end.
func (c WearChart) meetsLabel(l *wear.LimitForecast) string {
	at := c.distance(l.KM) + monthOf(l.On)
	limit := plain(float64(l.Limit)) + " % "
	switch {
	case l.OpenKM:
		return limit + "not within " + c.distance(wear.FarKM)
	case l.KM > c.fit.end:
		return limit + "further on: " + at
	case l.Passed:
		return "likely passed: " + at
	}
	return at
}

// nextWords tell when to read again.
func (c WearChart) nextWords() string {
	f := c.Wear.Forecast
	return "read again at " + c.distance(f.NextReadingKM) + monthOf(f.NextReadingOn)
}

// monthOf is a date as exact as a forecast can be; "" when it is not known.
func monthOf(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return " · " + t.Format("Jan 2006")
}

// upper starts a sentence.
func upper(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return string(unicode.ToUpper(r[0])) + string(r[1:])
}

// mostNoted is how many contradictions a chart spells out.
const mostNoted = 3

// noted is how many contradictions are spelled out, a line for the rest
// included.
func (c WearChart) noted() int {
	n := len(c.Wear.Contradictions)
	if n > mostNoted || c.Wear.MoreContradictions > 0 {
		return min(n, mostNoted) + 1
	}
	return n
}

// note spells contradiction k out in short.
func (c WearChart) note(k int) string {
	d := c.Wear.Contradictions[k]
	a, b := &c.Wear.Estimates[d.A], &c.Wear.Estimates[d.B]
	pair := c.readWords(a) + " and " + c.readWords(b)
	switch {
	case d.Compatible:
		return pair + ": roller play explains it, both can be right"
	case d.Z == 0:
		return pair + ": their dates run backwards"
	}
	return fmt.Sprintf("%s: %s standard errors apart as read, one is wrong", pair, fixed(d.Z, 1))
}

// moreNotes tell how many contradictions are not spelled out.
func (c WearChart) moreNotes() string {
	n := max(0, len(c.Wear.Contradictions)-mostNoted) + c.Wear.MoreContradictions
	return "and " + count(n, "more pair") + " of readings at odds"
}

// readWords tell a reading by its method, value and distance.
func (c WearChart) readWords(e *wear.Estimate) string {
	r := &e.Reading
	value := fixed(float64(e.Elongation), 2) + " %"
	switch {
	case e.Interval && r.Falls:
		value = plain(float64(r.Mark)) + " % falls in"
	case e.Interval:
		value = plain(float64(r.Mark)) + " % does not fall in"
	}
	name, _, _ := strings.Cut(r.Method.Words(), " beside") // short
	return fmt.Sprintf("%s %s at %s", name, value, c.distance(r.KM))
}
