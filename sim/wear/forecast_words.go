package wear

import (
	"fmt"
	"strings"
)

// noticeable is a difference of AICc that counts (Burnham and Anderson, 2002,
// from memory).
const noticeable = 2

// shapeWords says which shape and why.
func (f *Forecast) shapeWords(rises []Rise, u lengths) string {
	verdict := "straight and accelerating fit about alike"
	switch {
	case f.AICcDelta > noticeable:
		verdict = "the rate rises with distance"
	case f.AICcDelta < -noticeable:
		verdict = "a straight line is enough"
	}
	words := fmt.Sprintf("%s (AICc of straight less accelerating %.1f)", verdict, f.AICcDelta+0)
	if f.AICcDelta <= noticeable && growing(rises) {
		words += fmt.Sprintf("; the rises of %s %% per 1000 %s do go up, but by no more than their errors", riseList(rises, u), u.name())
	}
	return words + fmt.Sprintf("; the intervals count accelerating with %.0f %%", 100*f.AcceleratingWeight)
}

// growing tells that each of a few rises is higher than the one before.
func growing(rises []Rise) bool {
	const most = 8 // to be listed
	if len(rises) < 2 || len(rises) > most {
		return false
	}
	for i := 1; i < len(rises); i++ {
		if rises[i].RatePer1000KM <= rises[i-1].RatePer1000KM {
			return false
		}
	}
	return true
}

func riseList(rises []Rise, u lengths) string {
	list := make([]string, 0, len(rises))
	for _, r := range rises {
		list = append(list, hundredths(u.per(float64(r.RatePer1000KM))))
	}
	return strings.Join(list, ", ")
}
