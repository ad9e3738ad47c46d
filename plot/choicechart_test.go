package plot

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/sim"
	partsearch "cagewise/sim/search"
)

// shelf is an invented parts bin.
func shelf() gearing.PartsBin {
	b := gearing.PartsBin{Name: "an invented shelf", Money: "euro"}
	for i, t := range [][]gearing.Teeth{teeth(30, 46), teeth(32, 48), teeth(40), teeth(22, 32, 44), teeth(28, 42), teeth(34, 50)} {
		b.RingSets = append(b.RingSets, gearing.BinRings{BinPart: gearing.BinPart{Name: fmt.Sprint("rings ", i+1), Price: []float64{0, 45, 30, 70, 55, 40}[i]}, Teeth: t})
	}
	for i, t := range [][]gearing.Teeth{elevenTo36, elevenTo42, thirteen, teeth(11, 12, 13, 14, 16, 18, 21, 24, 28, 32), teeth(12, 13, 14, 15, 17, 19, 21, 23, 25)} {
		b.Cassettes = append(b.Cassettes, gearing.BinCassette{BinPart: gearing.BinPart{Name: fmt.Sprint("cassette ", i+1), Price: []float64{0, 60, 110, 35, 25}[i]}, Teeth: t})
	}
	for i, class := range []string{"medium", "long", "wide", "long"} {
		r := gearing.RearDerailleur{Geometry: gearing.Geometry{Class: class}}
		if i == 3 {
			r.PulleyCentres = 95
		}
		b.Derailleurs = append(b.Derailleurs, gearing.BinDerailleur{BinPart: gearing.BinPart{Name: "cage " + class, Price: []float64{0, 48, 75, 90}[i]}, Rear: r})
	}
	b.Chains = []gearing.BinChain{{BinPart: gearing.BinPart{Name: "packet of 116", Price: 18}, Pitches: 116}, {BinPart: gearing.BinPart{Name: "packet of 126", Price: 29}, Pitches: 126}}
	return b
}

func searched(t testing.TB, b gearing.PartsBin, w partsearch.Wishes) ChoiceChart {
	t.Helper()
	base := rigBuild("", 440, 65, teeth(40), elevenTo36)
	r, err := partsearch.Run(context.Background(), base, b, w, partsearch.Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	return NewChoiceChart(r)
}

// manyChoices are n invented choices with three that they beat; every third
// has the range and the step of the one before.
func manyChoices(n int) ChoiceChart {
	r := rand.New(rand.NewPCG(11, 3))
	res := partsearch.Result{Combinations: 3.2e6, Done: 3.2e6, Bin: gearing.PartsBin{Name: "an invented shed", Money: "euro"}}
	found := func(i int, range_, step float64) partsearch.Found {
		return partsearch.Found{
			Choice: partsearch.Choice{Rings: i}, Range: gearing.Percent(range_), LargestStep: gearing.Percent(step),
			Margin: gearing.Pitches(0.2 + 4*r.Float64()*r.Float64()), Price: float64(r.IntN(80)) * 5, Knowledge: sim.Typical, Verdict: gearing.Works,
		}
	}
	for i := range n {
		v := 620 - 330*float64(i)/float64(n) - 15*r.Float64()
		f := found(i, v, 10+0.045*(v-290)+6*r.Float64())
		if last := len(res.Best) - 1; i%3 == 2 {
			f.Range, f.LargestStep = res.Best[last].Range, res.Best[last].LargestStep
		}
		res.Best = append(res.Best, f)
	}
	for i := range 3 {
		b := res.Best[(i*7)%n]
		res.RunnersUp = append(res.RunnersUp, partsearch.RunnerUp{Found: found(1000+i, float64(b.Range)-8, float64(b.LargestStep)+0.7), Better: b.Choice})
	}
	return NewChoiceChart(res)
}

func choices(t testing.TB) map[string]ChoiceChart {
	whatever := partsearch.Wishes{LostGears: -1, OverCapacity: -1, OverCog: -1}
	partial := manyChoices(14)
	partial.Result.Partial, partial.Result.Done = true, 0.413*partial.Result.Combinations
	one := manyChoices(1)
	one.Result.RunnersUp, one.Name = nil, longName
	none := searched(t, shelf(), partsearch.Wishes{LostGears: 0, Lowest: 1.2, Highest: 9.5, LargestStep: 9, OverCapacity: -1, OverCog: -1, HasBudget: true, Budget: 20})
	free := manyChoices(6)
	for i := range free.Result.Best {
		free.Result.Best[i].Price = 0
	}
	free.Result.RunnersUp = nil
	return map[string]ChoiceChart{
		"shelf": searched(t, shelf(), whatever), "wishes": searched(t, shelf(), partsearch.Wishes{LostGears: 2, OverCapacity: -1, OverCog: -1, Lowest: 2}),
		"many": manyChoices(60), "crowd": manyChoices(300), "partial": partial, "one": one, "none": none, "free": free,
		"empty":   NewChoiceChart(partsearch.Result{Combinations: 1e8, Done: 2e6, Partial: true}),
		"nothing": NewChoiceChart(partsearch.Result{Combinations: 12, Done: 12}),
	}
}

// TestShowChoice writes the charts of choices for the eye, as TestShow does.
func TestShowChoice(t *testing.T) {
	for name, c := range choices(t) {
		showPicture(t, "choice_"+name, c)
	}
}

func TestChoiceLayout(t *testing.T) {
	for name, c := range choices(t) {
		for _, o := range oddPages {
			noProblems(t, name, c, o)
		}
	}
}

// anyChoices draws a result that a search could have.
func anyChoices(rt *rapid.T) ChoiceChart {
	n := rapid.IntRange(0, 80).Draw(rt, "best")
	c := manyChoices(max(n, 1))
	r := &c.Result
	r.Best = r.Best[:n]
	coarse := rapid.SampledFrom([]float64{0.01, 10, 200}).Draw(rt, "coarse")
	for i := range r.Best {
		f := &r.Best[i]
		f.Range = gearing.Percent(coarse * math.Round(float64(f.Range)/coarse))
		f.Price *= rapid.SampledFrom([]float64{0, 1, 1, 1.01, 1000}).Draw(rt, "price")
		f.Margin = gearing.Pitches(rapid.Float64Range(-0.5, 12).Draw(rt, "margin"))
	}
	r.RunnersUp = r.RunnersUp[:rapid.IntRange(0, 3).Draw(rt, "next")]
	if n == 0 {
		r.RunnersUp = nil
		if rapid.Bool().Draw(rt, "miss") {
			miss := manyChoices(1).Result.Best[0]
			r.Nearest = &partsearch.Miss{Found: miss, Broken: []partsearch.Reason{partsearch.TooHigh, partsearch.OverBudget, partsearch.GearsLost}, Works: true}
		}
	}
	if r.Partial = rapid.Bool().Draw(rt, "partial"); r.Partial {
		r.Done *= rapid.Float64Range(0, 1).Draw(rt, "done")
	}
	r.Bin.Money = rapid.SampledFrom([]string{"", "euro", "a currency with a long name"}).Draw(rt, "money")
	c.Name = rapid.StringN(0, 80, 200).Draw(rt, "name")
	return c
}

// Whatever was found and whatever the page, no words meet or leave the page,
// no label lies on a disc, and what has no label is counted.
func TestAnyChoiceLayout(t *testing.T) {
	for name, side := range anyPages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			c, o := anyChoices(rt), anyPage(rt, side)
			n := noProblems(rt, name, c, o)
			y := c.placed(rt, o)
			y.checkLabels(rt)
			if out := y.leftOut + y.priceOut; out > 0 && !slices.Contains(n.texts, y.noteWords()) {
				rt.Fatalf("%d labels are left out and not counted", out)
			}
		}))
	}
}

// placed is the layout of a chart.
func (c ChoiceChart) placed(t fataler, o Options) *choiceLayout {
	t.Helper()
	pg, err := newPage(c, o)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return c.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
}

// checkLabels holds the labels against the discs and the counts.
func (y *choiceLayout) checkLabels(t fataler) {
	t.Helper()
	none, short := 0, 0
	for i := range y.marks {
		l := y.marks[i].label
		if l == nil {
			none++
			continue
		}
		if l.price == "" && y.price > 0 {
			short++
		}
		for j := range y.marks {
			m := &y.marks[j]
			near := point{min(max(m.at.x, l.box.x0), l.box.x1), min(max(m.at.y, l.box.y0), l.box.y1)}
			if d := math.Hypot(near.x-m.at.x, near.y-m.at.y); d < m.r-1e-9 && !(l.inside && i == j) {
				t.Fatalf("the label of %s lies on %s", y.marks[i].partName(), m.partName())
			}
		}
	}
	if none != y.leftOut || short != y.priceOut {
		t.Fatalf("%d without a label and %d without a price, counted %d and %d", none, short, y.leftOut, y.priceOut)
	}
}

// Discs stand at their range and step or are tied to it, keep apart where they
// are not too many, and their areas go with their margins.
func TestChoiceDiscs(t *testing.T) {
	for _, name := range []string{"shelf", "many", "partial", "wishes"} {
		y := choices(t)[name].placed(t, Options{})
		most := 0.0
		for i := range y.marks {
			most = max(most, float64(y.marks[i].found.Margin))
		}
		for i := range y.marks {
			m := &y.marks[i]
			want := point{y.x.at(float64(m.found.LargestStep)), y.y.at(float64(m.found.Range))}
			if m.place != want {
				t.Errorf("%s: %s has its place at %v, want %v", name, m.partName(), m.place, want)
			}
			if d := math.Hypot(m.at.x-want.x, m.at.y-want.y); d > 6*y.size {
				t.Errorf("%s: %s is %.1f mm from its place", name, m.partName(), d)
			}
			share := float64(m.found.Margin) / most
			if area := m.r * m.r / (y.most * y.most); share > choiceLeast*choiceLeast && math.Abs(area-share) > 1e-9 {
				t.Errorf("%s: %s has an area of %.3f, its margin is %.3f of the largest", name, m.partName(), area, share)
			}
			if low, high := y.price*float64(m.ticks-1), y.price*float64(m.ticks); m.found.Price <= low || m.found.Price > high+1e-6 {
				if m.ticks > 0 || m.found.Price > 0 {
					t.Errorf("%s: a price of %v has %d ticks of %v", name, m.found.Price, m.ticks, y.price)
				}
			}
			for j := range i {
				o := &y.marks[j]
				if d := math.Hypot(m.at.x-o.at.x, m.at.y-o.at.y); d < m.r+o.r {
					t.Errorf("%s: %s lies on %s", name, m.partName(), o.partName())
				}
			}
		}
	}
}

// The stair runs through those that no other beats in range and step alone.
func TestChoiceStair(t *testing.T) {
	y := manyChoices(60).placed(t, Options{})
	stair := y.frontier()
	for i := range y.marks {
		m := &y.marks[i]
		if m.kind != choiceBest {
			continue
		}
		beaten := slices.ContainsFunc(y.marks, func(o choiceMark) bool {
			a, b := o.found, m.found
			return o.kind == choiceBest && a.Range >= b.Range && a.LargestStep <= b.LargestStep && (a.Range > b.Range || a.LargestStep < b.LargestStep)
		})
		if on := slices.Contains(stair, m.place); on == beaten {
			t.Errorf("%s: beaten %v, on the stair %v", m.partName(), beaten, on)
		}
	}
}

// The first of the list have their numbers, whatever else finds no room.
func TestChoiceLabels(t *testing.T) {
	for name, least := range map[string]int{"many": 40, "shelf": 22, "partial": 16, "wishes": 14, "free": 6, "one": 1} {
		y := choices(t)[name].placed(t, Options{})
		if got := len(y.marks) - y.leftOut; got < least {
			t.Errorf("%s: %d of %d labelled, want %d", name, got, len(y.marks), least)
		}
		if y.size < 0.024*160 {
			t.Errorf("%s: text of %.2f mm", name, y.size)
		}
	}
	n := noProblems(t, "many", manyChoices(60), Options{})
	for _, w := range []string{"1", "2", "3", "350", "60"} {
		if !slices.Contains(n.texts, w) {
			t.Errorf("no label %s", w)
		}
	}
}

// The chart says that a search was stopped, that nothing was found, and
// explains what occurs and nothing else.
func TestChoiceWords(t *testing.T) {
	all := choices(t)
	partial, next, miss := "Partial: 41.3 % decided, there may be better ones", "next best (beaten by)", "nearest miss"
	aside, stair := "moved aside from its place", "unbeaten in range and step"
	tests := map[string]struct{ has, hasNot []string }{
		"partial": {[]string{partial, next, "number in the list, price in euro", "tick: every 50 euro begun", "area: margin 0.43 to 3.42 pitches", stair, aside}, []string{miss}},
		"none":    {[]string{"Nothing in the bin meets the wishes", miss, "nearest miss, price in euro"}, []string{partial, next, stair}},
		"empty":   {[]string{"Nothing that meets the wishes was found before the search was stopped", "no combination to draw", "Partial: 2.0 % decided, there may be better ones"}, []string{stair, next}},
		"nothing": {[]string{"Nothing in the bin meets the wishes", "no combination to draw"}, []string{miss}},
		"free":    {[]string{"number in the list, nothing to buy"}, []string{"tick: every 50 euro begun", next}},
		"one":     {[]string{"1 choice is the best of 3.2 million combinations · judged by typical geometry, not your derailleur's"}, []string{aside, next}},
		"many":    {[]string{"60 best choices of 3.2 million combinations", aside}, []string{partial}},
	}
	for name, tt := range tests {
		n := noProblems(t, name, all[name], Options{})
		for _, w := range tt.has {
			if !slices.Contains(n.texts, w) && !strings.Contains(strings.Join(n.texts, " · "), w) {
				t.Errorf("%s: %q is not on the page: %q", name, w, n.texts)
			}
		}
		for _, w := range tt.hasNot {
			if slices.Contains(n.texts, w) {
				t.Errorf("%s: %q is on the page", name, w)
			}
		}
	}
	if s := all["partial"].Describe(); !strings.Contains(s, partial+". 1: range 618 %, largest step 25.4 %, margin 1.52 pitches, price 350 euro, works") || !strings.Contains(s, " 2 more.") {
		t.Error(s)
	}
}

// A number in a disc can be read on it.
func TestChoiceContrast(t *testing.T) {
	for _, th := range themes {
		if k := contrast(th.Ink, th.tint(th.series(0), 0.5)); k < 4.5 {
			t.Errorf("%s: contrast %.2f", th.Name, k)
		}
	}
}

func TestTickPrice(t *testing.T) {
	for most, want := range map[float64]float64{0: 0, 1: 0.2, 8: 1, 8.01: 2, 120: 20, 395: 50, 1e6: 200000, 0.05: 0.01} {
		if got := tickPrice(most); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: %v, want %v", most, got, want)
		}
	}
}

func TestChoiceRefuses(t *testing.T) {
	broken := func(change func(*partsearch.Result)) ChoiceChart {
		c := manyChoices(5)
		change(&c.Result)
		return c
	}
	for name, c := range map[string]ChoiceChart{
		"range":   broken(func(r *partsearch.Result) { r.Best[2].Range = gearing.Percent(math.NaN()) }),
		"step":    broken(func(r *partsearch.Result) { r.Best[2].LargestStep = gearing.Percent(math.Inf(1)) }),
		"margin":  broken(func(r *partsearch.Result) { r.RunnersUp[1].Margin = gearing.Pitches(math.Inf(-1)) }),
		"price":   broken(func(r *partsearch.Result) { r.Best[0].Price = -1 }),
		"nearest": broken(func(r *partsearch.Result) { r.Nearest = &partsearch.Miss{Found: partsearch.Found{Range: -3}} }),
		"counts":  broken(func(r *partsearch.Result) { r.Done = math.NaN() }),
		"more":    broken(func(r *partsearch.Result) { r.Done = 2 * r.Combinations }),
	} {
		if err := WriteSVG(io.Discard, c, Options{}); err == nil || !strings.HasPrefix(err.Error(), "choice chart: ") {
			t.Errorf("%s: %v", name, err)
		}
		_, _ = c.Size()
	}
}

func TestChoiceGolden(t *testing.T) {
	all := choices(t)
	golden(t, "choice_partial", all["partial"], Options{})
	golden(t, "choice_many_dark", all["many"], Options{Theme: ThemeDark})
	golden(t, "choice_many_narrow_print", all["many"], Options{Theme: ThemePrint, WidthMM: phoneMM})
	golden(t, "choice_nothing_print", all["nothing"], Options{Theme: ThemePrint, WidthMM: 110, HeightMM: 90})
}

func BenchmarkChoiceSVG(b *testing.B) { benchmarkSVG(b, manyChoices(14)) }

func BenchmarkChoicePNG(b *testing.B) { benchmarkPNG(b, manyChoices(14)) }

func BenchmarkChoiceOf60SVG(b *testing.B) { benchmarkSVG(b, manyChoices(60)) }

func BenchmarkChoiceOf60PNG(b *testing.B) { benchmarkPNG(b, manyChoices(60)) }
