package plot

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Stroke implements vg.Canvas.
func (c *svgCanvas) Stroke(p vg.Path) {
	if c.state.width <= 0 || len(p) == 0 {
		return
	}
	c.outline(p)
	c.print(` fill="none"`)
	c.paint("stroke")
	c.print(` stroke-width="`)
	c.num(units(c.state.width))
	c.print(`"`)
	c.dashes()
	c.print("/>\n")
}

// Fill implements vg.Canvas.
func (c *svgCanvas) Fill(p vg.Path) {
	if len(p) == 0 {
		return
	}
	c.outline(p)
	c.paint("fill")
	c.print("/>\n")
}

func (c *svgCanvas) dashes() {
	if len(c.state.dash) == 0 {
		return
	}
	c.print(` stroke-dasharray="`)
	for i, d := range c.state.dash {
		if i > 0 {
			c.print(" ")
		}
		c.num(units(d))
	}
	c.print(`"`)
	if c.state.offset != 0 {
		c.print(` stroke-dashoffset="`)
		c.num(units(c.state.offset))
		c.print(`"`)
	}
}

// paint writes the colour as a fill or a stroke attribute.
func (c *svgCanvas) paint(what string) {
	const hex = "0123456789abcdef"
	col := c.state.color
	c.print(" ", what, `="#`)
	for _, v := range [...]uint8{col.R, col.G, col.B} {
		c.buf.WriteByte(hex[v>>4])
		c.buf.WriteByte(hex[v&15])
	}
	c.print(`"`)
	if col.A != 0xff {
		c.print(" ", what, `-opacity="`, trimmed(float64(col.A)/0xff, 3), `"`)
	}
}

// outline starts a path element.
func (c *svgCanvas) outline(p vg.Path) {
	c.open()
	c.print(`<path d="`)
	for i, comp := range p {
		switch comp.Type {
		case vg.MoveComp:
			c.print("M")
			c.pair(comp.Pos)
		case vg.LineComp:
			c.print("L")
			c.pair(comp.Pos)
		case vg.ArcComp:
			c.arc(comp, i == 0)
		case vg.CurveComp:
			c.curve(comp)
		case vg.CloseComp:
			c.print("Z")
		}
	}
	c.print(`"`)
}

func (c *svgCanvas) curve(comp vg.PathComp) {
	switch len(comp.Control) {
	case 1:
		c.print("Q")
	case 2:
		c.print("C")
	default: // no such curve in SVG: its end is all that can be kept
		c.print("L")
		c.pair(comp.Pos)
		return
	}
	for _, p := range comp.Control {
		c.pair(p)
		c.print(" ")
	}
	c.pair(comp.Pos)
}

// arc starts the path or joins the start of the arc by a line, as the image
// canvas does, and goes round in parts of less than a half turn, where SVG leaves no choice of arc.
func (c *svgCanvas) arc(comp vg.PathComp, first bool) {
	at := func(angle float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return comp.Pos.Add(vg.Point{X: comp.Radius * vg.Length(cos), Y: comp.Radius * vg.Length(sin)})
	}
	sweep := math.Max(-2*math.Pi, math.Min(2*math.Pi, comp.Angle))
	parts := int(math.Ceil(math.Abs(sweep) / (0.75 * math.Pi)))
	flag := " 0 0 0 " // counter-clockwise stays so to the eye: SVG's y points down
	if sweep < 0 {
		flag = " 0 0 1 "
	}
	if first {
		c.print("M")
	} else {
		c.print("L")
	}
	c.pair(at(comp.Start))
	for i := 1; i <= parts; i++ {
		c.print("A")
		c.num(units(comp.Radius))
		c.print(" ")
		c.num(units(comp.Radius))
		c.print(flag)
		c.pair(at(comp.Start + sweep*float64(i)/float64(parts)))
	}
}
