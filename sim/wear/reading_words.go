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
	b.WriteString(e.words())
	return b.String()
}

// words says what an estimate comes to.
func (e Estimate) words() string {
	switch {
	case !e.Interval:
		return fmt.Sprintf("%.2f +/- %.2f %%", e.Elongation+0, e.Error)
	case e.High >= MostElongation:
		return fmt.Sprintf("at least %.2f %%", e.Low+0)
	}
	return fmt.Sprintf("under %.2f %%", e.High+0)
}
