package main

import (
	"fmt"
	"strings"

	"cagewise/sim"
)

// nonsenseWords warn of ratings that no usual derailleur keeps; "" where they
// are none.
func nonsenseWords(a *sim.Advice) string {
	if !a.Nonsense {
		return ""
	}
	return "The ratings suit no usual derailleur with a cage of this length: look at the rated capacity, the rated largest cog and the pulley centres again. The chances here are worth little until then."
}

// measureWords say how to measure an input on the bike.
var measureWords = map[sim.Input]string{
	sim.InputPivotLargeY:   "where the cage pivot stands on the largest cog, ahead of and above the axle (pivot_large_x and pivot_large_y)",
	sim.InputPivotSmallY:   "where the cage pivot stands on the smallest cog, ahead of and above the axle (pivot_small_x and pivot_small_y)",
	sim.InputPivotAcross:   "the cage's triangle, from the cage pivot to both pulley bolts (pivot_to_guide and pivot_to_tension)",
	sim.InputPulleyCentres: "the distance between the two pulley bolts (pulley_centres)",
	sim.InputHangerY:       "the hanger bolt, behind and below the axle (hanger_behind and hanger_below)",
	sim.InputStopRear:      "the rear cage stop: swing the cage back to its end by hand and read its angle (cage_stop_rear)",
	sim.InputStopForward:   "the forward cage stop: push the cage forward to its end by hand and read its angle (cage_stop_forward)",
}

// nextWords say what to measure first and what it would bring; "" where nothing
// helps.
func nextWords(a *sim.Advice) string {
	m := a.Next
	if !m.Helps {
		return ""
	}
	what, ok := measureWords[m.Input]
	if !ok {
		what = m.Input.String()
	}
	which := "that the gears not lost run"
	if m.AllGears || len(a.Lost()) == 0 {
		which = "that every gear runs"
	}
	return fmt.Sprintf("Measure first: %s. The chance %s would then be %s or %s, by what you find.", what, which, chanceWords(m.Low), chanceWords(m.High))
}

// remedyWords name what would help, with the chance that every gear runs then;
// "" where nothing does.
func remedyWords(a *sim.Advice) string {
	if len(a.Remedies) == 0 {
		return ""
	}
	var words []string
	for _, r := range a.Remedies {
		words = append(words, fmt.Sprintf("%s (%s %%)", remedy(r), percentOf(r.Chance)))
	}
	return fmt.Sprintf("What would help: %s. In brackets stands the chance that every gear runs then.", strings.Join(words, ", "))
}

// remedy is a change in words.
func remedy(r sim.Remedy) string {
	switch r.Kind {
	case sim.LongerScrew:
		return "a longer B-screw, of twice the range"
	case sim.TurnScrew:
		return fmt.Sprintf("the B-screw turned to a gap of %d mm", r.To)
	case sim.Extender:
		return fmt.Sprintf("a hanger extender of %d mm", r.To)
	case sim.LongerChain:
		return fmt.Sprintf("a chain of %d pitches", r.To)
	case sim.SmallerCog:
		return fmt.Sprintf("a largest cog of %d teeth", r.To)
	case sim.LargerCog:
		return fmt.Sprintf("a smallest cog of %d teeth", r.To)
	case sim.LargerRing:
		return fmt.Sprintf("a smallest ring of %d teeth", r.To)
	case sim.SmallerRing:
		return fmt.Sprintf("a largest ring of %d teeth", r.To)
	}
	return r.Kind.String()
}
