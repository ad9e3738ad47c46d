package main

import (
	"fmt"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// shape finds how chains wear: as told by --chain-life, or by the chain whose
// rate is known best.
func (f plansFlags) shape(path string, chains []wear.ChainWear, r *plansReport) error {
	if *f.chainLife > 0 {
		limit := wear.ReplaceAt(cogsOr11(r.Cogs))
		r.Shape = wear.WearShape{Rate: 1000 * float64(limit) / *f.chainLife}
		r.ShapeFrom = fmt.Sprintf("--chain-life: %s %s to %s %%, taken as straight", num(r.units.Distance(*f.chainLife), 0), r.units.DistanceUnit(), num(float64(limit), 2))
		return nil
	}
	known, ok := wear.BestRate(chains)
	if !ok {
		return fmt.Errorf("%s: plans need to know how fast a chain wears: a reading of one whose fitted_at is known, or --chain-life", path)
	}
	r.Shape, r.ShapeFrom = known.Shape, r.knownWords(known)
	return nil
}

// knownWords say which chain the lives are taken from, and why that one.
func (r *plansReport) knownWords(k wear.KnownRate) string {
	id, text := k.Chain.ID, ""
	switch {
	case !k.Straight:
		text = fmt.Sprintf("the readings of %s (%s fits best; the mean of both shapes by their weights counts)", id, k.Chain.Forecast.Shape)
	case len(k.Chain.Points) == 1:
		text = fmt.Sprintf("a straight line from new to the one distance at which %s was read; nothing checks it: read it again", id)
	default:
		text = fmt.Sprintf("a straight line from new to the last distance at which %s was read; nothing checks it: read it again", id)
	}
	if k.Of > 1 {
		text += fmt.Sprintf("; of %d chains its rate is known best, +- %s %% a 1000 %s", k.Of, perThousand(r.units.PerDistance(k.Shape.RateError)), r.units.DistanceUnit())
	}
	if k.Chain.TakesTurns() {
		text += "; in the chain's own distance"
	}
	return text
}

// cogsOr11 stands in for a number of cogs that is not known: the stricter
// limit.
func cogsOr11(cogs int) int {
	if cogs == 0 {
		return 11
	}
	return cogs
}

// schedule plans a rotation of the chains that are in use, and of as many new
// ones as --rotate asks for beside those that are not at the limit yet.
func (f plansFlags) schedule(log gearing.WearLog, r *plansReport) error {
	in := wear.RotateInput{Shape: r.Shape, Band: gearing.Percent(*f.band), Limit: gearing.Percent(*f.limit)}
	r.Assumed = []string{}
	due := []wear.InTurn{} // at the limit by their verdict
	for _, p := range log.Parts {
		if p.Kind != gearing.PartChain || p.RemovedKM >= 0 || len(in.Chains) == 20 {
			continue
		}
		d := r.verdictOn(p.ID)
		turn := wear.InTurn{ID: p.ID, Elongation: d.Elongation}
		if d.Verdict == wear.Replace && in.Limit <= d.Limit {
			due = append(due, turn)
			continue
		}
		if !d.HasElongation {
			r.Assumed = append(r.Assumed, "never read, so taken as new: "+p.ID)
		}
		in.Chains = append(in.Chains, turn)
	}
	usable := 0
	for _, t := range in.Chains {
		if t.Elongation < in.Limit {
			usable++
		}
	}
	fresh := max(0, *f.rotate-usable)
	for i := range fresh {
		in.Chains = append(in.Chains, wear.InTurn{ID: fmt.Sprintf("new chain %d", i+1)})
	}
	if fresh > 0 {
		r.Assumed = append(r.Assumed, fmt.Sprintf("%s bought for it, --rotate %d", plural(fresh, "new chain"), *f.rotate))
	}
	var err error
	r.Rotation, err = wear.Rotate(in)
	r.Rotation.LeftOut = append(due, r.Rotation.LeftOut...)
	return err
}
