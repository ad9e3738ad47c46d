package report

import (
	"bytes"
	"fmt"

	"cagewise/plot"
)

// Widths of the drawings in mm: a phone's screen, and a page of paper.
const (
	phoneMM = 70
	paperMM = 170
)

// drawing is a picture put into the page, once or for two widths.
type drawing struct {
	Phone, Paper []byte
}

// draw makes the drawings of a picture.
func (p *palette) draw(pic Picture) (d drawing, err error) {
	if d.Phone, err = p.inline(pic, plot.Options{WidthMM: phoneMM, HeightMM: pic.HeightMM}); err != nil {
		return d, fmt.Errorf("picture %s: %w", pic.Name, err)
	}
	if pic.Wide {
		d.Paper, err = p.inline(pic, plot.Options{WidthMM: paperMM})
	}
	return d, err
}

// inline draws in both themes and leaves out what a page does not need: the
// name space, and a size in mm that would be wider than a screen.
func (p *palette) inline(pic plot.Picture, o plot.Options) ([]byte, error) {
	var light, dark bytes.Buffer
	for _, t := range []struct {
		theme string
		to    *bytes.Buffer
	}{{plot.ThemeLight, &light}, {plot.ThemeDark, &dark}} {
		o.Theme = t.theme
		if err := plot.WriteSVG(t.to, pic, o); err != nil {
			return nil, err
		}
	}
	svg := bytes.TrimSpace(p.join(light.Bytes(), dark.Bytes()))
	_, rest, _ := bytes.Cut(svg, []byte("viewBox="))
	return append([]byte(`<svg role="img" viewBox=`), rest...), nil
}
