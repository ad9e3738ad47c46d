package wear

import "strings"

// purse spends a budget from the top of the list.
type purse struct {
	limited bool
	left    float64
	// price of the parts to be bought together; known when all have one.
	pair      float64
	pairKnown bool
	// decided: the parts that belong together were reached; paid: all fit.
	decided, paid bool
}

// price adds up, and tells what the budget pays for.
func (r *Report) price(budget float64) {
	p := purse{limited: budget > 0, left: budget, pairKnown: true}
	for _, b := range r.Shopping {
		if b.onHand() {
			continue
		}
		if !b.HasPrice {
			r.Missing = append(r.Missing, b.ID)
		}
		if b.Need == NeedNow {
			r.Total += b.Price
		}
		if b.pair {
			p.pair += b.Price
			p.pairKnown = p.pairKnown && b.HasPrice
		}
	}
	for i := range r.Shopping {
		r.Shopping[i].Within = p.pays(r.Shopping[i])
	}
	if p.limited {
		r.Budget, r.Left = budget, p.left
	}
	r.sayBudget(p)
}

// pays tells whether there is money for a line, and takes it.
func (p *purse) pays(b Buy) bool {
	if !p.limited || b.onHand() {
		return true
	}
	if b.pair {
		if !p.decided {
			p.decided, p.paid = true, p.pairKnown && p.pair <= p.left
		}
		if p.paid {
			p.left -= b.Price
		}
		return p.paid
	}
	if !b.HasPrice || b.Price > p.left {
		return false
	}
	p.left -= b.Price
	return true
}

func (r *Report) sayBudget(p purse) {
	var pair []string
	first := ""
	for _, b := range r.Shopping {
		if b.pair {
			pair = append(pair, b.ID)
		}
		if first == "" && b.Within && b.Need == NeedNow {
			first = b.ID
		}
	}
	if len(pair) > 0 {
		r.Notes = append(r.Notes, "fit together: "+strings.Join(pair, ", ")+": a new chain on worn cogs skips and wears at once")
	}
	if p.decided && !p.paid {
		r.Notes = append(r.Notes, "the budget does not pay for them together, or a price is missing: until it does, leave the old pair on and watch it")
	}
	if first != "" {
		r.Notes = append(r.Notes, "buy first: "+first)
	}
	if len(r.Missing) > 0 {
		r.Notes = append(r.Notes, "price not given: "+strings.Join(r.Missing, ", ")+": not in the total")
	}
}
