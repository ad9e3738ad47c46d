package wear

import "math"

// compare finds where plans swap rank as the cassette gets dearer. A ring costs
// what it costs in chains; it is left out when its price or the chain's is not
// known.
func (r *PolicyReport) compare(p Prices) {
	ring := 0.0
	if p.Chain > 0 && p.Ring >= 0 {
		ring = p.Ring / p.Chain
	}
	if r.HasRatio = p.Chain > 0 && p.Cassette >= 0; r.HasRatio {
		r.Ratio = p.Cassette / p.Chain
	}
	lines, within := make([]line, len(r.Plans)), []line{}
	for i, c := range r.Plans {
		lines[i] = line{c.Name, c.Chains + c.Rings*ring, c.Cassettes}
		if c.Limit > 0 {
			within = append(within, lines[i])
		}
	}
	for i := range lines {
		for k := i + 1; k < len(lines); k++ {
			if e, ok := lines[i].meets(lines[k]); ok {
				r.Even = append(r.Even, e)
			}
		}
	}
	r.Spans, r.Safer = envelope(lines), envelope(within)
}

// line is a plan's cost in chains over the price ratio: base + slope q.
type line struct {
	name        string
	base, slope float64
}

func (a line) at(q float64) float64 { return a.base + a.slope*q }

// meets finds the ratio at which two plans cost the same.
func (a line) meets(b line) (BreakEven, bool) {
	q := (b.base - a.base) / (a.slope - b.slope)
	if !(q > 0) || math.IsInf(q, 0) {
		return BreakEven{}, false
	}
	e := BreakEven{A: a.name, B: b.name, Ratio: q, Above: a.name}
	if b.slope < a.slope {
		e.Above = b.name
	}
	return e, true
}

// envelope walks up the ratio from 0 along the cheapest plan.
func envelope(lines []line) []Span {
	spans := []Span{}
	if len(lines) == 0 {
		return spans
	}
	q, now := 0.0, cheapestAt(lines, 0)
	for {
		next, at := -1, math.Inf(1)
		for i := range lines {
			if e, ok := lines[now].meets(lines[i]); ok && lines[i].slope < lines[now].slope && e.Ratio >= q && nearer(e.Ratio, lines[i], at, next, lines) {
				next, at = i, e.Ratio
			}
		}
		if next < 0 {
			return append(spans, Span{From: q, Plan: lines[now].name})
		}
		if at > q {
			spans = append(spans, Span{From: q, To: at, Plan: lines[now].name})
		}
		q, now = at, next
	}
}

// nearer prefers the first plan to be met, of several the one that stays
// cheapest.
func nearer(q float64, l line, at float64, next int, lines []line) bool {
	return q < at || q == at && next >= 0 && l.slope < lines[next].slope
}

func cheapestAt(lines []line, q float64) int {
	best := 0
	for i, l := range lines {
		if l.at(q) < lines[best].at(q) || l.at(q) == lines[best].at(q) && l.slope < lines[best].slope {
			best = i
		}
	}
	return best
}
