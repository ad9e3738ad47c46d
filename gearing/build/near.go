package build

import (
	"fmt"
	"strings"
)

// Nearest finds the candidate a misspelt word most likely meant: the fewest
// insertions, deletions, replacements and swaps of neighbours (optimal string
// alignment), at most a third of the word's length and never more than three.
// It returns "" when nothing is near.
func Nearest(word string, candidates []string) string {
	word = strings.ToLower(word)
	best, least := "", min(3, (len(word)+2)/3)+1
	for _, c := range candidates {
		if d := distance(word, strings.ToLower(c)); d < least {
			best, least = c, d
		}
	}
	return best
}

// DidYouMean is the end of a message about a misspelt word: "; did you mean
// chainstay?", or nothing when no candidate is near.
func DidYouMean(word string, candidates []string) string {
	if near := Nearest(word, candidates); near != "" {
		return fmt.Sprintf("; did you mean %s?", near)
	}
	return ""
}

// distance is the optimal string alignment distance of two words; words longer
// than any key are cut.
func distance(a, b string) int {
	const most = 64
	a, b = a[:min(len(a), most)], b[:min(len(b), most)]
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
