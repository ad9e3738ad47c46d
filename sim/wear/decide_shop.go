package wear

import (
	"slices"

	"cagewise/gearing"
)

// Need says when a part is to be bought.
type Need string

// The needs.
const (
	NeedNow    Need = "now"
	NeedTest   Need = "if the test fails"
	NeedOnHand Need = "on hand: fit it"
	NeedWait   Need = "on hand: fit both together" // once the other is there
)

// Buy is one line of the shopping list.
type Buy struct {
	ID       string           `json:"part"`
	Kind     gearing.PartKind `json:"kind"`
	Need     Need             `json:"need"`
	Price    float64          `json:"price,omitempty"`
	HasPrice bool             `json:"has_price"`
	// Within tells whether the budget still pays for it; true when no budget
	// was stated.
	Within bool   `json:"within_budget"`
	Why    string `json:"why"`

	rank int  // the least is the most pressing
	pair bool // a chain, or the cogs it needs: to be bought together
}

// Ranks of the shopping list: what is on hand first, as it costs nothing; then
// what endangers, and the chain, because a worn one wears the rest; behind all
// of them what a test has to tell first.
const (
	rankOnHand = iota - 1
	rankDanger
	rankChain
	rankCog
	rankCassette
	rankRing
	rankRest
	ranks // this many
)

// rankOf is the rank of a part that is due.
func rankOf(kind gearing.PartKind) int {
	switch kind {
	case gearing.PartChain:
		return rankChain
	case gearing.PartCog:
		return rankCog
	case gearing.PartCassette:
		return rankCassette
	case gearing.PartRing:
		return rankRing
	}
	return rankRest
}

// shop fills the shopping list and says what to buy first.
func (d *decider) shop(r *Report) {
	r.Shopping, r.Missing, r.NotToBeHad = []Buy{}, []string{}, []string{}
	chainDue := slices.ContainsFunc(r.Decisions, func(x Decision) bool { return x.Kind == gearing.PartChain && x.Verdict == Replace && !x.Off })
	for _, x := range r.Decisions {
		if x.Off {
			continue
		}
		if x.NotToBeHad {
			r.NotToBeHad = append(r.NotToBeHad, x.ID)
		}
		if b, ok := d.buy(x, chainDue); ok {
			r.Shopping = append(r.Shopping, b)
		}
	}
	tieTogether(r.Shopping)
	slices.SortStableFunc(r.Shopping, func(a, b Buy) int { return a.rank - b.rank })
	r.price(d.in.Log.Budget)
}

// buy is the line of one part, if it needs one.
func (d *decider) buy(x Decision, chainDue bool) (Buy, bool) {
	b := Buy{ID: x.ID, Kind: x.Kind, Need: NeedNow, Price: x.Price, HasPrice: x.HasPrice, rank: rankOf(x.Kind)}
	if len(x.For) > 0 {
		b.Why = x.For[0]
	}
	switch {
	case x.NotToBeHad:
		return Buy{}, false
	case x.Kind == gearing.PartCassette && x.Verdict == KeepAndTest && d.singles(x.likelyCogs()):
		return Buy{}, false // its cogs stand in the list
	case x.Verdict == Replace && x.Source == gearing.SourceOnHand:
		b.Need, b.rank = NeedOnHand, rankOnHand
	case x.Verdict == Replace && x.serious:
		b.rank = rankDanger
	case x.Verdict == Replace:
	case x.Verdict == KeepAndTest && chainDue && len(x.likelyCogs()) > 0 && x.Source != gearing.SourceNone && x.Source != gearing.SourceOnHand:
		b.Need, b.rank = NeedTest, b.rank+ranks
	default:
		return Buy{}, false
	}
	return b, true
}

// tieTogether marks a chain and the cogs it needs, and gives them the more pressing
// rank of the two. What is on hand waits for what is still to be bought.
func tieTogether(list []Buy) {
	best, chain, cogs, toBuy := ranks, false, false, false
	for _, b := range list {
		if b.paired() {
			chain = chain || b.Kind == gearing.PartChain
			cogs = cogs || b.Kind != gearing.PartChain
			toBuy = toBuy || b.Need == NeedNow
			best = min(best, b.rank)
		}
	}
	if !chain || !cogs {
		return
	}
	for i := range list {
		b := &list[i]
		if !b.paired() {
			continue
		}
		if b.pair, b.rank = true, best; toBuy && b.Need == NeedOnHand {
			b.Need = NeedWait
		}
	}
}

// paired tells of chain and cogs that are due.
func (b Buy) paired() bool {
	return b.Need != NeedTest && (b.Kind == gearing.PartChain || b.Kind == gearing.PartCog || b.Kind == gearing.PartCassette)
}

// onHand tells of what costs nothing more.
func (b Buy) onHand() bool { return b.Need == NeedOnHand || b.Need == NeedWait }
