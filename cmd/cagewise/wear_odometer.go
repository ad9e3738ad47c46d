package main

// writeOdometer tells where the distance in the title comes from, if not from
// the log's last entry.
func (r wearReport) writeOdometer(p *page) {
	o := r.Odometer
	if r.KM != o.EntryKM || o.UndatedKM > 0 {
		p.gap()
	}
	if r.KM == o.KM && o.RidesKM > 0 {
		p.para("The odometer is taken to stand at %s: the last dated entry and %s of rides dated after it. --at tells it better.", r.distance(o.KM), r.distance(o.RidesKM))
	}
	if r.KM != o.KM {
		p.para("The odometer stands at %s as --at says; the log ends at %s.", r.distance(r.KM), r.distance(o.EntryKM))
	}
	if o.UndatedKM > 0 {
		p.para("%s of rides without a date to place them by are not counted: if they came after the last entry, say where the odometer stands now with --at.", r.distance(o.UndatedKM))
	}
}

// distance writes a distance in the log's unit.
func (r wearReport) distance(km float64) string { return inUnit(km, r.miles) }

// bare is distance without the unit.
func (r wearReport) bare(km float64) string {
	return num(unitsOf(r.miles).Distance(km), 0)
}

func (r wearReport) unit() string {
	return unitsOf(r.miles).DistanceUnit()
}
