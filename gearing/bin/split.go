package bin

import "strings"

// chunk is the text from one [[header]] of a file to the next, or before the
// first. A chunk is TOML by itself, so that the library reads a bin table by
// table: the lines are known, one broken table does not hide the others, and no
// more than one decoded table stands in memory.
type chunk struct {
	text string
	line int // of its first line, from 1
}

// mostNested bounds lists in lists: the library reads them by recursion.
const mostNested = 32

// splitter cuts a text at the headers in double brackets that name one table;
// [[x.y]] stays with the table before it. The text need not be TOML: the library
// judges the chunks.
type splitter struct {
	text  string
	at    int
	line  int // of at, from 1
	depth int // of brackets and braces
	first bool
	deep  int // line on which brackets are nested more than mostNested deep; 0: none so far
}

func split(text string) *splitter { return &splitter{text: text, line: 1, first: true} }

// next gives the next chunk; the first is what stands before any table. It is
// false at the end and where brackets are nested too deep.
func (s *splitter) next() (chunk, bool) {
	if s.deep > 0 || s.at == len(s.text) && !s.first {
		return chunk{}, false
	}
	from, line := s.at, s.line
	header := !s.first
	s.first = false
	for s.at < len(s.text) {
		if !header && s.header() {
			break
		}
		header = false
		if !s.statement() {
			s.deep = s.line
			return chunk{}, false
		}
	}
	return chunk{s.text[from:s.at], line}, true
}

// header tells whether the line here is a [[header]] of one name.
func (s *splitter) header() bool {
	name, ok := strings.CutPrefix(s.trimmed(), "[[")
	if !ok {
		return false
	}
	end := strings.IndexAny(name, "].\n")
	return end >= 0 && strings.HasPrefix(name[end:], "]]")
}

// trimmed is the text from here without the blanks it begins with.
func (s *splitter) trimmed() string { return strings.TrimLeft(s.text[s.at:], " \t") }

// statement goes over one statement to behind its line's end; false when it nests
// too deep. A header ends with its line, whatever its brackets.
func (s *splitter) statement() bool {
	s.depth = 0
	isHeader := strings.HasPrefix(s.trimmed(), "[")
	for s.at < len(s.text) {
		c := s.text[s.at]
		s.at++
		switch c {
		case '\n':
			s.line++
			if s.depth <= 0 || isHeader {
				return true
			}
		case '[', '{':
			s.depth++
		case ']', '}':
			s.depth--
		case '#':
			s.comment()
		case '"', '\'':
			s.quoted(c)
		}
		if s.depth > mostNested {
			return false
		}
	}
	return true
}

// comment goes to the end of the line, the line feed not gone over.
func (s *splitter) comment() {
	if n := strings.IndexByte(s.text[s.at:], '\n'); n >= 0 {
		s.at += n
	} else {
		s.at = len(s.text)
	}
}

// quoted goes over a string whose first quote has been read. One that is not
// closed ends with its line, one in triple quotes with the text.
func (s *splitter) quoted(quote byte) {
	closer := strings.Repeat(string(quote), 3)
	triple := strings.HasPrefix(s.text[s.at:], closer[1:])
	if triple {
		s.at += 2
	} else {
		closer = closer[:1]
	}
	for s.at < len(s.text) {
		switch c := s.text[s.at]; {
		case c == '\n' && !triple:
			return
		case c == '\n':
			s.line++
		case c == '\\' && quote == '"' && !strings.HasPrefix(s.text[s.at+1:], "\n"):
			s.at++
		case strings.HasPrefix(s.text[s.at:], closer):
			s.at += len(closer)
			s.closing(quote, triple)
			return
		}
		s.at++
	}
	s.at = len(s.text)
}

// closing goes past the quotes that may stand before a triple one that closes.
func (s *splitter) closing(quote byte, triple bool) {
	for extra := 0; triple && extra < 2 && s.at < len(s.text) && s.text[s.at] == quote; extra++ {
		s.at++
	}
}
