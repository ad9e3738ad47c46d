package plot

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// SetLineWidth implements vg.Canvas.
func (c *pngCanvas) SetLineWidth(w vg.Length) {
	c.Canvas.SetLineWidth(w)
	c.width = w
}

// Stroke implements vg.Canvas. The library takes an arc apart pixel by pixel;
// chords that keep within half its rounding of a place are far fewer.
func (c *pngCanvas) Stroke(p vg.Path) { c.Canvas.Stroke(c.chords(p)) }

// chords is a path with chords for its arcs.
func (c *pngCanvas) chords(p vg.Path) vg.Path {
	c.path = c.path[:0]
	for i, comp := range p {
		if comp.Type != vg.ArcComp {
			c.path = append(c.path, comp)
			continue
		}
		n := chordCount((comp.Radius + c.width/2).Dots(c.DPI()), comp.Angle)
		for k := range n + 1 {
			sin, cos := math.Sincos(comp.Start + comp.Angle*float64(k)/float64(n))
			at := comp.Pos.Add(vg.Point{X: comp.Radius * vg.Length(cos), Y: comp.Radius * vg.Length(sin)})
			if i == 0 && k == 0 {
				c.path.Move(at)
			} else {
				c.path.Line(at)
			}
		}
	}
	return c.path
}

// chordCount is how many chords of an arc, its radius in pixels, stay close to
// it.
func chordCount(radius, angle float64) int {
	const most = 1000
	step := 2 * math.Acos(max(1-0.5/fine/max(radius, 1e-9), 0))
	return int(min(max(math.Ceil(math.Abs(angle)/step), 1), most))
}
