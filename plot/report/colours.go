package report

import (
	"bytes"
	"fmt"
	"strings"

	"cagewise/plot"
)

// palette gives every colour of a picture a name, so that one drawing serves
// light and dark: a name stands for the colour that the same mark has in
// either theme.
type palette struct {
	names map[[2]string]string // by the colours in the light and the dark theme
	pairs [][2]string          // in the order of their names
}

func newPalette() *palette { return &palette{names: map[[2]string]string{}} }

// name is how a pair of colours is called in the page's style.
func (p *palette) name(light, dark string) string {
	pair := [2]string{light, dark}
	if _, ok := p.names[pair]; !ok {
		p.names[pair] = fmt.Sprintf("var(--c%d)", len(p.pairs))
		p.pairs = append(p.pairs, pair)
	}
	return p.names[pair]
}

// join names the colours of a picture that was drawn in both themes. A drawing
// whose marks differ between the themes is left in the light one.
func (p *palette) join(light, dark []byte) []byte {
	a, b := colourPlaces(light), colourPlaces(dark)
	if len(a) != len(b) {
		return light
	}
	var out bytes.Buffer
	out.Grow(len(light) + 4*len(a))
	from := 0
	for i, at := range a {
		out.Write(light[from:at])
		out.WriteString(p.name(string(light[at:at+colourLength]), string(dark[b[i]:b[i]+colourLength])))
		from = at + colourLength
	}
	out.Write(light[from:])
	return out.Bytes()
}

const colourLength = len("#1b1d21")

// colourPlaces finds the colours of a drawing; text cannot be taken for one,
// as its quotes are escaped.
func colourPlaces(svg []byte) []int {
	var list []int
	mark := []byte(`="#`)
	for from := 0; ; {
		i := bytes.Index(svg[from:], mark)
		if i < 0 {
			return list
		}
		list = append(list, from+i+len(`="`))
		from += i + len(mark)
	}
}

// css declares the palette and the page's own colours for one theme.
func (p *palette) css(theme string, pick int) (string, error) {
	t, err := plot.ThemeByName(theme)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	for _, c := range []struct {
		name   string
		colour interface{ RGBA() (r, g, b, a uint32) }
	}{{"paper", t.Background}, {"ink", t.Ink}, {"muted", t.Muted}, {"line", t.Grid}, {"danger", t.Danger}, {"accent", t.Series[0]}} {
		r, g, b, _ := c.colour.RGBA()
		fmt.Fprintf(&out, "--%s:#%02x%02x%02x;", c.name, r>>8, g>>8, b>>8)
	}
	for i, pair := range p.pairs {
		fmt.Fprintf(&out, "--c%d:%s;", i, pair[pick])
	}
	return out.String(), nil
}
