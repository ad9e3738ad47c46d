package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

func fitCommand() command {
	return command{
		name: "fit", args: "[BUILD FILE] [flags]", summary: "does the derailleur carry it, how long is the chain, what is lost",
		about: "The verdict goes by the chance that every gear but those named as lost runs: works from 95 %, likely works from 75, cannot tell from 25, likely does not work from 5, else does not work; so does a chain at hand that is too short. Exit status 0 when it works or likely works, 1 otherwise. The less is known of the derailleur, the wider are the chances: pulley centres, the makers' ratings and readings on the bike (`cagewise measure`) narrow them. With --also the verdict is that of one chain for both wheels, and flags count for both.",
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
	if also != "" {
		if err := r.share(c, also); err != nil {
			return 0, err
		}
	}
	if err := c.emit(out, in, r); err != nil {
		return 0, err
	}
	return verdictStatus(r.Verdict), nil
}

// verdictStatus is the exit status of a verdict.
func verdictStatus(v gearing.Verdict) int {
	if v.Yes() {
		return exitFine
	}
	return exitVerdict
}

// fitDefaults are the keys whose defaults bear on the fit.
var fitDefaults = []string{
	"frame.bottom_bracket_drop", "frame.axle_end_width", "rings.chain_line", "rings.spacing", "rings.thickness",
	"cogs.spacing", "cogs.thickness", "cogs.axle_face_gap", "chain.width",
}

// fitReport is what `cagewise fit` says, in every format.
type fitReport struct {
	Build buildSummary `json:"build"`
	// Verdict is the Advice's, with a second wheel that of the shared chain.
	Verdict gearing.Verdict `json:"verdict"`
	// Advice is the one judgement, and what it names in lists; with a second
	// wheel that of the first wheel with the shared chain.
	Advice    sim.Advice       `json:"advice"`
	Dangerous []gearing.GearID `json:"dangerous_gears"`
	Gone      []gearing.GearID `json:"lost_gears"`
	Tight     []gearing.GearID `json:"tight_gears"`
	Doubtful  []gearing.GearID `json:"doubtful_gears"`
	Shared    *sharedChain     `json:"shared_chain,omitempty"`
	// What the ratings and the bare loop say by themselves.
	gearing.RatedFit
	RatedVerdict gearing.Verdict  `json:"rated_verdict"`
	RatedLost    []gearing.GearID `json:"rated_lost_gears"`
	// PulleyMethods are the shop methods that need the pulleys; empty, with
	// the reason in PulleyMethodsMissing, when the geometry is not known.
	PulleyMethods        []gearing.MethodLength `json:"pulley_methods"`
	PulleyMethodsMissing string                 `json:"pulley_methods_missing,omitempty"`
	Simulation           *simulation            `json:"simulation,omitempty"`
	// SimulationMissing says why there is none.
	SimulationMissing string          `json:"simulation_missing,omitempty"`
	Cautions          []string        `json:"cautions"`
	Defaults          []build.Default `json:"defaults"`

	units gearing.Units // of what people read
	study *sim.Study
}

// simulation is what the cage does with the chain judged, but for the Advice.
type simulation struct {
	Fit        sim.Fit          `json:"fit"`
	Margins    []sim.GearMargin `json:"margins"`
	Window     sim.Window       `json:"window"`
	Cap        sim.Capacity     `json:"capacity"`
	FailsFirst sim.End          `json:"fails_first"`
}

// whatIsMissing says what a simulation lacks.
const whatIsMissing = "needs the distance between the two pulley bolts, rear_derailleur.pulley_centres or --pulley-centres, or at least the rated capacity, rear_derailleur.rated_capacity or --capacity"

func newFitReport(in input) (fitReport, error) {
	s, err := in.study()
	if err != nil {
		return fitReport{}, err
	}
	if s.Rated == nil {
		return fitReport{}, fmt.Errorf("fit needs the chainstay length: frame.chainstay in the build file or --chainstay, crank centre to rear axle centre in mm")
	}
	r := fitReport{
		Build: summarise(in.build.Build), RatedFit: *s.Rated, RatedVerdict: s.Rated.Verdict, RatedLost: s.Rated.Lost,
		Cautions: cautions, Defaults: defaultsOf(in.defaults, fitDefaults...), units: in.units, study: s,
	}
	r.take(s.Advice, s.Advice.Verdict)
	r.findMethods(in.build.Build)
	if a := s.Answer; a != nil {
		r.Simulation = &simulation{Fit: a.Fit, Margins: a.Margins, Window: a.Window, Cap: a.Cap, FailsFirst: a.FailsFirst}
	} else {
		r.SimulationMissing = whatIsMissing
	}
	return r, nil
}

// take makes an advice that of the report.
func (r *fitReport) take(a sim.Advice, v gearing.Verdict) {
	r.Verdict, r.Advice = v, a
	r.Dangerous, r.Gone, r.Tight, r.Doubtful = a.Dangerous(), a.Lost(), a.In(sim.Tight), a.Doubtful()
}

func (r *fitReport) findMethods(b gearing.Build) {
	r.PulleyMethods = []gearing.MethodLength{}
	if r.study.Rig == nil {
		r.PulleyMethodsMissing = whatIsMissing
		return
	}
	if list, err := sim.PulleyMethods(b); err != nil {
		r.PulleyMethodsMissing = err.Error()
	} else {
		r.PulleyMethods = list
	}
}

func (r fitReport) titleText() string { return r.Build.heading() }

// write puts the report on a page: the verdict first, then what to do, then the
// reasons.
func (r fitReport) write(p *page) {
	if r.Shared != nil {
		r.writeShared(p)
		return
	}
	p.verdict(r.Verdict, verdictWord(&r.Advice), r.sentence())
	r.writeKeepOut(p, "Gears to keep out of", &r.Advice)
	r.writeNext(p)
	r.writeSimulation(p)
	r.writeRatings(p)
	r.writeLengths(p)
	r.writeOwned(p)
	r.writeLines(p)
	r.writeClose(p)
}

func (r fitReport) writeClose(p *page) {
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
	writeDefaults(p, r.Defaults)
}

// sentence is the verdict in plain words, and what to do with the chain.
func (r fitReport) sentence() string { return adviceWords(&r.Advice, r.units) }

// writeKeepOut names the gears to keep out of and why, and those in doubt.
func (r fitReport) writeKeepOut(p *page, title string, a *sim.Advice) {
	list, doubt, left := keepOut(a), doubtWords(a), leftWords(a)
	if len(list) == 0 && doubt == "" && left == "" {
		return
	}
	p.section(title)
	writeKept(p, list, a)
}

// writeKept is the list itself, for every page that has one.
func writeKept(p *page, list []keptOut, a *sim.Advice) {
	for _, k := range list {
		p.item(k.mark, "%s: %s.", k.list(a), k.words)
	}
	for _, words := range []string{doubtWords(a), leftWords(a)} {
		if words != "" {
			p.item("", "%s", words)
		}
	}
}

// writeNext says what speaks against the build and what would help.
func (r fitReport) writeNext(p *page) {
	list := r.nextSteps(r.study)
	if len(list) == 0 {
		return
	}
	p.section("What to do next")
	for _, words := range list {
		p.item("", "%s", words)
	}
}

// nextSteps are the ratings exceeded, what would help, and what to measure.
func (r fitReport) nextSteps(s *sim.Study) []string {
	list := []string{overRating(s.Rated), nonsenseWords(&s.Advice), remedyWords(&s.Advice), nextWords(&s.Advice), missingWords(s)}
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

// missingWords say what to measure first where nothing is known of the cage; ""
// elsewhere.
func missingWords(s *sim.Study) string {
	if s.Rig != nil {
		return ""
	}
	return "Measure first: a chance " + whatIsMissing + "."
}

// overRating says that a maker's limit is exceeded; "" where none is.
func overRating(f *gearing.RatedFit) string {
	var parts []string
	for _, c := range f.Checks {
		if !c.OK() {
			parts = append(parts, checkWords(c))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("Beyond the makers' ratings: %s. A maker keeps something in hand, and promises nothing beyond it.", strings.Join(parts, "; "))
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
	if len(r.RatedLost) > 0 {
		p.item("", "By the rated capacity alone, with a chain for the largest ring and cog, these would hang slack: %s.", gearList(r.RatedLost))
	}
	p.para("Ring difference plus cog difference is the capacity needed; gear F x R asks the cage to take up (largest ring - F) + (largest cog - R).")
}
