package wearlog

import (
	"strconv"
	"strings"
	"time"
)

// quickValue reads one plain value and gives back what follows it.
func quickValue(s string) (raw any, rest string, ok bool) {
	switch {
	case s == "":
		return nil, "", false
	case s[0] == '"':
		return quickString(s)
	case s[0] == '\'':
		text, rest, ok := strings.Cut(s[1:], "'")
		return text, rest, ok && !strings.HasPrefix(s, "'''")
	case s[0] == '[':
		return quickList(s[1:])
	}
	end := strings.IndexAny(s, " \t,]#")
	if end < 0 {
		end = len(s)
	}
	raw, ok = quickWord(s[:end])
	return raw, s[end:], ok
}

// quickString reads "text" in which only the quote and the backslash are
// escaped.
func quickString(s string) (raw any, rest string, ok bool) {
	if strings.HasPrefix(s, `"""`) {
		return nil, "", false
	}
	escaped := false
	for i := 1; i < len(s); i++ {
		switch s[i] {
		case '"':
			text := s[1:i]
			if escaped {
				text = strings.NewReplacer(`\"`, `"`, `\\`, `\`).Replace(text)
			}
			return text, s[i+1:], true
		case '\\':
			escaped = true
			if i++; i == len(s) || s[i] != '"' && s[i] != '\\' {
				return nil, "", false
			}
		}
	}
	return nil, "", false
}

// quickList reads a list of plain values on one line.
func quickList(s string) (raw any, rest string, ok bool) {
	list := []any{}
	for {
		s = skip(s)
		if strings.HasPrefix(s, "]") {
			return list, s[1:], true
		}
		if s == "" || s[0] == '[' {
			return nil, "", false
		}
		item, after, ok := quickValue(s)
		if !ok {
			return nil, "", false
		}
		list = append(list, item)
		s = skip(after)
		if comma, found := strings.CutPrefix(s, ","); found {
			s = comma
		} else if !strings.HasPrefix(s, "]") {
			return nil, "", false
		}
	}
}

// quickWord reads true, false, a date, a whole number or a decimal.
func quickWord(s string) (any, bool) {
	switch {
	case s == "true" || s == "false":
		return s == "true", true
	case len(s) == len(time.DateOnly) && s[4] == '-':
		day, err := time.Parse(time.DateOnly, s)
		return day, err == nil
	}
	return quickNumber(s)
}

// quickNumber reads up to fifteen digits, with as many behind a point.
func quickNumber(s string) (any, bool) {
	digits := strings.TrimPrefix(s, "-")
	if digits == s {
		digits = strings.TrimPrefix(s, "+")
	}
	whole, decimals, isDecimal := strings.Cut(digits, ".")
	if !isDigits(whole) || whole[0] == '0' && whole != "0" || isDecimal && !isDigits(decimals) {
		return nil, false
	}
	if isDecimal {
		x, err := strconv.ParseFloat(s, 64)
		return x, err == nil
	}
	n, err := strconv.ParseInt(s, 10, 64)
	return n, err == nil
}

func isDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return len(s) > 0 && len(s) <= 15
}
