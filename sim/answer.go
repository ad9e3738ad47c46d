package sim

import (
	"math"

	"cagewise/gearing"
)

// Answer is the simulated judgement of a build with one chain.
type Answer struct {
	Advice
	Fit     Fit          `json:"fit"`
	Margins []GearMargin `json:"margins"` // in the order of Fit.Gears
	Window  Window       `json:"window"`
	Cap     Capacity     `json:"capacity"`
	// FailsFirst is what gives way when the gears are made wider still.
	FailsFirst End `json:"fails_first"`
}

// End of the chain's window.
type End int

// The two ends.
const (
	DangerousEnd End = iota // too little chain
	NoisyEnd                // too much chain
)

// String is the end in words.
func (e End) String() string {
	if e == DangerousEnd {
		return "the dangerous end"
	}
	return "the noisy end"
}

// MarshalText gives JSON the words.
func (e End) MarshalText() ([]byte, error) { return []byte(e.String()), nil }

// Judge computes the whole answer. Errors are those of NewRig.
func Judge(b gearing.Build) (Answer, error) {
	r, err := NewRig(b)
	if err != nil {
		return Answer{}, err
	}
	return r.Answer(), nil
}

// Answer judges the chain owned, or the one to cut.
func (r *Rig) Answer() Answer {
	advice, j := r.advise()
	a := Answer{Advice: advice, Fit: j.fit, Window: r.Window(), Cap: r.capacity(&j)}
	for i := range j.fit.Gears {
		a.Margins = append(a.Margins, j.place[i].spread(&j.fit.Gears[i]))
	}
	a.FailsFirst = j.fit.failsFirst()
	a.Next = r.nextMeasurement(&advice, &j)
	a.Remedies = r.remedies(&advice)
	return a
}

// failsFirst compares what is left at either end, both in pitches.
func (f Fit) failsFirst() End {
	forward, rearward := math.Inf(1), math.Inf(1)
	for i := range f.Gears {
		if f.Gears[i].NoPath {
			continue
		}
		forward = min(forward, float64(f.Gears[i].Forward)-LeastReserve)
		rearward = min(rearward, float64(f.Gears[i].Rearward))
	}
	if forward < rearward {
		return DangerousEnd
	}
	return NoisyEnd
}

// Dangerous lists the gears that lock, are too short or hit.
func (f Fit) Dangerous() []gearing.GearID { return f.where(State.Dangerous) }

// where lists the gears whose state is one of those wanted.
func (f Fit) where(wanted func(State) bool) []gearing.GearID {
	list := []gearing.GearID{}
	for i := range f.Gears {
		if wanted(f.Gears[i].State) {
			list = append(list, f.Gears[i].GearID)
		}
	}
	return list
}
