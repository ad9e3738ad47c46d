package plot

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// Limits of a page.
const (
	MinSizeMM    = 60.0       // least width and height in mm
	MaxSizeMM    = 1000.0     // greatest width and height in mm
	MinDPI       = 36         // least resolution of a PNG in dots an inch
	MaxDPI       = 600        // greatest resolution of a PNG in dots an inch
	DefaultDPI   = 150        // resolution when none is asked for
	MaxPNGPixels = 40_000_000 // most pixels of a PNG
)

// Options say how a picture is put on its page. The zero value asks for the
// picture's own size in the light theme.
type Options struct {
	// WidthMM and HeightMM are the page in mm, each 60 to 1000; 0: the
	// picture's own default, a height that goes with the width.
	WidthMM, HeightMM float64
	// DPI is the resolution of a PNG in dots an inch, 36 to 600; 0: 150. An
	// SVG has no resolution and ignores it.
	DPI int
	// Theme is "light", "dark" or "print"; "": light.
	Theme string
	// Title is the heading; blank: the picture's own.
	Title string
}

// titled is a picture under the heading asked for.
func (o Options) titled(p Picture) Picture {
	if strings.TrimSpace(o.Title) == "" {
		return p
	}
	return p.under(o.Title)
}

// Picture is a chart of this package.
type Picture interface {
	// Title is the heading of the picture.
	Title() string
	// Describe says in words what the picture shows, for readers who cannot
	// see it.
	Describe() string
	// Size is the default page in mm.
	Size() (wMM, hMM float64)

	// check refuses what cannot be drawn, so that draw needs no error.
	check() error
	draw(s *sheet)
	// under is the picture under another heading.
	under(title string) Picture
}

// follower is a picture whose default height follows from what it holds and
// from the page's width.
type follower interface {
	heightAt(wMM float64) float64
}

// WriteSVG writes a picture as an SVG document.
func WriteSVG(w io.Writer, p Picture, o Options) error {
	p = o.titled(p)
	pg, err := newPage(p, o)
	if err != nil {
		return err
	}
	c := newSVGCanvas(pg.w, pg.h, p.Title(), p.Describe())
	s := newSheet(c, pg)
	s.fillRect(rect{0, 0, pg.w, pg.h}, pg.theme.Background) // an image has its own
	p.draw(s)
	return c.writeTo(w)
}

// WritePNG writes a picture as a PNG image of at most 40 megapixels.
func WritePNG(w io.Writer, p Picture, o Options) error {
	p = o.titled(p)
	pg, err := newPage(p, o)
	if err != nil {
		return err
	}
	c, err := newPNGCanvas(pg)
	if err != nil {
		return err
	}
	p.draw(newSheet(c, pg))
	return c.writeTo(w)
}

// page is Options with every default filled in and checked.
type page struct {
	w, h  float64 // mm
	dpi   int
	theme Theme
}

func newPage(p Picture, o Options) (page, error) {
	if err := p.check(); err != nil {
		return page{}, err
	}
	theme, err := ThemeByName(o.Theme)
	if err != nil {
		return page{}, err
	}
	pg := page{w: o.WidthMM, h: o.HeightMM, dpi: o.DPI, theme: theme}
	w, h := p.Size()
	if pg.w == 0 {
		pg.w = w
	}
	if pg.h == 0 {
		pg.h = h
		if f, ok := p.(follower); ok && sizeAllowed(pg.w) && pg.w != w {
			pg.h = f.heightAt(pg.w)
		}
	}
	if pg.dpi == 0 {
		pg.dpi = DefaultDPI
	}
	return pg, pg.check()
}

func (pg page) check() error {
	if !sizeAllowed(pg.w) || !sizeAllowed(pg.h) {
		return fmt.Errorf("page of %v x %v mm; allowed %v to %v mm each way", pg.w, pg.h, MinSizeMM, MaxSizeMM)
	}
	if pg.dpi < MinDPI || pg.dpi > MaxDPI {
		return fmt.Errorf("%d dots an inch; allowed %d to %d", pg.dpi, MinDPI, MaxDPI)
	}
	return nil
}

// sizeAllowed is false for NaN too.
func sizeAllowed(mm float64) bool { return mm >= MinSizeMM && mm <= MaxSizeMM }

// pixels is the size of the page as an image.
func (pg page) pixels() (w, h int) {
	perMM := float64(pg.dpi) / mmPerInch
	return int(math.Round(pg.w * perMM)), int(math.Round(pg.h * perMM))
}
