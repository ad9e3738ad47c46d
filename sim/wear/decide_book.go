package wear

import (
	"slices"

	"cagewise/gearing"
)

// cogBook is what the findings say of one cog, by what can take it back.
type cogBook struct {
	skip  grade // only a clean run of a new chain under load lowers it, by one step
	teeth grade // hooks, and a chain that lifts: one look can lower it to a doubt
	rest  grade // what the next good finding clears
}

func (d *decider) bookOf(c gearing.Teeth) (b cogBook) {
	for _, f := range d.onCassette {
		if concerns(f, c) {
			b.enter(f, d.chainWasNew(f.KM))
		}
	}
	return b
}

// enter takes a finding in, made with a new chain on or not.
func (b *cogBook) enter(f *gearing.WearFinding, newChain bool) {
	switch g := gradeFinding(gearing.PartCassette, f); {
	case g == gradeGood:
		b.lower(f, newChain)
	case f.Kind == gearing.FindSkip:
		b.skip = max(b.skip, g)
	case g == gradeBad:
		b.teeth = g
	default:
		b.rest = max(b.rest, g)
	}
}

func (b *cogBook) lower(f *gearing.WearFinding, newChain bool) {
	ran := f.Kind == gearing.FindNothing && f.Loaded
	switch {
	case ran && newChain && b.skip == gradeBad:
		b.skip = gradeDoubtful
	case ran && b.skip == gradeDoubtful:
		b.skip = gradeNone
	}
	if b.teeth == gradeBad {
		b.teeth = gradeDoubtful
	}
	if b.rest == gradeDoubtful || b.rest == gradeNone {
		b.rest = gradeGood
	}
}

// skipsOn tells whether any of the cogs skips, and how.
func (d *decider) skipsOn(cogs []gearing.Teeth) skipping {
	most := skipsNot
	for _, c := range cogs {
		switch d.bookOf(c).skip {
		case gradeBad:
			most = skipsLoaded
		case gradeDoubtful:
			most = max(most, skipsSome)
		}
	}
	return most
}

// wornPair keeps a chain on that is due while the cogs it needs are due and
// cannot be had: a new one would skip on them and wear at once.
func (d *decider) wornPair(list []Decision) {
	for _, x := range list {
		if !x.NotToBeHad || x.Off || !d.ofCassette(x.Part) {
			continue
		}
		for i := range list {
			c := &list[i]
			if d.chain == nil || c.ID != d.chain.ID || c.Verdict != Replace || c.Danger || c.NotToBeHad {
				continue
			}
			c.Verdict, c.WornPair = Keep, true
			c.Against = append(c.Against, "past its limit, but "+x.ID+" is due too and cannot be had: a new chain would skip on it and wear at once; the worn pair stays together, no part of it to be ridden that can throw you")
			c.Changes = "another " + string(x.Kind) + ": then both together"
		}
	}
}

// ofCassette tells whether a part is the cassette on the bike, or one of its cogs.
func (d *decider) ofCassette(p gearing.WearPart) bool {
	if d.cassette == nil {
		return false
	}
	return p.ID == d.cassette.ID || p.Kind == gearing.PartCog && len(p.Teeth) > 0 && slices.Contains(d.cassette.Teeth, p.Teeth[0])
}
