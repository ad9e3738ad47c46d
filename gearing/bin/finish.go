package bin

import (
	"errors"
	"fmt"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// finish makes the bin of the parts, and finds what only all of them together
// show.
func (r *reader) finish() {
	names := map[string]map[string]*part{}
	for _, k := range r.kinds {
		names[k.table] = make(map[string]*part, k.count)
	}
	r.each(func(p *part) { r.named(p, names[p.kind.table]) })
	r.each(func(p *part) {
		r.place(p, names[rearTable])
		r.cost(p)
	})
	if !r.full() {
		r.kindsMissing()
	}
}

func (r *reader) each(do func(*part)) {
	for _, p := range r.parts {
		if r.full() {
			return
		}
		do(p)
	}
}

// named gives every part a name of its own.
func (r *reader) named(p *part, names map[string]*part) {
	first := names[p.Name]
	switch {
	case p.Name == "" && p.wrong: // it may be the name
	case p.Name == "":
		r.about(p, nameKey, "is missing; allowed: "+text(nameKey).Allowed()+", not empty")
	case first != nil:
		r.about(p, nameKey, fmt.Sprintf("%q stands at line %d already; allowed: a name that no other [[%s]] has",
			build.Shorten(p.Name), first.Line, p.kind.table))
	default:
		names[p.Name] = p
	}
}

// cost asks for the price of what is to be bought, once others have one: a part
// without would win every comparison of prices.
func (r *reader) cost(p *part) {
	if r.priced && !p.priced && !p.OnHand && !p.Unavailable {
		r.about(p, priceKey, "is missing, and other parts have one; allowed: "+price().Allowed()+", or on_hand = true")
	}
}

// place puts a part into the bin.
func (r *reader) place(p *part, rears map[string]*part) {
	if !r.inherit(p, rears) {
		return
	}
	b, err := p.draft.Part()
	var problems build.Problems
	if errors.As(err, &problems) {
		for _, one := range problems {
			r.wrong(p, one.Where, one.Text)
		}
		return
	}
	if key, text := p.lacks(&b); key != "" {
		r.wrong(p, key, text)
		return
	}
	p.into(&r.bin, b)
}

// lacks names the key without which a part says nothing; "" when there is enough.
func (p *part) lacks(b *gearing.Build) (key, text string) {
	g := b.Rear.Geometry
	switch p.kind.table {
	case ringsTable, cassetteTable:
		return p.missing("teeth")
	case chainTable:
		return p.missing("pitches")
	case wheelTable:
		if key, text = p.missing("tyre"); key == "" || p.gave("roll_out") {
			return "", ""
		}
		return key, text + "; or roll_out, " + p.kind.fields["roll_out"].Allowed()
	case extenderTable:
		if g.ExtenderBehind == 0 && g.ExtenderBelow == 0 {
			return "below", "the extender moves nothing; allowed: behind and below of " + p.kind.fields["below"].Allowed() + ", not both 0"
		}
	case rearTable:
		if b.Rear == (gearing.RearDerailleur{}) {
			return "pulley_centres", "nothing is known of the derailleur; allowed: pulley_centres of " +
				p.kind.fields["pulley_centres"].Allowed() + ", or at the least a rating such as rated_capacity"
		}
	}
	return "", ""
}

func (p *part) gave(key string) bool { return p.draft.Has(p.kind.fields[key]) }

// missing asks for a key that was not given.
func (p *part) missing(key string) (string, string) {
	if p.gave(key) {
		return "", ""
	}
	return key, "is missing; allowed: " + p.kind.fields[key].Allowed()
}

// into adds the part at the end of its kind.
func (p *part) into(to *gearing.PartsBin, b gearing.Build) {
	g := b.Rear.Geometry
	switch p.kind.table {
	case ringsTable:
		to.RingSets = append(to.RingSets, gearing.BinRings{BinPart: p.BinPart, Teeth: b.Rings})
	case cassetteTable:
		to.Cassettes = append(to.Cassettes, gearing.BinCassette{BinPart: p.BinPart, Teeth: b.Cogs})
	case rearTable:
		to.Derailleurs = append(to.Derailleurs, gearing.BinDerailleur{BinPart: p.BinPart, Rear: b.Rear})
	case chainTable:
		to.Chains = append(to.Chains, gearing.BinChain{BinPart: p.BinPart, Pitches: b.Chain.Pitches})
	case extenderTable:
		to.Extenders = append(to.Extenders, gearing.BinExtender{BinPart: p.BinPart, Behind: g.ExtenderBehind, Below: g.ExtenderBelow})
	case wheelTable:
		to.Wheels = append(to.Wheels, gearing.BinWheel{BinPart: p.BinPart, Wheel: b.Wheel})
	}
}

// kindsMissing asks for what no drivetrain goes without.
func (r *reader) kindsMissing() {
	if r.broken {
		return
	}
	if len(r.parts) == 0 && len(r.problems) == 0 {
		r.report(0, "", "holds no parts; allowed: at least one [[rings]], one [[cassette]] and one [[rear_derailleur]]")
		return
	}
	for _, table := range tableNames()[:neededKinds] {
		if r.kinds[table].count == 0 {
			r.report(0, table, fmt.Sprintf("none in the bin; allowed: at least one [[%s]]", table))
		}
	}
}
