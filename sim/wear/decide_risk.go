package wear

import (
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
)

// RiskClass is how likely a new chain skips on a used cog: a risk, never a
// promise.
type RiskClass string

// The classes of risk.
const (
	RiskLow    RiskClass = "low"
	RiskTry    RiskClass = "try it"
	RiskLikely RiskClass = "likely"
)

func (c RiskClass) rank() int {
	switch c {
	case RiskLikely:
		return 2
	case RiskTry:
		return 1
	}
	return 0
}

// CogRisk is the risk that a new chain skips on one cog.
type CogRisk struct {
	Cog gearing.Teeth `json:"cog_teeth"`
	// Share of the cassette's tooth wear, percent.
	Share gearing.Percent `json:"tooth_wear_share_percent"`
	// HasFigures: the chains the cassette has run with are known. Without,
	// only a finding tells, and the figures are 0.
	HasFigures bool `json:"has_figures"`
	// Taken is the pitch error that the cog is thought to have taken on.
	Taken gearing.Percent `json:"taken_on_percent"`
	// Mismatch is what a new chain is short over the teeth that bear, Least
	// and Most the play that seats made to ISO 606 leave it.
	Mismatch gearing.MM `json:"mismatch_mm"`
	Least    gearing.MM `json:"least_play_mm"`
	Most     gearing.MM `json:"most_play_mm"`
	Class    RiskClass  `json:"risk"`
	// Worst is the class were the chain two errors more worn than read.
	Worst RiskClass `json:"risk_at_two_errors"`
	// Override is the finding that decided in place of the figures.
	Override string `json:"decided_by_finding,omitempty"`
}

// DefaultUseKM is the distance of rides that counts as much as the default use
// of cogs does (invented here): a rider's habits show within a few days, one
// short ride says nothing of the cogs it did not touch.
const DefaultUseKM = 200.0

// defaultShares are the shares of tooth wear of a cassette whose use is not
// known: work falls off evenly on both sides of a favourite a little to the
// small side of the middle, and a tooth's wear is work over teeth (invented
// here; default, widely varying).
func defaultShares(cogs []gearing.Teeth) []float64 {
	shares := make([]float64, len(cogs))
	favourite := 0.4 * float64(len(cogs)-1)
	for i, c := range cogs {
		work := 1 - math.Abs(float64(i)-favourite)/float64(len(cogs))
		shares[i] = work / float64(max(c, 1))
	}
	return normalised(shares)
}

func normalised(shares []float64) []float64 {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	if sum == 0 {
		return shares
	}
	for i := range shares {
		shares[i] /= sum
	}
	return shares
}

// useShares are the shares of the cassette's cogs, 0 to 1; isDefault when the
// owner's rides do not tell any.
func (d *decider) useShares() (shares []float64, isDefault bool) {
	if d.cassette == nil {
		return nil, false
	}
	shares = make([]float64, len(d.cassette.Teeth))
	sum := 0.0
	for i, c := range d.cassette.Teeth {
		for _, u := range d.in.Usage {
			if u.Cog == c {
				shares[i] = float64(u.Share)
				sum += shares[i]
			}
		}
	}
	usual := defaultShares(d.cassette.Teeth)
	if sum == 0 {
		return usual, true
	}
	shares = normalised(shares)
	if km := d.in.UsageKM; km > 0 {
		seen := km / (km + DefaultUseKM)
		for i := range shares {
			shares[i] = seen*shares[i] + (1-seen)*usual[i]
		}
	}
	return shares, false
}

// cogRisks are the risks of all cogs of the cassette, were a new chain fitted.
// The most used cog is taken to have followed the chain wholly, the others in
// proportion to their share of the wear (invented here).
func (d *decider) cogRisks() []CogRisk {
	if d.cassette == nil || !d.history.known {
		return d.foundRisks()
	}
	most := 0.0
	for _, s := range d.shares {
		most = max(most, s)
	}
	list := make([]CogRisk, len(d.cassette.Teeth))
	for i, c := range d.cassette.Teeth {
		list[i] = d.cogRisk(c, d.shares[i], most)
		d.override(&list[i])
	}
	return list
}

func (d *decider) cogRisk(c gearing.Teeth, share, most float64) CogRisk {
	part := gearing.Percent(share / most)
	r := CogRisk{Cog: c, HasFigures: true, Share: gearing.Percent(100 * share), Taken: part * d.history.taken()}
	r.Least, r.Most = SeatPlay(gearing.RollerDiameter)
	r.Mismatch = Mismatch(r.Taken, c)
	r.Class = classOf(r.Mismatch)
	worse := d.history
	worse.elongation += 2 * worse.sigma
	r.Worst = classOf(Mismatch(part*worse.taken(), c))
	return r
}

// foundRisks are those cogs that a finding alone tells of.
func (d *decider) foundRisks() []CogRisk {
	var list []CogRisk
	if d.cassette == nil {
		return nil
	}
	for i, c := range d.cassette.Teeth {
		r := CogRisk{Cog: c, Share: gearing.Percent(100 * d.shares[i])}
		if d.override(&r); r.Override != "" {
			list = append(list, r)
		}
	}
	return list
}

// override lets what was seen on a cog decide: the latest finding that tells.
func (d *decider) override(r *CogRisk) {
	for i := len(d.onCassette) - 1; i >= 0; i-- {
		f := d.onCassette[i]
		if class := d.riskFound(f); class != "" && concerns(f, r.Cog) {
			r.Class, r.Worst, r.Override = class, class, d.units.sayFinding(f)
			return
		}
	}
}

// riskFound is what a finding says about a new chain on the cog; "" for
// nothing.
func (d *decider) riskFound(f *gearing.WearFinding) RiskClass {
	switch {
	case f.Kind == gearing.FindSkip && f.Loaded, f.Kind == gearing.FindTeeth && f.Degree == gearing.DegreeHooked,
		f.Kind == gearing.FindLift && f.Degree != gearing.DegreeSlight:
		return RiskLikely
	case f.Kind == gearing.FindNothing && f.Loaded && d.chainWasNew(f.KM):
		return RiskLow
	}
	return ""
}

// concerns tells whether a finding was made on a cog.
func concerns(f *gearing.WearFinding, c gearing.Teeth) bool {
	return len(f.Cogs) == 0 || slices.Contains(f.Cogs, c)
}

// cogsWith lists the cogs whose risk fits.
func cogsWith(risks []CogRisk, fits func(CogRisk) bool) []gearing.Teeth {
	var list []gearing.Teeth
	for _, r := range risks {
		if fits(r) {
			list = append(list, r.Cog)
		}
	}
	return list
}

// cogsAt lists the cogs of at least a class of risk.
func (d *decider) cogsAt(class RiskClass) []gearing.Teeth {
	return cogsWith(d.risks, func(r CogRisk) bool { return r.Class.rank() >= class.rank() })
}

// cogsOf lists the cogs of just one class of risk.
func (d *decider) cogsOf(class RiskClass) []gearing.Teeth {
	return cogsWith(d.risks, func(r CogRisk) bool { return r.Class == class })
}

// likelyCogs are those that a new chain is likely to skip on.
func (x Decision) likelyCogs() []gearing.Teeth {
	return cogsWith(x.Risk, func(r CogRisk) bool { return r.Class == RiskLikely })
}

// foundCogs are the likely ones that a finding tells of.
func (x Decision) foundCogs() []gearing.Teeth {
	return cogsWith(x.Risk, func(r CogRisk) bool { return r.Class == RiskLikely && r.Override != "" })
}

func (r CogRisk) say() string {
	if r.Override != "" {
		return fmt.Sprintf("%d: %s (%s)", r.Cog, r.Class, r.Override)
	}
	return fmt.Sprintf("%d: %s", r.Cog, r.Class)
}
