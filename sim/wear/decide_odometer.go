package wear

import "cagewise/gearing"

// Odometer is where the bike is by its log.
type Odometer struct {
	// KM is EntryKM and the rides after it.
	KM float64 `json:"km"`
	// EntryKM is the last distance that a part, a reading or a finding names.
	EntryKM float64 `json:"last_entry_km"`
	// RidesKM are rides dated after the last dated entry; they count.
	RidesKM float64 `json:"rides_after_it_km"`
	// UndatedKM are rides without a date, or dated in a log whose entries have
	// none: they are in EntryKM or not, and do not count.
	UndatedKM float64 `json:"rides_that_cannot_be_placed_km"`
}

// OdometerOf finds where the bike is: the last distance in the log, and the
// rides dated after the last dated one.
func OdometerOf(l gearing.WearLog) Odometer {
	o := Odometer{EntryKM: latestKM(l)}
	last := lastDay(l)
	for _, r := range l.Rides {
		switch {
		case r.On.IsZero() || last.on.IsZero():
			o.UndatedKM += r.KM
		case r.On.After(last.on):
			o.RidesKM += r.KM
		}
	}
	o.KM = max(o.EntryKM, last.km+o.RidesKM)
	if o.KM == o.EntryKM { // an entry without a date lies further on
		o.RidesKM = 0
	}
	return o
}
