package main

import (
	"fmt"
	"strconv"
	"strings"

	"cagewise/gearing"
)

// cautions close every verdict about a chain.
var cautions = []string{
	"Computed from your numbers. Try every gear by hand on a stand, slowly, before riding; shift into the largest ring and largest cog last and watch that the cage still gives.",
	"When in doubt, the longer chain: a short one can lock the pedals, break parts and throw you; a long one only rattles or drops.",
	"A maker's rating also covers strength and shifting. Going beyond it is your decision; the parts' makers, local rules and a qualified mechanic have the last word.",
}

func num(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-") // no minus zero
	}
	return s
}

func whole[T ~int](n T) string { return strconv.Itoa(int(n)) }

// plural gives "1 gear" or "3 gears".
func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// ringsLargeFirst writes rings the way riders do: 46/30.
func ringsLargeFirst(rings []gearing.Teeth) string {
	words := make([]string, len(rings))
	for i, t := range rings {
		words[len(rings)-1-i] = whole(t)
	}
	return strings.Join(words, "/")
}

// drivetrain names a build by its ends: 46/30 x 11-36.
func drivetrain(b gearing.Build) string {
	s := ringsLargeFirst(b.Rings) + " x " + whole(b.SmallestCog())
	if len(b.Cogs) > 1 {
		s += "-" + whole(b.LargestCog())
	}
	return s
}

// gearList writes gears: 22x11, 22x13, 32x11.
func gearList(gears []gearing.GearID) string {
	names := make([]string, len(gears))
	for i, g := range gears {
		names[i] = g.String()
	}
	return strings.Join(names, ", ")
}

// signed writes a change with its sign.
func signed(x float64, decimals int) string {
	if s := num(x, decimals); strings.HasPrefix(s, "-") {
		return s
	}
	return "+" + num(x, decimals)
}

// pitches gives "1 pitch" or "2 pitches".
func pitches(n int) string {
	if n == 1 {
		return "1 pitch"
	}
	return fmt.Sprintf("%d pitches", n)
}
