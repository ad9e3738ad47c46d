package wear

import (
	"cmp"
	"fmt"
	"slices"

	"cagewise/gearing"
)

// decider holds what the verdicts of one log share.
type decider struct {
	in       DecideInput
	units    lengths
	km       float64
	states   map[string]ChainState
	findings map[string][]*gearing.WearFinding // by part, by distance
	cassette *gearing.WearPart                 // that is on the bike
	chain    *gearing.WearPart                 // that is on the bike
	history  history
	// shares of the cassette's tooth wear, 0 to 1, by place of the cog.
	shares     []float64
	onCassette []*gearing.WearFinding // see cassetteFindings
	defaultUse bool
	limit      gearing.Percent
	limitNote  string
	risks      []CogRisk // of the cassette, by place of the cog
	// chainWanted: a chain on the bike is, or may be, due.
	chainWanted bool
}

func newDecider(in DecideInput) *decider {
	d := &decider{in: in, units: unitsOf(in.Log), km: in.KM, states: map[string]ChainState{}, findings: map[string][]*gearing.WearFinding{}}
	if d.km == 0 {
		d.km = OdometerOf(in.Log).KM
	}
	for _, c := range in.Chains {
		if c.wear != nil && c.at < d.km {
			c = stateOf(c.wear, d.km)
		}
		d.states[c.ID] = c
	}
	for i := range in.Log.Findings {
		f := &in.Log.Findings[i]
		d.findings[f.Part] = append(d.findings[f.Part], f)
	}
	for _, list := range d.findings {
		slices.SortStableFunc(list, func(a, b *gearing.WearFinding) int { return cmp.Compare(a.KM, b.KM) })
	}
	d.cassette, d.chain = onBike(in.Log, gearing.PartCassette), d.chainNow()
	d.setLimit()
	d.history = d.cassetteHistory()
	d.shares, d.defaultUse = d.useShares()
	d.onCassette = d.cassetteFindings()
	d.risks = d.cogRisks()
	return d
}

// latestKM is the last distance that a log names.
func latestKM(l gearing.WearLog) float64 {
	last := 0.0
	for _, p := range l.Parts {
		last = max(last, p.FittedKM, p.RemovedKM)
	}
	for _, r := range l.Readings {
		last = max(last, r.KM)
	}
	for _, f := range l.Findings {
		last = max(last, f.KM)
	}
	return last
}

// isOff tells whether a part was taken off.
func isOff(p gearing.WearPart) bool { return p.RemovedKM >= 0 }

// onBike is the part of a kind that was fitted last and not taken off; nil when
// there is none.
func onBike(l gearing.WearLog, kind gearing.PartKind) *gearing.WearPart {
	var found *gearing.WearPart
	for i := range l.Parts {
		p := &l.Parts[i]
		if p.Kind == kind && !isOff(*p) && (found == nil || p.FittedKM > found.FittedKM) {
			found = p
		}
	}
	return found
}

// chainNow is the chain that the last ride names, or the one fitted last.
func (d *decider) chainNow() *gearing.WearPart {
	for i := len(d.in.Log.Rides) - 1; i >= 0; i-- {
		id := d.in.Log.Rides[i].Chain
		for k := range d.in.Log.Parts {
			p := &d.in.Log.Parts[k]
			if id != "" && p.ID == id && p.Kind == gearing.PartChain && !isOff(*p) {
				return p
			}
		}
	}
	return onBike(d.in.Log, gearing.PartChain)
}

// setLimit finds the limit by the number of cogs; the lower one when that is
// not known.
func (d *decider) setLimit() {
	cogs := d.in.Cogs
	if d.cassette != nil && len(d.cassette.Teeth) > 0 {
		cogs = len(d.cassette.Teeth)
	}
	if d.limit = ReplaceAt(cogs); cogs > 0 {
		return
	}
	d.limit = ReplaceAt(manyCogs)
	d.limitNote = fmt.Sprintf("number of cogs not known: the lower limit of %s is taken", sayPercent(d.limit))
}

// history is what a cassette has run with.
type history struct {
	known bool
	chain string // ID of the chain that counts
	// elongation of that chain, its standard error, and the part of that chain's
	// distance that it ran on this cassette, 0 to 1.
	elongation, sigma gearing.Percent
	part              float64
	off               bool // that chain was taken off
	chains            int  // that ran on it and were read
}

// taken is how far the cassette's most used cog can have followed the chain
// (invented here): as far as the chain is worn, for the part of its distance
// that it ran on this cassette.
func (h history) taken() gearing.Percent { return max(0, h.elongation) * gearing.Percent(h.part) }

// cassetteHistory finds the chain with the highest elongation that the
// cassette has run with.
func (d *decider) cassetteHistory() history {
	var h history
	if d.cassette == nil {
		return h
	}
	for _, p := range d.in.Log.Parts {
		s := d.states[p.ID]
		if p.Kind != gearing.PartChain || !s.HasReading {
			continue
		}
		part, ran := d.together(p)
		if !ran {
			continue
		}
		try := history{known: true, chain: p.ID, elongation: s.Elongation, sigma: s.Error, part: part, off: isOff(p)}
		chains := h.chains + 1
		if !h.known || try.taken() > h.taken() {
			h = try
		}
		h.chains = chains
	}
	return h
}

// together is the part of a chain's distance that it ran on the cassette; all
// of it when a distance is not known.
func (d *decider) together(chain gearing.WearPart) (part float64, ran bool) {
	end := d.km
	if isOff(chain) {
		end = chain.RemovedKM
	}
	from := d.cassette.FittedKM
	if from >= 0 && isOff(chain) && end <= from {
		return 0, false
	}
	if from < 0 || chain.FittedKM < 0 || end <= chain.FittedKM {
		return 1, true
	}
	on, all := end-max(from, chain.FittedKM), end-chain.FittedKM
	if c := d.states[chain.ID].wear; c != nil && c.TakesTurns() {
		on, all = c.OwnKM(end)-c.OwnKM(max(from, chain.FittedKM)), c.OwnKM(end)
	}
	if all <= 0 {
		return 1, true
	}
	return min(1, max(0, on/all)), true
}

// forgotten names chains that are not said to be off the bike, though another was
// fitted after their last reading and no ride names them.
func (d *decider) forgotten() (notes []string) {
	for _, p := range d.in.Log.Parts {
		s := d.states[p.ID]
		if p.Kind != gearing.PartChain || isOff(p) || d.chain == nil || p.ID == d.chain.ID || s.wear == nil || s.wear.Now.KM > d.chain.FittedKM {
			continue
		}
		if !slices.ContainsFunc(d.in.Log.Rides, func(r gearing.WearRide) bool { return r.Chain == p.ID }) {
			notes = append(notes, fmt.Sprintf("%s is not said to be off the bike, though %s was fitted after its last reading: if it is off, give its removed_at; until then it is judged as ridden on", p.ID, d.chain.ID))
		}
	}
	return notes
}
