package gearing

import "math"

// DefaultLoadAllowance is taken off the nominal circumference for the loaded
// tyre (common practice, no source). Public roll-out lists scatter within 1 %
// about the nominal circumference, so a measured roll-out beats it.
const DefaultLoadAllowance Percent = 1

// NominalCircumference is pi (bead seat + 2 x section), the unloaded tyre of
// an ETRTO marking (ISO 5775).
func (w Wheel) NominalCircumference() MM {
	return MM(math.Pi) * (w.BeadSeat + 2*w.Section)
}

// RollOut is the distance of one wheel turn: the measured one where there is
// one, otherwise the nominal circumference less LoadAllowance.
func (w Wheel) RollOut() Metres {
	if w.MeasuredRollOut > 0 {
		return w.MeasuredRollOut.Metres()
	}
	return (w.NominalCircumference() * MM(1-w.LoadAllowance/100)).Metres()
}

// Diameter is the diameter that belongs to RollOut; gear inches use it.
func (w Wheel) Diameter() Inches {
	return (MM(w.RollOut()*1000) / math.Pi).Inches()
}
