package plot

import (
	"image/color"
	"math"
	"slices"
	"testing"
)

// Series are told from the background: contrast by WCAG 2.1, relative
// luminance.
func TestThemeContrast(t *testing.T) {
	for _, th := range themes {
		for i, c := range append(slices.Clone(th.Series), th.Ink, th.Muted) {
			if k := contrast(c, th.Background); k < 3 {
				t.Errorf("%s: colour %d has a contrast of %.2f, want 3", th.Name, i, k)
			}
		}
	}
}

func contrast(a, b color.NRGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(c color.NRGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func linear(v uint8) float64 {
	x := float64(v) / 255
	if x <= 0.03928 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

// The four rings a build may have stay apart for readers who lack one kind of
// cone, or look the same in lightness only where the marks differ.
func TestThemeColourBlind(t *testing.T) {
	for _, th := range themes {
		for name, see := range deficiencies {
			for i := range 4 {
				for j := range i {
					if d := labDistance(see.of(th.Series[i]), see.of(th.Series[j])); d < 12 {
						t.Errorf("%s, %s: series %d and %d are %.1f apart, want 12", th.Name, name, j, i, d)
					}
				}
			}
		}
	}
}

// matrix maps linear RGB to linear RGB.
type matrix [3][3]float64

// deficiencies are the usual simulations of full dichromacy in linear RGB
// (Machado, Oliveira and Fernandes 2009, severity 1).
var deficiencies = map[string]matrix{
	"all cones":       {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"no long cones":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"no medium cones": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"no short cones":  {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func (m matrix) of(c color.NRGBA) [3]float64 {
	in := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	var out [3]float64
	for i, row := range m {
		for j, f := range row {
			out[i] += f * in[j]
		}
		out[i] = min(max(out[i], 0), 1)
	}
	return out
}

// labDistance is the CIE 1976 colour difference of two linear sRGB colours.
func labDistance(a, b [3]float64) float64 {
	p, q := lab(a), lab(b)
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

func lab(c [3]float64) [3]float64 {
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505)
	y := f(0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2])
	z := f((0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// The colour of danger is no ring's, for any eye, and is read like text.
func TestThemeDanger(t *testing.T) {
	for _, th := range themes {
		if k := contrast(th.Danger, th.Background); k < 4.5 {
			t.Errorf("%s: danger has a contrast of %.2f, want 4.5", th.Name, k)
		}
		if th.Name == ThemePrint {
			continue // greys only: shapes tell
		}
		for name, see := range deficiencies {
			for i := range 4 {
				if d := labDistance(see.of(th.Danger), see.of(th.Series[i])); d < 12 {
					t.Errorf("%s, %s: danger and series %d are %.1f apart, want 12", th.Name, name, i, d)
				}
			}
		}
	}
}
