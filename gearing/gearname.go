package gearing

import (
	"strconv"
	"strings"
)

// ParseGear reads a gear as riders write it, 46x36 or 46/36, with spaces or
// without; ok is false for what is none, or has fewer than MinTeeth or more than
// MaxTeeth on a wheel.
func ParseGear(text string) (g GearID, ok bool) {
	ring, cog, ok := strings.Cut(strings.NewReplacer("X", "x", "/", "x").Replace(text), "x")
	r, err1 := strconv.Atoi(strings.TrimSpace(ring))
	c, err2 := strconv.Atoi(strings.TrimSpace(cog))
	g = GearID{Ring: Teeth(r), Cog: Teeth(c)}
	if !ok || err1 != nil || err2 != nil || min(g.Ring, g.Cog) < MinTeeth || max(g.Ring, g.Cog) > MaxTeeth {
		return GearID{}, false
	}
	return g, true
}
