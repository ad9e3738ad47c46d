package bin

import (
	"strings"
	"testing"
)

// Chunks begin at headers of one name; what stands in texts, lists and remarks
// is no header.
func TestSplitCases(t *testing.T) {
	tests := []struct {
		text  string
		lines []int // of the chunks
	}{
		{"", []int{1}}, {"a = 1\n", []int{1}}, {"[[x]]\n", []int{1, 1}}, {"a = 1\n[[x]]\nb = 2\n[[y]]\n", []int{1, 2, 4}},
		{"[[x.y]]\n", []int{1}}, {"[[]]\n", []int{1, 1}}, {"a = [\n[[1]]\n]\n[[x]]\n", []int{1, 4}},
		{"a = \"\"\"\n[[x]]\n\"\"\"\n[[y]]\n", []int{1, 4}}, {"a = '''\n[[x]]'''\n[[y]]\n", []int{1, 3}},
		{"a = \"\"\"b\"\"\"\"\n[[y]]\n", []int{1, 2}}, {"a = \"\"\"b\"\"\"\"\"\n[[y]]\n", []int{1, 2}}, {"a = [\"\"\"b\"\"\"\", '''c''''']\n[[y]]\n", []int{1, 2}},
		{"a = \"\\\"\n[[y]]\n", []int{1, 2}}, {"a = '\\'\n[[y]]\n", []int{1, 2}}, {"a = \"\"\"\\\"\"\"\n[[x]]\n\"\"\"\n[[y]]\n", []int{1, 4}},
		{"a = \"b\\\n[[y]]\n", []int{1, 2}}, {"# [\n[[y]]\n", []int{1, 2}}, {"a = [ # ]\n[[1]]]\n[[y]]\n", []int{1, 3}}, {"a = 1 # no end", []int{1}},
		{"[[x]] # [\n[[y]]\n", []int{1, 1, 2}}, {" \t[[x]]\n", []int{1, 1}},
	}
	for _, tt := range tests {
		s := split(tt.text)
		var lines []int
		whole := ""
		for c, ok := s.next(); ok; c, ok = s.next() {
			lines = append(lines, c.line)
			whole += c.text
		}
		if whole != tt.text || len(lines) != len(tt.lines) {
			t.Errorf("%q: chunks on %v, want %v", tt.text, lines, tt.lines)
			continue
		}
		for i, want := range tt.lines {
			if lines[i] != want {
				t.Errorf("%q: chunks on %v, want %v", tt.text, lines, tt.lines)
				break
			}
		}
	}
	for depth, deep := range map[int]int{mostNested: 0, mostNested + 1: 2} {
		s := split("a = 1\nb = " + strings.Repeat("[", depth) + strings.Repeat("]", depth) + "\n")
		for _, ok := s.next(); ok; _, ok = s.next() {
		}
		if s.deep != deep {
			t.Errorf("%d lists in each other: line %d", depth, s.deep)
		}
	}
}

// A table as large as allowed is read, one byte more is not.
func TestTableBytes(t *testing.T) {
	for over, want := range map[int]bool{0: false, 1: true} {
		head := "[[rings]]\nname = \"r\"\nteeth = 40\non_hand = true\n"
		text := least + head + "#" + strings.Repeat("x", MaxTableBytes-len(head)-2+over) + "\n"
		_, err := Parse("b.toml", []byte(text))
		if got := err != nil && strings.Contains(err.Error(), "is too large"); got != want {
			t.Errorf("%d bytes over: %.200v", over, err)
		}
	}
}
