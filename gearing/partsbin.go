package gearing

// PartsBin is what a builder has on hand or could buy. gearing/bin reads it from
// a file; package sim/search chooses from it. Prices are in Money.
type PartsBin struct {
	Name, Note  string
	Money       string // unit of the prices; "" for money units
	RingSets    []BinRings
	Cassettes   []BinCassette
	Derailleurs []BinDerailleur
	Chains      []BinChain
	Extenders   []BinExtender // none need be given; no extender is always a choice
	Wheels      []BinWheel    // none: the wheel of the build
}

// BinPart is what all parts of a bin have.
type BinPart struct {
	Name string // unique among the parts of its kind
	Note string
	// Price to pay for it: 0 when it is on hand.
	Price  float64
	OnHand bool
	// Unavailable parts are kept in the bin and left out of the search.
	Unavailable bool
	Line        int // of the file, for messages
}

// Cost is what choosing the part costs.
func (p BinPart) Cost() float64 {
	if p.OnHand {
		return 0
	}
	return p.Price
}

// BinRings is a set of rings that are fitted together.
type BinRings struct {
	BinPart
	Teeth []Teeth // rising
}

// BinCassette is a cassette.
type BinCassette struct {
	BinPart
	Teeth []Teeth // rising
}

// BinDerailleur is a rear derailleur: rated, typical or measured.
type BinDerailleur struct {
	BinPart
	Rear RearDerailleur
}

// BinChain is a chain or a packet of one; it may be cut shorter.
type BinChain struct {
	BinPart
	Pitches int
}

// BinExtender is a hanger extender.
type BinExtender struct {
	BinPart
	Behind, Below MM
}

// BinWheel is a driven wheel with its tyre.
type BinWheel struct {
	BinPart
	Wheel Wheel
}

// Combinations is how many ways there are to put the bin together, parts that
// cannot be had left out; 0 when a kind that is needed is missing.
func (b PartsBin) Combinations() float64 {
	count := func(n int) float64 { return float64(n) }
	return count(len(available(b.RingSets))) * count(len(available(b.Cassettes))) * count(len(available(b.Derailleurs))) *
		max(1, count(len(available(b.Chains)))) * (1 + count(len(available(b.Extenders)))) * max(1, count(len(available(b.Wheels))))
}

// binned is any part of a bin.
type binned interface{ isUnavailable() bool }

func (p BinPart) isUnavailable() bool { return p.Unavailable }

func available[T binned](list []T) []T {
	var have []T
	for _, p := range list {
		if !p.isUnavailable() {
			have = append(have, p)
		}
	}
	return have
}

// Available is the bin without the parts that cannot be had.
func (b PartsBin) Available() PartsBin {
	b.RingSets, b.Cassettes, b.Derailleurs = available(b.RingSets), available(b.Cassettes), available(b.Derailleurs)
	b.Chains, b.Extenders, b.Wheels = available(b.Chains), available(b.Extenders), available(b.Wheels)
	return b
}
