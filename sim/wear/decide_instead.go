package wear

import (
	"fmt"

	"cagewise/gearing"
)

// turnRing is what else a ring can do.
const turnRing = "a ring without ramps can be turned round or moved on by a quarter turn"

// endanger marks a part that is due and can throw the rider: it is looked at
// before every ride and no distance is promised.
func (d *decider) endanger(out *Decision) {
	due := out.Verdict == Replace || out.Kind == gearing.PartChain && out.skips == skipsLoaded
	out.Danger = due && !out.Off && d.throws(out)
	out.SkipsNew = out.Danger && out.skips == skipsLoaded && d.ofCassette(out.Part) && d.chainWasNew(d.km)
	switch {
	case out.Danger:
		out.Watch = &Watch{EveryRide: true, Why: "it can throw you: no distance is left to it; as long as it is on, look before every ride"}
	case out.skips != skipsNot && !out.Off && toothed(out.Kind):
		out.Watch = &Watch{EveryRide: true, Why: "it skips: no distance is promised until a test says why; look before every ride"}
	}
}

// throws tells of the parts whose failing throws the rider.
func (d *decider) throws(x *Decision) bool {
	switch x.Kind {
	case gearing.PartRing, gearing.PartCog, gearing.PartCable:
		return true
	case gearing.PartCassette:
		return x.serious
	case gearing.PartChain:
		s := d.states[x.ID]
		return x.serious || x.skips == skipsLoaded || s.HasReading && s.Elongation >= LimitDrive
	}
	return false
}

// notToBeHad gives a part that cannot be had its one instruction.
func (d *decider) notToBeHad(out *Decision) {
	if out.Source != gearing.SourceNone {
		return
	}
	if out.Verdict != Replace {
		out.Instead = substitute(out.Kind)
		return
	}
	out.NotToBeHad = true
	out.Instead = d.stillRidden(out) + "; " + substitute(out.Kind)
	out.Against = append(out.Against, "cannot be had: "+d.stillRidden(out))
	if out.Kind == gearing.PartCassette || out.Kind == gearing.PartCog {
		out.tests.drop(testLay, testRoad)
	}
}

// stillRidden says what may be ridden until there is another.
func (d *decider) stillRidden(x *Decision) string {
	switch {
	case x.Danger && x.Kind == gearing.PartRing:
		return "do not ride on this ring; " + d.otherRings(x.ID)
	case x.Danger && (x.Kind == gearing.PartCassette || x.Kind == gearing.PartCog):
		return d.otherCogs(x)
	case x.Danger:
		return "do not ride with it"
	case x.Kind == gearing.PartCassette, x.Kind == gearing.PartCog:
		return "ride it on with the old chain, seated: the worn pair runs on together, a new chain would skip"
	case x.Kind == gearing.PartChain:
		return "ride it on, and count on new cogs with the next one"
	}
	return "ride it on while it turns freely"
}

// otherRings names the rings that may be ridden.
func (d *decider) otherRings(id string) string {
	var list []gearing.Teeth
	for _, p := range d.in.Log.Parts {
		if p.Kind == gearing.PartRing && p.ID != id && !isOff(p) && len(p.Teeth) > 0 {
			list = append(list, p.Teeth[0])
		}
	}
	if len(list) == 0 {
		return "only another ring, if the bike has one, may be ridden"
	}
	return "ride the " + sayCogs(list) + ", if sound"
}

// otherCogs names the cogs that may be ridden on with a worn one among them.
func (d *decider) otherCogs(x *Decision) string {
	worn := x.Part.Teeth
	var sound []gearing.Teeth
	if d.cassette != nil {
		if x.Kind == gearing.PartCassette {
			worn, _ = d.wornCogs()
		}
		for _, c := range d.cassette.Teeth {
			if d.gradeCog(c) < gradeDoubtful {
				sound = append(sound, c)
			}
		}
	}
	if len(worn) == 0 || len(sound) == 0 {
		return "do not ride on it"
	}
	if x.SkipsNew {
		return fmt.Sprintf("do not ride on cog %s, it skips with a new chain; the others (%s) may be ridden, seated", sayCogs(worn), sayCogs(sound))
	}
	return fmt.Sprintf("do not push hard on cog %s; the others (%s) may be ridden, seated and with the old chain", sayCogs(worn), sayCogs(sound))
}

// substitute says what does in place of a part that cannot be had (common
// practice, no source).
func substitute(kind gearing.PartKind) string {
	switch kind {
	case gearing.PartRing:
		return turnRing + "; or fit another tooth count of the same bolt circle"
	case gearing.PartCassette:
		return "single cogs, a used set, or a whole set with other steps does too"
	case gearing.PartCog:
		return "a used cog, or one out of another set of the same spacing, does too"
	case gearing.PartChain:
		return "any chain made for as many cogs does, or two short ones joined"
	case gearing.PartCable:
		return "any new inner cable of the same thickness and end, cut to length, does"
	case gearing.PartBearing:
		return "one of the size stamped on it, from any bearing shop, does"
	}
	return "any pulley of the same teeth, width and bore does"
}
