package wear

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
)

// Suspect is a part whose rhythm comes near the one that was heard.
type Suspect struct {
	Rhythm
	// Off is how far it lies from what was heard, in its errors.
	Off float64 `json:"off_in_errors"`
}

// Apart is a gear that tells suspects apart.
type Apart struct {
	gearing.GearID
	// Rhythms that the suspects would have there; a part that the other gear
	// does not use is gone.
	Rhythms []ApartRhythm `json:"rhythms"`
}

// ApartRhythm is one suspect in another gear.
type ApartRhythm struct {
	Part  FaultPart `json:"part"`
	Turns float64   `json:"crank_turns"`
	// EveryOther as in Rhythm.
	EveryOther bool `json:"every_other_turn"`
	Gone       bool `json:"gone"`
}

// Name is the part, with what tells its slower rhythm.
func (a ApartRhythm) Name() string { return nameOf(a.Part, a.EveryOther) }

// FaultReport names the parts that a rhythm fits.
type FaultReport struct {
	gearing.GearID
	Turns float64 `json:"heard_crank_turns"`
	Error float64 `json:"heard_error_crank_turns"`
	// Suspects within two errors, the nearest first; several are all named.
	Suspects []Suspect `json:"suspects"`
	// Apart is the gear to try next; used when HasApart.
	Apart    Apart    `json:"gear_that_tells_them_apart"`
	HasApart bool     `json:"has_gear_that_tells"`
	All      []Rhythm `json:"all_rhythms"`
	Notes    []string `json:"notes"`
}

// withinErrors is how many errors a rhythm may lie off.
const withinErrors = 2.0

// FindFault names the parts whose rhythm fits what was heard in a gear, and the
// gear that tells them apart best. It fails with ErrFault.
func FindFault(b FaultBuild, g gearing.GearID, h Heard) (FaultReport, error) {
	b = b.withDefaults()
	if err := b.check(g); err != nil {
		return FaultReport{}, fmt.Errorf("finding a fault in %s: %w", g, err)
	}
	if err := h.check(); err != nil {
		return FaultReport{}, fmt.Errorf("finding a fault in %s: %w", g, err)
	}
	r := FaultReport{GearID: g, All: b.rhythms(g), Suspects: []Suspect{}, Notes: []string{}}
	r.Turns, r.Error = h.period()
	for _, x := range r.All {
		if off := math.Abs(x.Turns-r.Turns) / r.Error; off <= withinErrors {
			r.Suspects = append(r.Suspects, Suspect{x, off})
		}
	}
	slices.SortStableFunc(r.Suspects, Suspect.nearer)
	r.Apart, r.HasApart = b.apart(g, r.Suspects, r.Error)
	r.note(h)
	return r, nil
}

// nearer puts the nearer first; of equals, up to rounding, the plain rhythm
// before the one of every other turn.
func (s Suspect) nearer(than Suspect) int {
	if by := cmp.Compare(math.Round(s.Off*1e9), math.Round(than.Off*1e9)); by != 0 || s.EveryOther == than.EveryOther {
		return by
	}
	if s.EveryOther {
		return 1
	}
	return -1
}

func (r *FaultReport) note(h Heard) {
	switch len(r.Suspects) {
	case 0:
		r.Notes = append(r.Notes, "no part repeats like that: without a steady rhythm look at indexing, hanger, freehub, cable, or a worn cog that skips under load")
	case 1:
		r.Notes = append(r.Notes, "likely, not certain: two such places on one part halve its rhythm")
	default:
		r.Notes = append(r.Notes, "several parts come near: "+r.tell())
	}
	if h.Repeats <= 1 && len(r.Suspects) > 1 {
		r.Notes = append(r.Notes, "count the crank turns over 5 or 10 repeats: the error shrinks as many times")
	}
	if slices.ContainsFunc(r.Suspects, func(s Suspect) bool { return s.Part == FaultWheel }) {
		r.Notes = append(r.Notes, "a cog and its wheel turn together: coast, and try the next cog")
	}
}

func (r *FaultReport) tell() string {
	if !r.HasApart {
		return "no other gear tells them apart better than the checks at each"
	}
	text := fmt.Sprintf("try %s", r.Apart.GearID)
	for i, x := range r.Apart.Rhythms {
		sep := ","
		if i == 0 {
			sep = ":"
		}
		if x.Gone {
			text += fmt.Sprintf("%s %s: gone", sep, x.Name())
		} else {
			text += fmt.Sprintf("%s %s: every %.2f turns", sep, x.Name(), x.Turns)
		}
	}
	return text
}
