package bin

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// part is one table of the bin.
type part struct {
	gearing.BinPart
	kind   *kind
	number int // among the tables of the kind, from 1
	chunk  chunk
	draft  build.Draft
	priced bool
	wrong  bool // a value cannot be used
	same   string
	state  state // of following same
}

// part reads the keys of a table.
func (r *reader) part(c chunk, k *kind, t map[string]any, line int) {
	p := &part{kind: k, number: k.count, chunk: c}
	p.Line = line
	r.parts = append(r.parts, p)
	r.take(p, "", t)
	r.priced = r.priced || p.priced && !p.wrong
}

// take reads the keys at one level of a table.
func (r *reader) take(p *part, prefix string, t map[string]any) {
	for _, key := range slices.Sorted(maps.Keys(t)) {
		if r.full() {
			return
		}
		if below, ok := t[key].(map[string]any); ok && p.kind.table == rearTable && prefix+key == geometryKey {
			r.take(p, geometryKey+".", below)
			continue
		}
		if err := p.key(prefix, key, t[key]); err != nil {
			r.wrong(p, prefix+key, err.Error())
		}
	}
}

// key takes a value. The error says what is wrong and what is allowed.
func (p *part) key(prefix, key string, raw any) error {
	if prefix == "" {
		if known, err := p.common(key, raw); known {
			return err
		}
	}
	if f := p.kind.fields[prefix+key]; f != nil {
		return p.draft.Take(f, raw, prefix+key)
	}
	return errors.New(p.kind.unknown(prefix, key))
}

// common takes the keys that all parts have.
func (p *part) common(key string, raw any) (known bool, err error) {
	var on bool
	switch key {
	case nameKey:
		p.Name, err = common(key).Line(raw)
	case noteKey:
		p.Note, err = common(key).Line(raw)
	case priceKey:
		p.Price, err = common(key).Number(raw)
		p.priced = true
	case onHandKey:
		p.OnHand, err = common(key).On(raw)
	case availableKey:
		on, err = common(key).On(raw)
		p.Unavailable = !on
	case sameKey:
		return p.kind.table == rearTable, p.takeSame(raw)
	case geometryKey:
		return p.kind.table == rearTable, fmt.Errorf("is %s; it is a table: write [%s.%s] under the [[%s]]", build.KindOf(raw), rearTable, geometryKey, rearTable)
	default:
		return false, nil
	}
	return true, err
}

func (p *part) takeSame(raw any) (err error) {
	p.same, err = text(sameKey).Line(raw)
	if err == nil && p.same == "" {
		err = errors.New("is empty; allowed: the name of another rear derailleur of the bin")
	}
	return err
}

// wrong reports a problem that leaves the part's values unusable.
func (r *reader) wrong(p *part, key, text string) {
	p.wrong = true
	r.about(p, key, text)
}

// about reports a problem of a part. A key that is not there stands at the line
// of its table.
func (r *reader) about(p *part, key, text string) {
	where := fmt.Sprintf("%s %d: %s", p.kind.table, p.number, build.Shorten(key))
	r.report(p.chunk.lineOf(p.kind.table+"."+key), where, text)
}
