package wear

import (
	"strings"
	"testing"

	"cagewise/gearing"
)

// A figure that rounds to nothing has no sign.
func TestZeroHasNoSign(t *testing.T) {
	e, err := Elongation(gearing.WearReading{Part: "c", Method: gearing.MethodCaliper, Inside10: 119.999, Inside2: 18.4}, gearing.WearPart{}, 0)
	if err != nil || !strings.HasSuffix(e.Explanation, ": 0.00 +/- 0.07 %") {
		t.Error(e.Explanation, err)
	}
	if got := sayWithError(-0.004, 0.03); got != "0.00 +- 0.03 %" {
		t.Error(got)
	}
	if got := sayPercent(-0.004); got != "0.0 %" {
		t.Error(got)
	}
}

// The highest mark that does not fall in is an upper bound all the same.
func TestHighestMarkIsAnUpperBound(t *testing.T) {
	for falls, want := range map[bool]string{false: ": under 5.00 %", true: ": at least 5.00 %"} {
		e, err := Elongation(gearing.WearReading{Part: "c", Method: gearing.MethodThreePoint, Mark: MostElongation, Falls: falls}, gearing.WearPart{}, 0)
		if err != nil || !strings.HasSuffix(e.Explanation, want) {
			t.Error(e.Explanation, err)
		}
	}
}
