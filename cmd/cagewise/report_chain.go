package main

import (
	"fmt"
	"path/filepath"

	"cagewise/gearing"
	writeup "cagewise/plot/report"
)

// leastWorn is the elongation in percent from which a chain is not taken for a
// new one on the page: what new chains differ by, and a little more.
const leastWorn = 0.1

// chainInFit tells where the fit on the page and the log mean different chains:
// a worn one where the fit takes a new one, or another count of pitches. The
// latter is warned of too.
func (r wearReport) chainInFit(c *call, p *plan) []writeup.Part {
	var said []string
	for _, chain := range r.Chains {
		if chain.Part.RemovedKM >= 0 {
			continue
		}
		if text := chain.otherCount(p, c.args[0]); text != "" {
			fmt.Fprintf(c.err, "cagewise: warning: %s: %s\n", p.logPath, text)
			said = append(said, "By the log "+text)
		}
		if p.fit != nil && p.fit.Simulation != nil && p.in.build.Build.Chain.Elongation == 0 && chain.isWorn() {
			longer := num(float64(chain.Now.Elongation), 2)
			said = append(said, fmt.Sprintf("By the log %s is %s %% longer at %s; the fit on this page takes a new chain. With the worn one: `cagewise fit %s --elongation %s`.",
				chain.ID, longer, r.distance(chain.Now.KM), filepath.Base(c.args[0]), longer))
		}
	}
	if len(said) == 0 {
		return nil
	}
	_, parts := written(c.units, func(w *page) {
		w.section("This chain and the fit")
		for _, text := range said {
			w.item("", "%s", text)
		}
	})
	return parts
}

// otherCount tells that a chain of the log has another count of pitches than the
// build's, "" where it has not.
func (c chainReport) otherCount(p *plan, path string) string {
	n, own := c.Part.Pitches, p.in.build.Build.Chain.Pitches
	if n == 0 || own == 0 || n == own {
		return ""
	}
	return fmt.Sprintf("the chain %q has %s, that of %s %d: which is on the bike?", c.ID, pitches(n), filepath.Base(path), own)
}

// isWorn tells whether a chain is longer than new ones are, beyond its error.
func (c chainReport) isWorn() bool {
	return c.Now.Elongation >= leastWorn && c.Now.Elongation > c.Now.Error && c.Now.Elongation <= gearing.Percent(5)
}
