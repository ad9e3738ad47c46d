package sim

import (
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func id(ring, cog gearing.Teeth) gearing.GearID { return gearing.GearID{Ring: ring, Cog: cog} }

func classBuild(class string, chainstay, drop gearing.MM, rings, cogs []gearing.Teeth) gearing.Build {
	return gearing.Build{
		Frame: gearing.Frame{Chainstay: chainstay, BottomBracketDrop: drop},
		Wheel: gearing.Wheel{MeasuredRollOut: 2100},
		Rings: rings, Cogs: cogs,
		Rear: gearing.RearDerailleur{Geometry: gearing.Geometry{Class: class}},
	}
}

func mustRig(t testing.TB, b gearing.Build) *Rig {
	t.Helper()
	r, err := NewRig(b)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// plainRig is a rig without a cloud: typical geometry is the class itself.
func plainRig(t testing.TB, b gearing.Build) *Rig {
	t.Helper()
	r, err := newReference(b)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fixedBody solves one gear with the body at its reference angle.
func fixedBody(r *Rig, i int, pitches float64) GearFit { return heldBody(r, i, pitches, 0) }

// heldBody solves one gear anew with the body held.
func heldBody(r *Rig, i int, pitches, body float64) GearFit {
	var g GearFit
	r.fitGear(&r.gears[i], pitches, body, &course{start: middleAngle}, &g)
	return g
}

// marginBuilds are the depths of knowledge and special cases (invented).
func marginBuilds() map[string]gearing.Build {
	cogs := []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}
	typical := classBuild("", 432, 72, []gearing.Teeth{30, 46}, cogs)
	typical.Rear.PulleyCentres = 76
	measured := typical
	measured.Rear.Geometry = gearing.Geometry{
		HangerBehind: 9, HangerBelow: 28, PivotSmallX: 14, PivotSmallY: -72, PivotLargeX: 28, PivotLargeY: -111,
		PivotToGuide: 11, PivotToTension: 71, PivotSide: "ahead",
	}
	stops := measured
	stops.Rear.Geometry.CageStopRear, stops.Rear.Geometry.CageStopForward = -175, -20
	moving := measured
	moving.Frame.Suspension = gearing.Suspension{PivotAhead: 10, PivotAbove: 60, Travel: 100}
	worn := measured
	worn.Chain = gearing.Chain{Pitches: 112, Elongation: 0.6}
	return map[string]gearing.Build{"typical": typical, "measured": measured, "stops": stops, "moving": moving, "worn": worn}
}

// limitBuilds stop the cage by other things than usual on the largest cog: the
// guide pulley reaching the cog ahead or behind, the end of the take-up; and one
// with a chain worn far beyond use (invented).
func limitBuilds() map[string]gearing.Build {
	at := func(x, y, guide gearing.MM) gearing.Build {
		b := marginBuilds()["measured"]
		b.Rear.Geometry.PivotLargeX, b.Rear.Geometry.PivotLargeY, b.Rear.Geometry.PivotToGuide = x, y, guide
		return b
	}
	worn := marginBuilds()["measured"]
	worn.Chain = gearing.Chain{Pitches: 112, Elongation: 8}
	return map[string]gearing.Build{"cog on both sides": at(-20, -80, 20), "cog behind": at(-20, -85, 20), "taken up": at(-20, -95, 5), "far worn": worn}
}

// windowBuilds have a wide and a narrow window, wear, travel and odd counts.
func windowBuilds() map[string]gearing.Build {
	list := marginBuilds()
	list["narrow"] = classBuild("short", 430, 70, []gearing.Teeth{22, 50}, []gearing.Teeth{11, 15, 20, 28, 36})
	odd := list["measured"]
	odd.Chain.OffsetLink = true
	list["odd"] = odd
	list["far worn"] = limitBuilds()["far worn"]
	return list
}

// teethUp draws n rising tooth counts.
func teethUp(t *rapid.T, label string, n int, low, high gearing.Teeth) []gearing.Teeth {
	list := rapid.SliceOfNDistinct(rapid.IntRange(int(low), int(high)), n, n, rapid.ID[int]).Draw(t, label)
	teeth := make([]gearing.Teeth, n)
	for i, v := range list {
		teeth[i] = gearing.Teeth(v)
	}
	return gearing.SortTeeth(teeth)
}

// drawBuild draws a build that a workshop might see: typical geometry of any
// class, sometimes with measured parts, wear, stops or suspension.
func drawBuild(t *rapid.T) gearing.Build {
	mm := func(label string, low, high float64) gearing.MM {
		return gearing.MM(rapid.Float64Range(low, high).Draw(t, label))
	}
	class := classes[rapid.IntRange(0, len(classes)-1).Draw(t, "class")]
	b := classBuild(class.name, mm("chainstay", 395, 520), mm("drop", -5, 85),
		teethUp(t, "rings", rapid.IntRange(1, 3).Draw(t, "number of rings"), 20, 54),
		teethUp(t, "cogs", rapid.IntRange(1, 13).Draw(t, "number of cogs"), 10, 48))
	switch rapid.IntRange(0, 5).Draw(t, "extra") {
	case 0:
		b.Chain.Pitches, b.Chain.Elongation = 112, gearing.Percent(rapid.Float64Range(0, 2).Draw(t, "elongation"))
	case 1:
		b.Rear.Geometry.CageStopRear, b.Rear.Geometry.CageStopForward = -205, -5
	case 2:
		b.Frame.Suspension = gearing.Suspension{PivotAhead: mm("pivot ahead", -20, 40), PivotAbove: mm("pivot above", 10, 120), Travel: mm("travel", 40, 160)}
	case 3:
		b.Frame.DropoutRange = mm("dropout", 1, 25)
	case 4:
		b.Rear.PulleyCentres = mm("centres", 54, 105)
	}
	return b
}

// drawPlain draws a rig without a cloud; it leaves out builds whose wheels run
// into each other.
func drawPlain(t *rapid.T) *Rig {
	r, err := newReference(drawBuild(t))
	if err != nil {
		t.Skip(err)
	}
	return r
}
