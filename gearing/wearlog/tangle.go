package wearlog

import "strings"

// The TOML library calls itself for a list in a list and needs time that grows
// with the square of a key's dots: a file made to hurt could overflow its stack.
const (
	mostDepth = 20
	mostDots  = 100 // on one line, outside texts and remarks
)

// tangled is the line of a TOML text on which lists, tables or dotted keys
// become too deep, 0 for none. A text that is not closed ends the search: the
// library stops there, too.
func tangled(text string) int {
	line, depth, dots := 1, 0, 0
	for i := 0; i < len(text); {
		size := 1
		switch text[i] {
		case '\n':
			line, dots = line+1, 0
		case '#':
			size = len(before(text[i:], "\n"))
		case '"', '\'':
			if size = quoted(text[i:]); size == 0 {
				return 0
			}
			line += strings.Count(text[i:i+size], "\n")
		case '[', '{':
			depth++
		case ']', '}':
			depth = max(0, depth-1)
		case '.':
			dots++
		}
		if depth > mostDepth || dots > mostDots {
			return line
		}
		i += size
	}
	return 0
}

// quoted is the length of the quoted text at the beginning of s, of one line or
// of several, quotes included; 0 when it is not closed.
func quoted(s string) int {
	quote := s[:1]
	if strings.HasPrefix(s, strings.Repeat(quote, 3)) {
		quote = s[:3]
	}
	for i := len(quote); i < len(s); i++ {
		switch {
		case s[i] == '\\' && quote[0] == '"':
			i++
		case strings.HasPrefix(s[i:], quote):
			end := i + len(quote)
			for len(quote) == 3 && end < i+5 && strings.HasPrefix(s[end:], quote[:1]) {
				end++ // the text itself ends in one or two quotes
			}
			return end
		case s[i] == '\n' && len(quote) == 1:
			return 0
		}
	}
	return 0
}

// before is the part of a text before a mark, or all of it.
func before(text, mark string) string {
	head, _, _ := strings.Cut(text, mark)
	return head
}
