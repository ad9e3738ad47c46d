package plot

import (
	"encoding/xml"
	"regexp"
	"strings"
	"testing"

	"cagewise/gearing"
)

// gearViewsOf draws every gear of a build with a chain of so many pitches, 0:
// the recommended one.
func gearViewsOf(t *testing.T, b gearing.Build, pitches int) (*GearViews, []SideView) {
	t.Helper()
	b.Chain.Pitches = pitches
	s := study(t, b)
	views := make([]SideView, len(s.Advice.Gears))
	for i := range views {
		v, err := NewSideView(s, i)
		if err != nil {
			t.Fatal(err)
		}
		views[i] = v
	}
	return NewGearViews("v", views), views
}

// Each view is well-formed, refers to nothing that is not in the shared
// drawing or in itself, and has a pin for every pitch of a chain that runs.
func TestGearViews(t *testing.T) {
	uses := regexp.MustCompile(`href="#([^"]*)"`)
	pins := regexp.MustCompile(`class="pins[^"]*" d="([^"]*)"`)
	states := map[string]bool{}
	for _, c := range rigCases {
		for _, pitches := range []int{0, 96, 106, 126} {
			g, views := gearViewsOf(t, c.build, pitches)
			shared := g.Shared()
			if err := xml.Unmarshal([]byte(shared), new(struct{})); err != nil {
				t.Fatalf("%s: shared: %v", c.name, err)
			}
			for i, v := range views {
				svg, name := g.SVG(i), c.name+" "+v.Fit.String()
				states[v.Fit.State.String()] = true
				if err := xml.Unmarshal([]byte(svg), new(struct{})); err != nil {
					t.Errorf("%s: %v", name, err)
				}
				if len(svg) > 4000 {
					t.Errorf("%s: %d bytes", name, len(svg))
				}
				for _, use := range uses.FindAllStringSubmatch(svg, -1) {
					if !strings.Contains(shared+svg, `id="`+use[1]+`"`) {
						t.Errorf("%s: %s leads nowhere", name, use[1])
					}
				}
				if m := pins.FindStringSubmatch(svg); v.Fit.State.Runs() && v.Fit.LeftWheel() == "" && (m == nil || strings.Count(m[1], "h0") != v.Advice.Pitches) {
					t.Errorf("%s: %d pins, want %d; %s wraps %v", name, strings.Count(strings.Join(m, ""), "h0")/2, v.Advice.Pitches, v.Fit.State, v.Fit.OnGuide)
				}
			}
		}
	}
	for _, want := range []string{"clear", "locks", "slack"} {
		if !states[want] {
			t.Errorf("no gear that is %s was drawn", want)
		}
	}
}

// The views of a build are drawn in one frame, at one scale, and every wheel's
// tip lies within it.
func TestGearViewsFrame(t *testing.T) {
	box := regexp.MustCompile(`viewBox="([^"]*)"`)
	g, views := gearViewsOf(t, rigCases[2].build, 0)
	first := box.FindString(g.SVG(0))
	for i, v := range views {
		if got := box.FindString(g.SVG(i)); got != first {
			t.Errorf("%s: %s, not %s", v.Fit.String(), got, first)
		}
	}
	ring := g.views[len(views)-1].chain.wheels[onRing]
	if tip := ring.at.x + float64(ring.teeth.TipRadius()); g.frame.x1 != tip {
		t.Errorf("the frame ends at %.2f mm, the largest ring at %.2f", g.frame.x1, tip)
	}
}

func BenchmarkGearViews2x12(b *testing.B) {
	s := study(b, rigCases[4].build)
	views := make([]SideView, len(s.Advice.Gears))
	for i := range views {
		views[i], _ = NewSideView(s, i)
	}
	b.ReportAllocs()
	for b.Loop() {
		g := NewGearViews("v", views)
		g.Shared()
		for i := range views {
			g.SVG(i)
		}
	}
}
