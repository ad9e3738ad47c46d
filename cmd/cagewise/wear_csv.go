package main

import (
	"fmt"
)

// csvTable is what --rows asks for.
func (r wearReport) csvTable() *table {
	switch r.rows {
	case rowsReadings:
		return r.readingRows()
	case rowsForecasts:
		return r.forecastRows()
	case rowsCogs:
		return r.cogRows()
	}
	return r.partRows()
}

func keys(names ...string) *table {
	t := &table{}
	for _, k := range names {
		t.cols = append(t.cols, column{key: k})
	}
	return t
}

// figure leaves a cell empty where there is nothing to say.
func figure(x float64, decimals int, ok bool) string {
	if !ok {
		return ""
	}
	return num(x, decimals)
}

// partRows is one row a part.
func (r wearReport) partRows() *table {
	t := keys("part", "kind", "off_the_bike", "verdict", "next_one_from", "price", "elongation_percent", "standard_error_percent", "limit_percent", "chance_past_limit", "look_every_km", "km_left", "km_left_error", "to_percent", "what_would_change_it")
	for _, d := range r.Decisions {
		look, left, leftError, to := "", "", "", ""
		if w := d.Watch; w != nil {
			look, left, leftError, to = num(w.LookEvery, 0), figure(w.KM, 0, w.HasKM), figure(w.Error, 0, w.HasKM), figure(float64(w.Limit), 2, w.Limit > 0)
		}
		t.add(d.ID, string(d.Kind), fmt.Sprint(d.Off), verdictOf(d), string(d.Source), figure(d.Price, 2, d.HasPrice),
			figure(float64(d.Elongation), 3, d.HasElongation), figure(float64(d.Error), 3, d.HasElongation), figure(float64(d.Limit), 2, d.Limit > 0), figure(d.Past, 3, d.HasElongation), look, left, leftError, to, d.Changes)
	}
	return t
}

// readingRows is one row a reading.
func (r wearReport) readingRows() *table {
	t := keys("chain", "line", "km", "on", "method", "pitches", "interval", "elongation_percent", "standard_error_percent", "low_percent", "high_percent", "roller_play_mm", "note")
	for _, c := range r.Chains {
		for _, e := range c.Readings {
			t.add(c.ID, whole(e.Line), num(e.KM, 1), day(e.On), string(e.Method), figure(float64(e.Pitches), 0, e.Pitches > 0), fmt.Sprint(e.Interval),
				num(float64(e.Elongation), 3), num(float64(e.Error), 3), num(float64(e.Low), 3), num(float64(e.High), 3), num(float64(e.Play), 3), e.Note)
		}
	}
	return t
}

// forecastRows is one row a chain and limit.
func (r wearReport) forecastRows() *table {
	t := keys("chain", "limit_percent", "chance_passed", "km", "low_km", "high_km", "on", "low_on", "high_on", "next_reading_km", "next_reading_on", "rate_percent_per_1000km", "rate_standard_error_percent_per_1000km", "shape")
	for _, c := range r.Chains {
		f := c.Forecast
		if f == nil {
			continue
		}
		for _, l := range f.Limits {
			t.add(c.ID, num(float64(l.Limit), 2), num(l.Chance, 4), figure(l.KM, 0, !l.OpenKM), num(l.LowKM, 0), figure(l.HighKM, 0, !l.Open),
				day(l.On), day(l.LowOn), day(l.HighOn), figure(f.NextReadingKM, 0, f.NextReadingKM > 0), day(f.NextReadingOn),
				num(float64(f.RatePer1000KM), 3), num(float64(f.RateError), 3), f.Shape.String())
		}
	}
	return t
}

// cogRows is one row a cog.
func (r wearReport) cogRows() *table {
	t := keys("cog_teeth", "tooth_wear_share_percent", "taken_on_percent", "mismatch_mm", "least_play_mm", "most_play_mm", "risk", "risk_at_two_errors", "decided_by_finding")
	for _, x := range r.risks() {
		figures := x.HasFigures
		t.add(whole(x.Cog), num(float64(x.Share), 2), figure(float64(x.Taken), 3, figures), figure(float64(x.Mismatch), 3, figures),
			figure(float64(x.Least), 3, figures), figure(float64(x.Most), 3, figures), string(x.Class), string(x.Worst), x.Override)
	}
	return t
}
