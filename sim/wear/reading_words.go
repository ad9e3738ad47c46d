package wear

import (
	"fmt"
	"strings"
)

// explain is one line: what was read, what was taken off, what is left.
func (m measured) explain(e Estimate, playMM, added float64) string {
	var b strings.Builder
	b.WriteString(m.words)
	if m.perMM > 0 {
		fmt.Fprintf(&b, "; roller play of %s mm adds %s %% to it", short(playMM, 2), short(added, 2))
	}
	b.WriteString(": ")
	b.WriteString(e.words(m.bound))
	return b.String()
}

// words says what an estimate comes to; bound as measured.bound.
func (e Estimate) words(bound int) string {
	switch {
	case bound > 0:
		return fmt.Sprintf("at least %s %%", hundredths(float64(e.Low)))
	case bound < 0:
		return fmt.Sprintf("under %s %%", hundredths(float64(e.High)))
	}
	return fmt.Sprintf("%s +/- %.2f %%", hundredths(float64(e.Elongation)), e.Error)
}
