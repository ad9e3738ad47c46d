package plot

import (
	"fmt"
	"strings"

	"cagewise/sim"
	partsearch "cagewise/sim/search"
)

// choiceFacts are what is known of one of the best.
func (c ChoiceChart) choiceFacts(f *partsearch.Found) []string {
	list := []string{
		fmt.Sprintf("range %s %%", fixed(float64(f.Range), 0)),
		fmt.Sprintf("largest step %s %%", fixed(float64(f.LargestStep), 1)),
		fmt.Sprintf("margin %s pitches", fixed(float64(f.Margin), 2)),
		fmt.Sprintf("price %s %s", plain(f.Price), c.money()),
		choiceVerdict(f),
	}
	b := &c.Result.Bin
	named := func(kind string, i, n int, name func() string) {
		if i >= 0 && i < n {
			list = append(list, kind+" "+name())
		}
	}
	named("rings", f.Rings, len(b.RingSets), func() string { return b.RingSets[f.Rings].Name })
	named("cassette", f.Cassette, len(b.Cassettes), func() string { return b.Cassettes[f.Cassette].Name })
	named("derailleur", f.Derailleur, len(b.Derailleurs), func() string { return b.Derailleurs[f.Derailleur].Name })
	named("extender", f.Extender, len(b.Extenders), func() string { return b.Extenders[f.Extender].Name })
	named("chain", f.Choice.Chain, len(b.Chains), func() string { return b.Chains[f.Choice.Chain].Name })
	named("wheel", f.Wheel, len(b.Wheels), func() string { return b.Wheels[f.Wheel].Name })
	return list
}

// choiceVerdict is the verdict with the number of lost gears, and its chance.
func choiceVerdict(f *partsearch.Found) string {
	s := f.Verdict.String()
	if n := len(f.Lost); n > 0 {
		s += " without " + count(n, "gear")
	}
	return s + ", chance " + percent(f.Chance)
}

// manyWords write a number of combinations so that one can read it.
func manyWords(n float64) string {
	switch {
	case n >= 1e9:
		return fixed(n/1e9, 1) + " thousand million"
	case n >= 1e6:
		return fixed(n/1e6, 1) + " million"
	}
	return fixed(n, 0)
}

// facts are what the chart says in words.
func (c ChoiceChart) facts() []string {
	r := &c.Result
	n := len(r.Best)
	if n == 0 {
		return append([]string{c.nothingWords()}, c.missFacts()...)
	}
	list := []string{fmt.Sprintf("%s of %s combinations", count(n, "best choice"), manyWords(r.Combinations))}
	if n == 1 {
		list[0] = "1 choice is the best of " + manyWords(r.Combinations) + " combinations"
	}
	return append(list, c.basisFacts()...)
}

// basisFacts tell when what is drawn rests on little.
func (c ChoiceChart) basisFacts() []string {
	typical := 0
	for i := range c.Result.Best {
		if c.Result.Best[i].Knowledge < sim.Measured {
			typical++
		}
	}
	switch typical {
	case 0:
		return nil
	case len(c.Result.Best):
		return []string{"judged by " + typicalWords}
	}
	return []string{fmt.Sprintf("%d of them judged by %s", typical, typicalWords)}
}

func (c ChoiceChart) nothingWords() string {
	if c.Result.Partial {
		return "Nothing that meets the wishes was found before the search was stopped"
	}
	return "Nothing in the bin meets the wishes"
}

// missFacts tell what the nearest miss breaks.
func (c ChoiceChart) missFacts() []string {
	m := c.Result.Nearest
	if m == nil {
		return nil
	}
	words := make([]string, len(m.Broken))
	for i, b := range m.Broken {
		words[i] = b.String()
	}
	return []string{"Nearest miss: " + strings.Join(words, ", ")}
}

// partialWords warn of a search that was stopped.
func (c ChoiceChart) partialWords() string {
	return fmt.Sprintf("Partial: %s %% decided, there may be better ones", fixed(100*c.share(), 1))
}

// share is the part of the combinations that was decided.
func (c ChoiceChart) share() float64 {
	if !(c.Result.Combinations > 0) {
		return 0
	}
	return min(c.Result.Done/c.Result.Combinations, 1)
}
