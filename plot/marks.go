package plot

import "image/color"

// markKinds is the number of shapes that mark tells apart.
const markKinds = 5

// mark draws the shape of a series round a point. Its size is the side of a
// square of the same weight to the eye, in mm. A hollow mark is filled with
// the background.
func (s *sheet) mark(at point, size float64, kind int, col color.Color, hollow bool) {
	edge := stroke{color: col, width: 0.16 * size}
	var fill color.Color = col
	if hollow {
		fill = s.theme.Background
	}
	r := (size - edge.width) / 2
	switch kind % markKinds {
	case 0:
		s.circle(at, 1.1*r, fill, edge)
	case 1:
		s.polygon(turned(at, 1.35*r, 45, 4), fill, edge)
	case 2:
		s.polygon(turned(at, 1.45*r, 90, 3), fill, edge)
	case 3:
		s.polygon(turned(at, 1.45*r, 0, 4), fill, edge)
	case 4:
		s.polygon(turned(at, 1.45*r, -90, 3), fill, edge)
	}
}

// turned is a regular polygon of n corners, the first in the given direction
// in degrees.
func turned(at point, r, from float64, n int) []point {
	pts := make([]point, n)
	for i := range pts {
		pts[i] = at.polar(r, from+360*float64(i)/float64(n))
	}
	return pts
}
