package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// The verdict on a whole log in a word.
const (
	wordStop       = "STOP"
	wordReplace    = "REPLACE"
	wordTest       = "TEST"
	wordCannotTell = "CANNOT TELL"
	wordKeep       = "KEEP"
)

func wordColour(word string) string {
	switch word {
	case wordStop:
		return red
	case wordKeep:
		return green
	}
	return yellow
}

// verdictWords says what to do, the most pressing first.
func (r wearReport) verdictWords() (word, sentence string) {
	if len(r.Decisions) == 0 {
		return wordCannotTell, "The log names no part yet; `cagewise log LOG part` adds one."
	}
	var words []string
	say := func(format string, ids []string) {
		if len(ids) > 0 {
			words = append(words, fmt.Sprintf(format, strings.Join(ids, ", ")))
		}
	}
	replace, test := r.with(wear.Replace), r.with(wear.KeepAndTest)
	toBuy := without(replace, r.NotToBeHad)
	unknown := r.with(wear.CannotTell)
	words = append(words, r.dangerWords()...)
	say("Replace %s.", toBuy)
	say("Due but not to be had: %s; what may still be ridden stands below.", r.NotToBeHad)
	say("Past its limit, but to be kept with its worn cogs: %s.", r.wornPairs())
	say("Keep and test %s"+r.gently()+".", test)
	if len(words) == 0 {
		words = append(words, "Nothing has to be replaced now.")
	}
	say("The readings of %s contradict each other: read it again before you go by this.", r.contradicting())
	words = append(words, r.unknownWords()...)
	words = append(words, r.nextWords()...)
	return r.verdictWord(len(replace), len(test), len(unknown)), strings.Join(words, " ")
}

// unknownWords say what to do with parts of which nothing tells yet: chains are
// read, the rest looked at.
func (r wearReport) unknownWords() (words []string) {
	var read, look []string
	for _, d := range r.Decisions {
		switch {
		case d.Verdict != wear.CannotTell || d.Off:
		case d.Kind == gearing.PartChain:
			read = append(read, d.ID)
		default:
			look = append(look, d.ID)
		}
	}
	if len(read) > 0 {
		words = append(words, fmt.Sprintf("Nothing tells about %s yet: read %s.", strings.Join(read, ", "), itOrThem(len(read))))
	}
	if len(look) > 0 {
		words = append(words, fmt.Sprintf("Nothing tells about %s yet: look at %s.", strings.Join(look, ", "), itOrThem(len(look))))
	}
	return words
}

func itOrThem(n int) string {
	if n == 1 {
		return "it"
	}
	return "them"
}

// gently reminds of how to test, where tests under load are due.
func (r wearReport) gently() string {
	if slices.ContainsFunc(r.Tests, func(t wear.Test) bool { return t.Loaded }) {
		return ": seated and gently, off the road"
	}
	return ""
}

func (r wearReport) verdictWord(replace, test, unknown int) string {
	switch {
	case len(r.Dangerous) > 0:
		return wordStop
	case replace > 0:
		return wordReplace
	case test > 0, len(r.contradicting()) > 0:
		return wordTest
	case unknown == r.onBike() || r.unreadChain():
		return wordCannotTell
	}
	return wordKeep
}

// with lists the parts on the bike of one verdict.
func (r wearReport) with(v wear.Verdict) []string {
	var ids []string
	for _, d := range r.Decisions {
		if d.Verdict == v && !d.Off {
			ids = append(ids, d.ID)
		}
	}
	return ids
}

func (r wearReport) wornPairs() []string {
	var ids []string
	for _, d := range r.Decisions {
		if d.WornPair {
			ids = append(ids, d.ID)
		}
	}
	return ids
}

func (r wearReport) onBike() int {
	n := 0
	for _, d := range r.Decisions {
		if !d.Off {
			n++
		}
	}
	return n
}

func (r wearReport) unreadChain() bool {
	return slices.ContainsFunc(r.Decisions, func(d wear.Decision) bool {
		return !d.Off && d.Kind == gearing.PartChain && d.Verdict == wear.CannotTell
	})
}

// contradicting lists the chains on the bike whose readings cannot all be
// right.
func (r wearReport) contradicting() []string {
	var ids []string
	for _, c := range r.Chains {
		if c.Contradicts() && c.Part.RemovedKM < 0 {
			ids = append(ids, c.ID)
		}
	}
	return ids
}

func without(list, drop []string) []string {
	var kept []string
	for _, s := range list {
		if !slices.Contains(drop, s) {
			kept = append(kept, s)
		}
	}
	return kept
}

// nextWords name the first thing to buy and the next reading of chains that
// stay.
func (r wearReport) nextWords() []string {
	var words []string
	for _, b := range r.Shopping {
		if b.Need == wear.NeedNow && b.Within {
			words = append(words, fmt.Sprintf("Buy first: %s%s.", b.ID, r.priceWords(b)))
			break
		}
	}
	replaced := r.with(wear.Replace)
	for _, c := range r.Chains {
		if c.Part.RemovedKM < 0 && !slices.Contains(replaced, c.ID) && !c.Contradicts() {
			words = append(words, r.againWords(c)...)
		}
	}
	return words
}

func (r wearReport) againWords(c chainReport) []string {
	switch f := c.Forecast; {
	case f == nil:
		return []string{fmt.Sprintf("Read %s again: it was last read at %s, and there is no forecast.", c.ID, r.distance(c.Now.KM))}
	case f.NextReadingKM == 0:
		return nil
	case f.NextReadingKM <= r.KM:
		return []string{fmt.Sprintf("Read %s again now: it was due at %s.", c.ID, r.distance(f.NextReadingKM))}
	default:
		return []string{fmt.Sprintf("Read %s again at %s%s.", c.ID, r.distance(f.NextReadingKM), dayWords(", about ", f.NextReadingOn))}
	}
}

func (r wearReport) priceWords(b wear.Buy) string {
	if !b.HasPrice {
		return ""
	}
	return fmt.Sprintf(", %s %s", price(b.Price), r.Money)
}
