package plot

import (
	"sync"
	"unicode"
	"unicode/utf8"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
)

// fontFamily starts with the face the text is measured with; the next two have
// the same widths.
const fontFamily = "Liberation Sans, Arial, Helvetica, sans-serif"

// Shares of the font size, from the font's own metrics.
const (
	ascentShare  = 0.73 // above the base line, brackets included
	descentShare = 0.21 // below the base line
	digitShare   = 0.69 // height of digits and capitals
)

// lazyFont is parsed when first used: a program that draws nothing should not
// pay for it.
type lazyFont struct {
	once   sync.Once
	ttf    []byte
	parsed *opentype.Font
}

var (
	regular = lazyFont{ttf: liberationsansregular.TTF}
	bold    = lazyFont{ttf: liberationsansbold.TTF}
)

// face gives the font at a size in points. The TTF is compiled in, so it
// parses or the tests fail.
func (l *lazyFont) face(size font.Length, weight xfont.Weight) font.Face {
	l.once.Do(func() { l.parsed, _ = opentype.Parse(l.ttf) })
	return font.Face{
		Font: font.Font{Typeface: "Liberation", Variant: "Sans", Weight: weight, Size: size},
		Face: l.parsed,
	}
}

func faceOf(st textStyle) font.Face {
	if st.bold {
		return bold.face(points(st.size), xfont.WeightBold)
	}
	return regular.face(points(st.size), xfont.WeightNormal)
}

// cleanText replaces what neither a font nor XML can show.
func cleanText(s string) string {
	out := make([]rune, 0, len(s))
	for _, r := range s {
		switch {
		case unicode.IsControl(r), r == '\u2028', r == '\u2029':
			out = append(out, ' ')
		case r == 0xfffe, r == 0xffff:
			out = append(out, utf8.RuneError)
		default:
			out = append(out, r)
		}
	}
	return string(out)
}
