package build

import "strings"

// lineOf finds the line of a key in the text of a build file, 0 when it cannot
// be told. The TOML library gives positions for syntax errors only. The text
// has parsed already; inline tables are found by the key that holds them.
func lineOf(text, path string) int {
	s := scanner{want: path}
	for i, line := range strings.Split(text, "\n") {
		s.line(i+1, line)
	}
	return s.at
}

// scanner walks over the lines of a TOML file and keeps the line of the
// longest leading part of the wanted path.
type scanner struct {
	want    string
	section string
	closer  string // ends the string or array that is open; "" for none
	at      int
	length  int // of the part found
}

func (s *scanner) line(n int, line string) {
	line = strings.TrimSpace(line)
	if s.closer != "" {
		if strings.Contains(line, s.closer) {
			s.closer = ""
		}
		return
	}
	if strings.HasPrefix(line, "[") {
		s.section = cleanKey(strings.Trim(strings.SplitN(line, "#", 2)[0], "[] \t"))
		s.offer(n, s.section)
		return
	}
	key, rest, ok := strings.Cut(line, "=")
	if !ok || strings.HasPrefix(key, "#") {
		return
	}
	s.open(strings.TrimSpace(rest))
	key = cleanKey(key)
	if s.section != "" {
		key = s.section + "." + key
	}
	s.offer(n, key)
}

// open notes a value that goes on over the next lines.
func (s *scanner) open(rest string) {
	for _, quote := range []string{`"""`, `'''`} {
		if strings.HasPrefix(rest, quote) && !strings.Contains(rest[3:], quote) {
			s.closer = quote
		}
	}
	if strings.HasPrefix(rest, "[") && !strings.Contains(rest, "]") {
		s.closer = "]"
	}
}

func (s *scanner) offer(n int, path string) {
	if path == "" || path != s.want && !strings.HasPrefix(s.want, path+".") {
		return
	}
	if len(path) > s.length {
		s.at, s.length = n, len(path)
	}
}

// cleanKey strips quotes and spaces from a dotted key.
func cleanKey(key string) string {
	parts := strings.Split(key, ".")
	for i, p := range parts {
		parts[i] = strings.Trim(strings.TrimSpace(p), `"'`)
	}
	return strings.Join(parts, ".")
}
