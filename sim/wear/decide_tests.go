package wear

import "math/bits"

// testKind is a test, in order of cost.
type testKind int

const (
	testLook testKind = iota
	testNail
	testHand
	testCable
	testRead
	testIndex
	testRhythm
	testLay
	testRoad
	testCount
)

// Test is something to do before money is spent.
type Test struct {
	What string `json:"what"`
	// Cost in words; parts are the IDs it tells about.
	Cost  string   `json:"cost"`
	Parts []string `json:"parts"`
	// Loaded tests call for Report.Safety.
	Loaded bool `json:"under_load"`
}

// catalogue lists the tests, the cheapest first (common practice).
func catalogue() [testCount]Test {
	const free, chain = "nothing", "a new chain, unused or with its receipt"
	return [testCount]Test{
		testLook:   {What: "look at the teeth from the side, all round: alike on both flanks, pointed, or hooked; short or twisted teeth made for shifting are not wear", Cost: free},
		testNail:   {What: "draw a fingernail over the pressed flank near the tip: it catches on a hook", Cost: free},
		testHand:   {What: "chain off: turn and rock it by hand, feel for notches and play", Cost: free},
		testCable:  {What: "look at both ends of the cable for broken strands; on a stand shift through all cogs and feel for drag", Cost: free},
		testRead:   {What: "clean the chain, hang it and read it again over 48 pitches or more", Cost: free},
		testIndex:  {What: "check indexing, hanger, a stiff link and a badly closed pin before blaming teeth", Cost: free},
		testRhythm: {What: "count the crank turns from one skip to the next: the rhythm names the part", Cost: free, Loaded: true},
		testLay:    {What: "lay a new chain over the teeth at mid-wrap: it must sink in, and not lift off", Cost: chain},
		testRoad:   {What: "new chain on: load every cog in turn, gently, the most used first", Cost: chain, Loaded: true},
	}
}

// testSet is a set of tests.
type testSet uint16

func (s *testSet) add(list ...testKind) {
	for _, k := range list {
		*s |= 1 << k
	}
}

func (s *testSet) drop(list ...testKind) {
	for _, k := range list {
		*s &^= 1 << k
	}
}

func (s testSet) has(k testKind) bool { return s&(1<<k) != 0 }

// words lists the tests, the cheapest first.
func (s testSet) words() []string {
	list := make([]string, 0, bits.OnesCount16(uint16(s)))
	for k, t := range catalogue() {
		if s.has(testKind(k)) {
			list = append(list, t.What)
		}
	}
	return list
}

// orderTests puts the tests of all parts together, the cheapest first. Parts
// that were taken off are left out.
func orderTests(list []Decision) []Test {
	tests := []Test{}
	for k, t := range catalogue() {
		for _, d := range list {
			if d.tests.has(testKind(k)) && !d.Off {
				t.Parts = append(t.Parts, d.ID)
			}
		}
		if len(t.Parts) > 0 {
			tests = append(tests, t)
		}
	}
	return tests
}

// SafeTesting is how to test under load and on a stand (common practice).
func SafeTesting(motor bool) []string {
	list := []string{
		"Seated and gently: no standing, no sprint. A skip can throw you on the bar.",
		"Off the road, away from traffic, on level ground, one cog at a time.",
		"On a stand: hands clear of everything that turns.",
		"Not the day before a trip; keep the receipt.",
		"A risk is a risk, not a promise: only the test tells.",
	}
	if motor {
		return append(list, "Motor off for every test; it does not stop when the chain jams.")
	}
	return list
}
