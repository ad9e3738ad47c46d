package plot

import (
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	fix "golang.org/x/image/math/fixed"
)

// cut is fit for a text that may be far too long, with the width of what is
// left in mm. It goes along the text once, and only as far as the width reaches.
func (s *sheet) cut(text string, st textStyle, width float64) (short string, wide float64) {
	runes := []rune(cleanText(text))
	if len(runes) > maxRunes {
		runes = append(runes[:maxRunes], '…')
	}
	m := newMeter(st)
	ends := m.ends(runes, width)
	n := len(ends) - 1
	if n == len(runes) {
		return string(runes), ends[n]
	}
	for ; n > 0; n-- {
		if wide := ends[n] + m.after(runes[n-1], '…'); wide <= width {
			return string(runes[:n]) + "…", wide
		}
	}
	return "", 0
}

// meter measures a text rune by rune, kerning included, as textWidth does as a
// whole.
type meter struct {
	face  *sfnt.Font
	buf   sfnt.Buffer
	em    fix.Int26_6
	perEm float64 // mm a font unit
}

func newMeter(st textStyle) *meter {
	face := faceOf(st).Face
	em := face.UnitsPerEm()
	return &meter{face: face, em: fix.Int26_6(em), perEm: st.size / float64(em)}
}

// ends are the places in mm where the first runes of a text end that fit a
// width, one after the other, and 0 before the first.
func (m *meter) ends(runes []rune, width float64) []float64 {
	list, last := append(make([]float64, 0, len(runes)+1), 0), rune(0)
	for i, r := range runes {
		at := list[i] + m.after(last, r)
		if at > width {
			break
		}
		list, last = append(list, at), r
	}
	return list
}

// after is the width in mm that a rune adds behind another; 0: behind none.
// What the font does not tell adds nothing.
func (m *meter) after(last, r rune) float64 {
	glyph, _ := m.face.GlyphIndex(&m.buf, r)
	wide, _ := m.face.GlyphAdvance(&m.buf, glyph, m.em, font.HintingNone)
	if last != 0 {
		before, _ := m.face.GlyphIndex(&m.buf, last)
		if kern, err := m.face.Kern(&m.buf, before, glyph, m.em, font.HintingNone); err == nil {
			wide += kern
		}
	}
	return float64(wide) * m.perEm
}
