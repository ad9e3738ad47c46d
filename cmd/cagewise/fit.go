package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

func fitCommand() command {
	return command{
		name: "fit", args: "[BUILD FILE] [flags]", summary: "does the derailleur carry it, how long is the chain, what is lost",
		about: "Exit status 1 when the build does not work; by the ratings alone also when it is over one that no choice of chain can mend. A simulated build beyond a rating says so and is judged by the simulation.",
		examples: []example{
			{"fit tour.toml --capacity 37 --pulley-centres 76", "does it work, and how long must the chain be"},
			{"fit tour.toml --chain 112", "may the chain that is on the bike stay"},
			{quickQuestion, "a quick question without a file"},
			{"fit examples/gravel.toml --also examples/gravel-measured.toml", "one chain for two wheels"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a gear) or markdown")
			addRulerUnitsFlag(flags)
			also := flags.String("also", "", "build file of a second wheel that shares the chain")
			buildFlags(flags)
			return func(c *call) (int, error) { return runFit(c, out, *also) }
		},
	}
}

func runFit(c *call, out outputFlags, also string) (int, error) {
	in, err := c.load()
	if err != nil {
		return 0, err
	}
	r, err := newFitReport(in)
	if err != nil {
		return 0, err
	}
	if err := r.share(in.build.Build, also); err != nil {
		return 0, err
	}
	if err := c.emit(out, in, r); err != nil {
		return 0, err
	}
	if r.Verdict.Fails() || r.Shared != nil && r.Shared.Window.Shortest == 0 {
		return exitVerdict, nil
	}
	return exitFine, nil
}

// fitDefaults are the keys whose defaults bear on the fit.
var fitDefaults = []string{
	"frame.bottom_bracket_drop", "frame.axle_end_width", "rings.chain_line", "rings.spacing", "rings.thickness",
	"cogs.spacing", "cogs.thickness", "cogs.axle_face_gap", "chain.width",
}

// fitReport is what `cagewise fit` says, in every format.
type fitReport struct {
	Build buildSummary `json:"build"`
	gearing.RatedFit
	// PulleyMethods are the shop methods that need the pulleys; empty, with
	// the reason in PulleyMethodsMissing, when the geometry is not known.
	PulleyMethods        []gearing.MethodLength `json:"pulley_methods"`
	PulleyMethodsMissing string                 `json:"pulley_methods_missing,omitempty"`
	PulleyKnowledge      sim.Knowledge          `json:"derailleur_knowledge"`
	// RatedVerdict is the verdict by the ratings alone; Verdict is the
	// simulated one where there is a simulation.
	RatedVerdict gearing.Verdict `json:"rated_verdict"`
	Simulation   *sim.Answer     `json:"simulation,omitempty"`
	// SimulationMissing says why there is none.
	SimulationMissing string          `json:"simulation_missing,omitempty"`
	Shared            *sharedChain    `json:"shared_chain,omitempty"`
	Cautions          []string        `json:"cautions"`
	Defaults          []build.Default `json:"defaults"`

	// Lowered is how far the invented cage pivot was moved down.
	Lowered gearing.MM `json:"pivot_lowered_mm"`

	units  gearing.Units // of what people read
	turned *sim.Answer   // with the B-screw at its usual gap, where that mends the build
}

func newFitReport(in input) (fitReport, error) {
	rated, err := gearing.NewRatedFit(in.build.Build)
	if errors.Is(err, gearing.ErrNoChainstay) {
		return fitReport{}, fmt.Errorf("fit needs the chainstay length: frame.chainstay in the build file or --chainstay, crank centre to rear axle centre in mm")
	} else if err != nil {
		return fitReport{}, err
	}
	r := fitReport{Build: summarise(in.build.Build), RatedFit: rated, RatedVerdict: rated.Verdict, Cautions: cautions, Defaults: defaultsOf(in.defaults, fitDefaults...), units: in.units}
	r.PulleyMethods, err = sim.PulleyMethods(in.build.Build)
	r.PulleyMethods = listed(r.PulleyMethods)
	switch {
	case errors.Is(err, sim.ErrNoGeometry):
		r.PulleyMethodsMissing = "needs the distance between the pulley centres: rear_derailleur.pulley_centres or --pulley-centres, a ruler on the two cage bolts"
	case err != nil:
		r.PulleyMethodsMissing = err.Error()
	default:
		d, _ := sim.NewDerailleur(in.build.Build)
		r.PulleyKnowledge = d.Knowledge
	}
	return r, r.simulate(in)
}

func (r fitReport) titleText() string { return r.Build.heading() }

// csvTable is one row a gear.
func (r fitReport) csvTable() *table { return r.gearTable() }

// write puts the report on a page: the verdict first, then the reasons.
func (r fitReport) write(p *page) {
	p.verdict(r.Verdict, r.sentence())
	r.writeSimulation(p)
	r.Shared.write(p)
	r.writeRatings(p)
	r.writeLengths(p)
	r.writeOwned(p)
	r.writeLines(p)
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
	writeDefaults(p, r.Defaults)
}

// sentence is the verdict in plain words.
func (r fitReport) sentence() string {
	if r.Simulation != nil {
		return r.overRating() + r.simSentence()
	}
	switch r.Verdict {
	case gearing.Works:
		return "By the ratings given every gear is carried" + r.unchecked() + ". " + r.chainSentence()
	case gearing.WorksWithout:
		return r.lostSentence() + " There it hangs slack and may drop; nothing breaks. " + r.chainSentence()
	case gearing.CannotTell:
		return "No rated capacity is given, so the ratings say nothing about slack. " + r.chainSentence()
	case gearing.OverRating:
		return "The makers' ratings do not carry this build: " + r.brokenLimits() + ". " + r.lostWords() + r.chainSentence()
	}
	if r.Owned != nil && r.Owned.State != gearing.OwnedLongEnough {
		return r.ownedSentence() + " Never ride it so, not even with a promise to keep out of those gears."
	}
	return "No gear is left within the rated capacity: the chain is far too long."
}

// unchecked owns up to the limit that wide cassettes break first.
func (r fitReport) unchecked() string {
	for _, c := range r.Checks {
		if c.Name == gearing.RatedLargestCog && !c.Known {
			return "; the largest cog was not checked, its rating is not given"
		}
	}
	return ""
}

// lostSentence tells which gears the rated capacity leaves out, and why.
func (r fitReport) lostSentence() string {
	if r.Owned != nil && len(r.Owned.Slack) > 0 {
		all := append(r.Owned.Slack[:len(r.Owned.Slack):len(r.Owned.Slack)], r.Lost...)
		return fmt.Sprintf("Your chain is %s longer than needed, too long for %s by the rating: shorten it, or keep out of %s.",
			pitches(-r.Owned.Add), plural(len(all), "gear"), gearList(all))
	}
	return fmt.Sprintf("Sized for the largest ring and cog, the chain is too long for %s: keep out of %s.",
		plural(len(r.Lost), "gear"), gearList(r.Lost))
}

// chain spells a chain count.
func (r fitReport) chain(pitches int) string { return r.units.Chain(gearing.Pitches(pitches)) }

func (r fitReport) chainSentence() string {
	if r.Owned == nil {
		return fmt.Sprintf("Cut the chain to %s.", r.chain(r.Lengths.Recommended))
	}
	if r.Owned.Add < 0 {
		return fmt.Sprintf("The chain of %s is long enough; %d pitches would do.", r.chain(r.Owned.Pitches), r.Lengths.Recommended)
	}
	return fmt.Sprintf("The chain of %s can stay.", r.chain(r.Owned.Pitches))
}

// lostWords name the gears that the rated capacity leaves out, if any.
func (r fitReport) lostWords() string {
	if len(r.Lost) == 0 {
		return ""
	}
	return r.lostSentence() + " "
}

// overRating says first that a maker's limit is exceeded, whatever the
// simulation finds, and where that rests on a pivot nobody has measured.
func (r fitReport) overRating() string {
	broken := r.brokenLimits()
	if broken == "" {
		return ""
	}
	s := "Beyond the makers' ratings (" + broken + "). "
	if c := r.check(gearing.RatedLargestCog); r.Lowered > 0 && c.Known && !c.OK() {
		s += fmt.Sprintf("The typical geometry taken here clears a cog of %d teeth, which the rating denies: measure your cage pivot on the largest cog before you buy. ", c.Needed)
	}
	return s
}

func (r fitReport) check(name gearing.RatingName) gearing.RatingCheck {
	for _, c := range r.Checks {
		if c.Name == name {
			return c
		}
	}
	return gearing.RatingCheck{}
}

func (r fitReport) brokenLimits() string {
	var parts []string
	for _, c := range r.Checks {
		if !c.OK() {
			parts = append(parts, checkWords(c))
		}
	}
	return strings.Join(parts, "; ")
}

func checkWords(c gearing.RatingCheck) string {
	bound, side := "at most", side(c)
	if c.AtLeast {
		bound = "at least"
	}
	s := fmt.Sprintf("%s %d teeth, rated %s %d", c.Name, c.Needed, bound, c.Limit)
	if !c.OK() {
		s += fmt.Sprintf(", %d %s", -c.Margin(), side)
	}
	return s
}

// side is the wrong side of a limit.
func side(c gearing.RatingCheck) string {
	if c.AtLeast {
		return "under"
	}
	return "over"
}

func (r fitReport) writeRatings(p *page) {
	p.section("Against the makers' ratings")
	for _, c := range r.Checks {
		switch {
		case !c.Known:
			p.item("?", "%s: %d teeth, no rating given", c.Name, c.Needed)
		case c.OK():
			p.item("ok", "%s", checkWords(c))
		default:
			p.item(side(c), "%s", checkWords(c))
		}
	}
	if len(r.Lost) > 0 {
		p.item("", "Lost with a chain for the largest ring and cog: %s.", gearList(r.Lost))
	}
	p.para("Ring difference plus cog difference is the capacity needed; gear F x R asks the cage to take up (largest ring - F) + (largest cog - R).")
}

// gearTable is the machine's table: one row a gear.
func (r fitReport) gearTable() *table {
	t := &table{cols: []column{
		{key: "gear", head: "gear", left: true}, {key: "ring_teeth", head: "ring"}, {key: "cog_teeth", head: "cog"},
		{key: "lost_by_rating", head: "lost", left: true},
		{key: "chain_line_offset_mm", head: "offset", unit: "mm"},
		{key: "chain_line_angle_deg", head: "angle", unit: "deg"},
		{key: "next_ring_clearance_mm", head: "next ring", unit: "mm"},
	}}
	lost := map[gearing.GearID]bool{}
	for _, g := range r.Lost {
		lost[g] = true
	}
	for _, g := range r.Line.Gears {
		next := ""
		if g.HasNextRing {
			next = num(float64(g.NextRing), 2)
		}
		t.add(g.GearID.String(), whole(g.Ring), whole(g.Cog), fmt.Sprint(lost[g.GearID]), num(float64(g.Offset), 2), num(float64(g.Angle), 2), next)
	}
	r.addStates(t)
	return t
}
