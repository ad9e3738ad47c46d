package wear

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"cagewise/gearing"
)

// inOrder measures the readings and sorts them by distance, then date. Those
// that cannot be are set aside, unless none is left.
func inOrder(list []gearing.WearReading, part gearing.WearPart, ring gearing.Teeth, u lengths) (out []reading, aside []SetAside, err error) {
	for _, r := range list {
		m, err := measure(r, part, ring, u)
		if err == nil {
			err = onTheBike(r, part, u)
		}
		switch {
		case errors.Is(err, errCannotBe):
			aside = append(aside, SetAside{Reading: r, Line: r.Line, Words: err.Error()})
		case err != nil:
			return nil, nil, err
		default:
			out = append(out, reading{r: r, m: m})
		}
	}
	if len(out) == 0 {
		return nil, nil, fmt.Errorf("no reading of %q can be used, such as: %s", part.ID, aside[0].Words)
	}
	slices.SortStableFunc(out, func(a, b reading) int {
		return cmp.Or(cmp.Compare(a.r.KM, b.r.KM), a.r.On.Compare(b.r.On))
	})
	for i := range out {
		out[i].index = i
	}
	return out, aside, nil
}

// errCannotBe is wrapped by the errors of readings to set aside.
var errCannotBe = errors.New("cannot be")

func onTheBike(r gearing.WearReading, part gearing.WearPart, u lengths) error {
	if part.FittedKM >= 0 && r.KM < part.FittedKM {
		return fmt.Errorf("line %d: reading of %q at %s %w: it was fitted at %s", r.Line, part.ID, u.exact(r.KM, 1), errCannotBe, u.exact(part.FittedKM, 1))
	}
	if part.RemovedKM > max(part.FittedKM, 0) && r.KM > part.RemovedKM+sameKM {
		return fmt.Errorf("line %d: reading of %q at %s %w: it was taken off at %s", r.Line, part.ID, u.exact(r.KM, 1), errCannotBe, u.exact(part.RemovedKM, 1))
	}
	return nil
}

// onlyRing is the ring a lift was taken on if the log has just one.
func onlyRing(log gearing.WearLog) (ring gearing.Teeth) {
	for _, p := range log.Parts {
		if p.Kind != gearing.PartRing || len(p.Teeth) == 0 {
			continue
		}
		if ring != 0 && ring != p.Teeth[0] {
			return 0
		}
		ring = p.Teeth[0]
	}
	return ring
}
