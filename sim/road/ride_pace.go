package road

import "math"

// earthRadius is the mean radius in m (from memory).
const earthRadius = 6371008.8

// track adds up the distances between positions.
type track struct {
	started  bool
	lat, lon float64 // radians
	sum      float64 // m
}

// distance is the way so far at a position in degrees, by the great circle; NaN
// where there is no position. Height is left out: on a grade of 10 % the way
// is 0.5 % longer.
func (t *track) distance(latitude, longitude float64) float64 {
	if !(math.Abs(latitude) <= 90 && math.Abs(longitude) <= 360) {
		return math.NaN()
	}
	lat, lon := latitude*math.Pi/180, longitude*math.Pi/180
	if t.started {
		t.sum += greatCircle(t.lat, t.lon, lat, lon)
	}
	t.started, t.lat, t.lon = true, lat, lon
	return t.sum
}

// greatCircle is the distance in m of two places in radians by the haversine
// formula (from memory).
func greatCircle(lat1, lon1, lat2, lon2 float64) float64 {
	a, b := math.Sin((lat2-lat1)/2), math.Sin((lon2-lon1)/2)
	h := a*a + math.Cos(lat1)*math.Cos(lat2)*b*b
	return 2 * earthRadius * math.Asin(math.Sqrt(min(h, 1)))
}

// pace derives speed from distance where none is recorded: the way from about
// paceSeconds before to paceSeconds after, over its time. One second alone
// would be as unsteady as the positions.
type pace struct {
	window []pacePoint
	next   int // the first point not handed on yet
}

type pacePoint struct {
	Sample
	distance float64
	place    int
}

const (
	paceSeconds = 2.0
	paceMost    = 64 // points that may wait, and that are kept behind
)

type emitFunc func(s Sample, place int)

// add takes a sample with the distance so far, and hands on those that are
// ready.
func (p *pace) add(s Sample, distance float64, place int, emit emitFunc) {
	if n := len(p.window); n > 0 && s.Seconds-p.window[n-1].Seconds > MaxGap {
		p.flush(emit)
	}
	p.window = append(p.window, pacePoint{s, distance, place})
	for p.next < len(p.window) && p.ready(p.window[p.next], s.Seconds) {
		p.hand(emit)
	}
	if p.next > 2*paceMost {
		p.window = p.window[:copy(p.window, p.window[p.next-paceMost:])]
		p.next = paceMost
	}
}

func (p *pace) ready(w pacePoint, now float64) bool {
	return !math.IsNaN(w.Speed) || math.IsNaN(w.distance) || now >= w.Seconds+paceSeconds || len(p.window)-p.next > paceMost
}

// flush hands on everything and forgets it: nothing is derived over a break.
func (p *pace) flush(emit emitFunc) {
	for p.next < len(p.window) {
		p.hand(emit)
	}
	p.window, p.next = p.window[:0], 0
}

func (p *pace) hand(emit emitFunc) {
	w := p.window[p.next]
	if math.IsNaN(w.Speed) && !math.IsNaN(w.distance) {
		from, to := p.reach(-1), p.reach(+1)
		if v := (to.distance - from.distance) / (to.Seconds - from.Seconds); v >= 0 { // not NaN, not backwards
			w.Speed, w.Derived = v, true
		}
	}
	p.next++
	emit(w.Sample, w.place)
}

// reach is the point with a distance that lies paceSeconds off in one
// direction, or the furthest one before.
func (p *pace) reach(step int) pacePoint {
	found := p.window[p.next]
	for i := p.next + step; i >= 0 && i < len(p.window); i += step {
		w := p.window[i]
		if math.IsNaN(w.distance) {
			continue
		}
		found = w
		if math.Abs(w.Seconds-p.window[p.next].Seconds) >= paceSeconds {
			break
		}
	}
	return found
}
