package plot_test

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"log"
	"strings"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/plot"
	"cagewise/sim"
)

// Draw a side view: the largest ring and cog with the chain owned. Write to a
// file in place of io.Discard.
func ExampleNewSideView() {
	r, err := build.Read("../examples/gravel.toml")
	if err != nil {
		log.Fatal(err)
	}
	study, err := sim.NewStudy(r.Build, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	i, _ := study.Rig.Index(gearing.GearID{Ring: 46, Cog: 36})
	view, err := plot.NewSideView(study, i)
	if err != nil {
		log.Fatal(err)
	}
	if err := plot.WriteSVG(io.Discard, view, plot.Options{Theme: plot.ThemeDark}); err != nil {
		log.Fatal(err)
	}
	words, _, _ := strings.Cut(view.Describe(), ":")
	fmt.Println(words)
	// Output:
	// Side view of gear 46x36 from the drive side, to scale
}

// Draw a gear ladder as a PNG of 120 by 90 mm.
func ExampleWritePNG() {
	b := gearing.Build{Rings: []gearing.Teeth{30, 46}, Cogs: []gearing.Teeth{11, 13, 15, 18, 21, 25, 30, 36}}
	b.Wheel = gearing.Wheel{Section: 37, BeadSeat: 622, LoadAllowance: 1}
	t, err := gearing.NewTable(b, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	var out bytes.Buffer
	if err := plot.WritePNG(&out, plot.Ladder{Table: t}, plot.Options{WidthMM: 120, HeightMM: 90, DPI: 100}); err != nil {
		log.Fatal(err)
	}
	size, err := png.DecodeConfig(&out)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(size.Width, "by", size.Height, "pixels")
	// Output:
	// 472 by 354 pixels
}
