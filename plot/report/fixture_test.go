package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/plot"
	"cagewise/sim"
)

// double is a 2x12 build with invented geometry.
var double = gearing.Build{
	Name:  "Invented double",
	Frame: gearing.Frame{Chainstay: 425, BottomBracketDrop: 70},
	Wheel: gearing.Wheel{BeadSeat: 622, Section: 37, LoadAllowance: 1},
	Rings: []gearing.Teeth{31, 48}, Cogs: []gearing.Teeth{11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36},
	Rear: gearing.RearDerailleur{Geometry: gearing.Geometry{Class: "long"}},
}

// solve gives the views of a build with a chain, and its picture of all gears.
func solve(t testing.TB, b gearing.Build) (*Views, plot.Picture) {
	t.Helper()
	s, err := sim.NewStudy(b, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	views := &Views{}
	for i := range s.Answer.Fit.Gears {
		v, err := plot.NewSideView(s, i)
		if err != nil {
			t.Fatal(err)
		}
		views.Gears = append(views.Gears, View{v, []Figure{
			{"state", v.Fit.State.String()}, {"pulley gap", fmt.Sprintf("%.1f mm", float64(v.Fit.Gap))},
			{"reserve forward", fmt.Sprintf("%.1f pitches", float64(v.Fit.Forward))},
		}})
	}
	return views, plot.NewContactSheet(s)
}

// sample is a document with every kind of block.
func sample(t testing.TB, b gearing.Build) Document {
	views, sheet := solve(t, b)
	return Document{
		Title: b.Name, Note: b.Note,
		Chapters: []Chapter{{
			Title: "48/31 x 11-36", Verdict: Verdict{"WORKS", "The cage takes up every gear.", Good},
			Parts: []Part{
				{Title: "Side views", Views: views, Pictures: []Picture{
					{Name: "side", Picture: views.Gears[12].SideView, HeightMM: 70}, {Name: "side-2", Picture: views.Gears[11].SideView, HeightMM: 70},
				}},
				{Title: "Every gear", Text: wideTable(views), Pictures: []Picture{{Name: "sheet", Picture: sheet, Wide: true}}},
				{Title: "Words", Text: "A paragraph with `cagewise fit` in it.\n\n- **ok** fine\n- **never** 48x36\n\n```toml\nname = \"x\"\n```\n"},
			},
		}},
	}
}

func wideTable(v *Views) string {
	var b strings.Builder
	b.WriteString("| gear | state | forward (pitches) | +- | rearward (pitches) | gap (mm) | tension (N) |\n| :--- | :--- | ---: | :--- | ---: | ---: | ---: |\n")
	for i := range v.Gears {
		f := &v.Gears[i].Fit
		fmt.Fprintf(&b, "| %s | %s | %.1f | 0.4 | %.1f | %.1f | %.0f |\n", f, f.State, float64(f.Forward), float64(f.Rearward), float64(f.Gap), f.LowerTension)
	}
	return b.String()
}

// columnsTable is a table of so many columns.
func columnsTable(n int) string {
	row := func(cell string) string { return strings.Repeat("| "+cell+" ", n) + "|\n" }
	return row("freewh. (%)") + row("---:") + row("12345678") + row("")
}

func written(t testing.TB, d Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteHTML(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// stateOf is the state of a view's gear by the judgement of the build.
func stateOf(v *View) string {
	for i := range v.Advice.Gears {
		if v.Advice.Gears[i].GearID != v.Fit.GearID {
			continue
		}
		state, doubt := v.Advice.Mark(i)
		if doubt {
			return state.String() + ", doubtful"
		}
		return state.String()
	}
	return ""
}
