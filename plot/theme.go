package plot

import (
	"fmt"
	"image/color"
	"slices"
	"strings"
)

// Theme holds the colours and dashes of a picture. Whatever a series colour
// tells, a mark, a dash or a word tells too.
type Theme struct {
	Name       string
	Background color.NRGBA
	Ink        color.NRGBA // text, marks and axes
	Muted      color.NRGBA // secondary text, ties and leaders
	Grid       color.NRGBA // lines that may be overlooked
	// Danger is for gears that can break parts or throw the rider. No ring
	// has it, but in the print theme, where it is black and shapes tell.
	Danger color.NRGBA
	// Series are told apart by lightness as well as by hue, so that they
	// stay apart for colour-blind readers and in a grey copy.
	Series []color.NRGBA
	// Dashes hold one pattern for each series: dash and gap lengths in
	// multiples of the line width, nil for a solid line.
	Dashes [][]float64
}

// Names of the themes.
const (
	ThemeLight = "light"
	ThemeDark  = "dark"
	ThemePrint = "print"
)

var dashes = [][]float64{nil, {6, 3}, {2, 2}, {8, 2.5, 2, 2.5}, {12, 4}}

// themes were chosen here: each series has a contrast of at least 4.5 to the
// background (print: 3), and neighbours differ in lightness.
var themes = []Theme{
	{
		Name: ThemeLight, Background: rgb(0xffffff), Ink: rgb(0x1b1d21), Muted: rgb(0x5d636d), Grid: rgb(0xdfe2e6), Danger: rgb(0xd0003c),
		Series: []color.NRGBA{rgb(0x1b3f8f), rgb(0xb04a00), rgb(0x00807a), rgb(0x6b1d52), rgb(0x7a7400)},
		Dashes: dashes,
	},
	{
		Name: ThemeDark, Background: rgb(0x15181d), Ink: rgb(0xeceef1), Muted: rgb(0xa0a7b2), Grid: rgb(0x343a43), Danger: rgb(0xff4d6d),
		Series: []color.NRGBA{rgb(0x7fa6ff), rgb(0xffb066), rgb(0x2fb8a6), rgb(0xf2c4e4), rgb(0xa89c2a)},
		Dashes: dashes,
	},
	{
		Name: ThemePrint, Background: rgb(0xffffff), Ink: rgb(0x000000), Muted: rgb(0x555555), Grid: rgb(0xd9d9d9), Danger: rgb(0x000000),
		Series: []color.NRGBA{rgb(0x000000), rgb(0x666666), rgb(0x333333), rgb(0x858585), rgb(0x555555)},
		Dashes: dashes,
	},
}

func rgb(hex uint32) color.NRGBA {
	return color.NRGBA{R: uint8(hex >> 16), G: uint8(hex >> 8), B: uint8(hex), A: 0xff}
}

// ThemeNames lists the themes, the default first.
func ThemeNames() []string {
	names := make([]string, len(themes))
	for i, t := range themes {
		names[i] = t.Name
	}
	return names
}

// ThemeByName finds a theme; the empty name is the light theme.
func ThemeByName(name string) (Theme, error) {
	if name == "" {
		name = ThemeLight
	}
	i := slices.IndexFunc(themes, func(t Theme) bool { return t.Name == name })
	if i < 0 {
		return Theme{}, fmt.Errorf("theme %q; allowed %s", name, strings.Join(ThemeNames(), ", "))
	}
	return themes[i], nil
}

// series is the colour of a series; after the last colour it starts over, and
// marks and words have to tell the rest.
func (t Theme) series(i int) color.NRGBA { return t.Series[i%len(t.Series)] }

// dash is the pattern of a series for a line of a width in mm: dash and gap
// lengths in mm, nil for a solid line. After the last pattern it starts over.
func (t Theme) dash(i int, width float64) []float64 {
	var lengths []float64
	for _, d := range t.Dashes[i%len(t.Dashes)] {
		lengths = append(lengths, d*width)
	}
	return lengths
}
