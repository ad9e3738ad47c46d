package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// inStates is a fit of which only the states count.
func inStates(states ...State) Fit {
	f := Fit{Gears: make([]GearFit, len(states))}
	for i, s := range states {
		f.Gears[i].State = s
	}
	return f
}

func TestVerdictOfStates(t *testing.T) {
	tests := []struct {
		f          Fit
		want       gearing.Verdict
		onlyFouls  bool
		slack, bad int
	}{
		{inStates(Clear, Clear), gearing.Works, false, 0, 0},
		{inStates(Clear, Far), gearing.Works, false, 0, 0},
		{inStates(Clear, Slack, Far), gearing.WorksWithout, false, 1, 0},
		{inStates(Slack, Slack), gearing.DoesNotWork, false, 2, 0},
		{inStates(Slack, Fouls, Clear), gearing.DoesNotWork, true, 1, 1},
		{inStates(Fouls, Overstretched), gearing.DoesNotWork, false, 0, 2},
		{inStates(Clear, Locks), gearing.DoesNotWork, false, 0, 1},
		{Fit{Gears: []GearFit{{State: Locks, NoPath: true}, {State: Slack}}}, gearing.DoesNotWork, true, 1, 1},
		{Fit{Gears: []GearFit{{State: Locks, NoPath: true}, {State: Locks}}}, gearing.DoesNotWork, false, 0, 2},
	}
	for i, tt := range tests {
		if got := tt.f.Verdict(); got != tt.want || tt.f.onlyFouls() != tt.onlyFouls {
			t.Errorf("%d: %v, only fouls %v; want %v, %v", i, got, tt.f.onlyFouls(), tt.want, tt.onlyFouls)
		}
		if len(tt.f.inState(Slack)) != tt.slack || len(tt.f.Dangerous()) != tt.bad {
			t.Errorf("%d: %d slack, %d dangerous", i, len(tt.f.inState(Slack)), len(tt.f.Dangerous()))
		}
	}
}

// What is left forward counts from the least reserve of one pitch.
func TestFailsFirst(t *testing.T) {
	for _, c := range []struct {
		gears []GearFit
		want  End
		words string
	}{
		{[]GearFit{{Forward: 2.9, Rearward: 2}}, DangerousEnd, "the dangerous end"}, // 1.9 against 2
		{[]GearFit{{Forward: 3, Rearward: 2}}, NoisyEnd, "the noisy end"},           // as much at either end: noise is the milder
		{[]GearFit{{Forward: 9, Rearward: 2}, {Forward: 2, Rearward: 8}}, DangerousEnd, "the dangerous end"},
		{[]GearFit{{Forward: 9, Rearward: 2}, {NoPath: true}}, NoisyEnd, "the noisy end"},
	} {
		if got := (Fit{Gears: c.gears}).failsFirst(); got != c.want || got.String() != c.words {
			t.Errorf("%+v: %s, want %s", c.gears, got, c.words)
		}
	}
}

// A build that works is turned by any figure, one that fails only by the
// figure that fails.
func TestTurns(t *testing.T) {
	for _, c := range []struct {
		worst State
		k     figure
		dist  float64
		want  bool
	}{
		{Clear, figForward, 1, true}, {Far, figRearward, 1, true}, {Clear, figGap, 1, true},
		{Slack, figRearward, -1, true}, {Slack, figRearward, 0, false}, {Slack, figRearward, 1, false}, {Slack, figForward, 1, true}, {Slack, figGap, 1, true},
		{Fouls, figGap, -1, true}, {Fouls, figGap, 0, false}, {Fouls, figGap, 1, false}, {Fouls, figForward, -1, false}, {Fouls, figRearward, -1, false},
		{Overstretched, figForward, -1, true}, {Overstretched, figForward, 0, false}, {Overstretched, figGap, -1, false},
		{Locks, figForward, -1, true}, {Locks, figForward, 1, false}, {Locks, figRearward, -1, false},
	} {
		if got := turns(c.worst, c.k, c.dist); got != c.want {
			t.Errorf("%s, %s at %v: %v", c.worst, figureWords[c.k], c.dist, got)
		}
	}
}

func id(ring, cog gearing.Teeth) gearing.GearID { return gearing.GearID{Ring: ring, Cog: cog} }

// madeUp is a fit of three gears and its margins; the figures in standard errors
// are 4, 8, 5 and 8, 2, 3 (rearward of 46x11 the least); the last has no path.
func madeUp() (Fit, Margins) {
	f := Fit{Gears: []GearFit{
		{GearID: id(46, 36), Forward: 3, Rearward: 2, Gap: 13},
		{GearID: id(46, 11), Forward: 5, Rearward: 0.5, Gap: 9},
		{GearID: id(30, 11), NoPath: true},
	}}
	m := Margins{Gears: []GearMargin{{0.5, 0.25, 2}, {0.5, 0.25, 2}, {1, 1, 1}}, by: make([]sensitivities, 3)}
	m.errors = [inputs]float64{InputChainstay: 2, InputDrop: 3, InputPivotSmallY: 1, InputStopRear: 0.4, inputBody: 7}
	m.by[1][figRearward] = [inputs]float64{InputChainstay: 0.1, InputPivotSmallY: 0.25, InputHangerX: 5, InputStopRear: -0.5, inputBody: 10}
	return f, m
}

// 0.5 pitch at +- 0.25 are two standard errors: 2.275 % of a normal
// distribution lie beyond (from memory). The chainstay would have to be off by
// 0.5/0.1 = 5 mm or 2.5 of its errors, the pivot by 2 mm or 2, the stop by 1
// degree or 2.5; the drop changes nothing, the hanger is known, the screw set.
func TestWeakestByHand(t *testing.T) {
	f, m := madeUp()
	w := m.weakest(f)
	if !w.Known() || w.GearID != id(46, 11) || w.Figure != "reserve rearward" || w.Unit != "pitches" || w.Value != 0.5 || w.Error != 0.25 {
		t.Errorf("%+v", w)
	}
	if math.Abs(w.Chance-0.02275) > 1e-5 {
		t.Errorf("chance %.5f", w.Chance)
	}
	if w.Soonest != InputPivotSmallY || math.Abs(w.Change+2) > 1e-12 || w.ChangeUnit != "mm" {
		t.Errorf("soonest %s, %v %s", w.Soonest, w.Change, w.ChangeUnit)
	}
	m.errors[InputStopRear] = 0.6 // 1 degree is 1.67 of its errors now
	if w := m.weakest(f); w.Soonest != InputStopRear || math.Abs(w.Change-1) > 1e-12 || w.ChangeUnit != "degrees" {
		t.Errorf("soonest %s, %v %s", w.Soonest, w.Change, w.ChangeUnit)
	}
	m.by[1][figRearward][InputPivotSmallY], m.errors[InputStopRear] = 0.2, 0.4 // 2.5 mm are 2.5 errors, as of the others
	if w := m.weakest(f); w.Soonest != InputChainstay {
		t.Errorf("of three as soon the first is named, not %s", w.Soonest)
	}
}

func TestWeakestFigure(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Fit, *Margins)
		gear   gearing.GearID
		figure string
		value  float64
	}{
		{"gap", func(_ *Fit, m *Margins) { m.Gears[1].Gap = 4 }, id(46, 11), "pulley gap", 6}, // 1.5
		{"forward", func(_ *Fit, m *Margins) { m.Gears[0].Forward = 2 }, id(46, 36), "reserve forward", 2},
		{"one gear slack, what mends it", func(f *Fit, _ *Margins) { f.Gears[1].State, f.Gears[1].Rearward = Slack, -0.1 }, id(46, 11), "reserve rearward", -0.1},
		{"one gear slack, what endangers", func(f *Fit, m *Margins) { f.Gears[1].State, f.Gears[1].Rearward, m.Gears[1].Gap = Slack, -5, 30 }, id(46, 11), "pulley gap", 6},
		{"two short, the worse", func(f *Fit, _ *Margins) {
			f.Gears[0].State, f.Gears[0].Forward, f.Gears[1].State, f.Gears[1].Forward = Overstretched, 0.8, Overstretched, 0.5
		}, id(46, 11), "reserve forward", -0.5},
		{"no error but the least", func(_ *Fit, m *Margins) {
			m.Gears[0], m.Gears[1] = GearMargin{}, GearMargin{Gap: leastError, Rearward: leastError / 2}
		}, id(46, 11), "pulley gap", 6},
		{"as weak: the first", func(_ *Fit, m *Margins) { m.Gears[0].Forward = 1 }, id(46, 36), "reserve forward", 2},
	}
	for _, tt := range tests {
		f, m := madeUp()
		tt.change(&f, &m)
		w := m.weakest(f)
		if w.GearID != tt.gear || w.Figure != tt.figure || math.Abs(w.Value-tt.value) > 1e-12 || (w.Unit == "mm") != (tt.figure == "pulley gap") {
			t.Errorf("%s: %s %s %v %s", tt.name, w.GearID, w.Figure, w.Value, w.Unit)
		}
	}
	f, m := madeUp()
	m.Gears = make([]GearMargin, 3)
	if w := m.weakest(f); w.Known() || m.gain(f, w) != (Gain{}) {
		t.Errorf("nothing carries an error: %+v", w)
	}
}

// Errors 0.6, 0.45 and 0.2 make 0.776; measured to 2 mm the pivot on the small
// cog leaves sqrt(0.2^2 + 0.45^2 + 0.2^2) = 0.5315, that on the large one
// sqrt(0.6^2 + 0.1^2 + 0.2^2) = 0.640.
func TestGainByHand(t *testing.T) {
	f, m := madeUp()
	m.errors = [inputs]float64{InputChainstay: 2, InputPivotSmallX: 6, InputPivotLargeY: 9, inputBody: 7}
	m.by[1][figGap] = [inputs]float64{InputChainstay: 0.1, InputPivotSmallX: 0.1, InputPivotLargeY: 0.05}
	w := Weakest{GearID: id(46, 11), Figure: "pulley gap", Error: m.spread(&m.by[1][figGap]), ok: true}
	if math.Abs(w.Error-0.7762) > 1e-4 {
		t.Fatalf("spread %.4f", w.Error)
	}
	if g := m.gain(f, w); g.Input != InputPivotSmallX || !g.Helps || math.Abs(g.Error-0.5315) > 1e-4 {
		t.Errorf("%s: %+v", g.Input, g)
	}
	m.by[1][figGap][InputPivotLargeY], m.by[1][figGap][InputPivotSmallX] = 0.1, 0.05
	if g := m.gain(f, w); g.Input != InputPivotLargeY {
		t.Errorf("%s: %+v", g.Input, g)
	}
	m.errors[InputPivotLargeY], m.errors[InputPivotSmallX] = 2.1, 2.1 // next to measured: a ruler gains under 5 %
	w.Error = m.spread(&m.by[1][figGap])
	if g := m.gain(f, w); g.Helps || g.Error != w.Error {
		t.Errorf("%s: %+v", g.Input, g)
	}
	m.by[1][figGap][inputBody] = 1 // the screw is not measured but set
	w.Error = m.spread(&m.by[1][figGap])
	if g := m.gain(f, w); g.Helps {
		t.Errorf("%s: %+v", g.Input, g)
	}
}

// Normal distribution: 15.87, 84.13 and 30.85 % (from memory).
func TestChanceUnder(t *testing.T) {
	for _, c := range [][3]float64{{0, 1, 0.5}, {1, 1, 0.15866}, {-1, 1, 0.84134}, {1, 2, 0.30854}, {-0.1, 0, 1}, {0, 0, 0}, {0.1, 0, 0}} {
		if got := chanceUnder(c[0], c[1]); math.Abs(got-c[2]) > 1e-5 {
			t.Errorf("mean %v +- %v: %.5f, want %v", c[0], c[1], got, c[2])
		}
	}
}

// Danger is the likelier of too little chain and the pulley in the cog; with
// typical geometry the gap counts as computed.
func TestDangerByHand(t *testing.T) {
	f := Fit{Gears: []GearFit{
		{GearID: id(46, 36), Forward: 2, Gap: 5}, {GearID: id(46, 11), Forward: 1.5, Gap: 4}, {GearID: id(30, 36), Forward: 9, Gap: 2.9},
	}}
	m := Margins{Gears: []GearMargin{{1, 1, 4}, {1, 1, 1}, {1, 1, 1}}}
	for _, c := range []struct {
		typical bool
		want    [3]float64
		worst   gearing.GearID
	}{
		{false, [3]float64{0.30854, 0.30854, 0.53983}, id(30, 36)}, // gap 2 +- 4; forward 0.5 +- 1; gap -0.1 +- 1
		{true, [3]float64{0.15866, 0.30854, 1}, id(30, 36)},
	} {
		m.typical = c.typical
		for i, want := range c.want {
			if got := m.Danger(f, i); math.Abs(got-want) > 1e-5 {
				t.Errorf("typical %v: gear %d in danger by %.5f, want %v", c.typical, i, got, want)
			}
		}
		if r := m.risk(f); r.GearID != c.worst || r.Chance != m.Danger(f, 2) {
			t.Errorf("%+v", r)
		}
	}
	f.Gears = f.Gears[:2]
	if m.typical = false; m.risk(f).GearID != id(46, 36) {
		t.Error("of two equal risks the first is named")
	}
	f.Gears[1].NoPath = true
	if r := m.risk(f); r.Chance != 1 || r.GearID != id(46, 11) {
		t.Errorf("%+v", r)
	}
}
