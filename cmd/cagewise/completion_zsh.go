package main

import (
	"fmt"
	"strings"
)

// zshScript completes with _arguments: a specification a flag and a place.
func zshScript(list []completed) string {
	var b strings.Builder
	b.WriteString("#compdef cagewise\n" + scriptHead("zsh", list) + `
_cagewise() {
  if (( CURRENT == 2 )); then
    local -a commands
    commands=(
`)
	for _, c := range list {
		fmt.Fprintf(&b, "      %s\n", shellQuote(c.name+":"+strings.ReplaceAll(c.summary, ":", `\:`)))
	}
	b.WriteString(`    )
    _describe -t commands command commands
    return
  fi
  local command=$words[2]
  shift words
  (( CURRENT-- ))
  case $command in
`)
	for _, c := range list {
		fmt.Fprintf(&b, "  %s)\n    _arguments", c.name)
		for _, f := range c.flags {
			b.WriteString(" \\\n      " + zshFlag(f))
		}
		for _, spec := range zshPlaces(c) {
			b.WriteString(" \\\n      " + shellQuote(spec))
		}
		b.WriteString("\n    ;;\n")
	}
	b.WriteString("  esac\n}\n\n" + `if [ "$funcstack[1]" = "_cagewise" ]; then
  _cagewise "$@"
else
  compdef _cagewise cagewise
fi
`)
	return b.String()
}

// zshPlaces are the specifications of what stands without a flag.
func zshPlaces(c completed) []string {
	var specs []string
	for i, words := range [][]string{c.first, c.second} {
		switch {
		case len(words) == 0:
		case c.files && i == 0:
			specs = append(specs, fmt.Sprintf("1: :{_alternative 'words:word:(%s)' 'files:file:_files'}", strings.Join(words, " ")))
		default:
			specs = append(specs, fmt.Sprintf("%d:word:(%s)", i+1, zshWords(words)))
		}
	}
	if c.files {
		specs = append(specs, "*:file:_files")
	}
	return specs
}

// zshFlag is the specification of a flag; a list of values may be given again.
func zshFlag(f completedFlag) string {
	doc := "[" + zshEscape(f.doc) + "]"
	names := shellQuote("*--" + f.name + zshEqual(f) + doc + zshValue(f))
	if f.short != "" {
		names += " " + shellQuote("*-"+f.short+doc+zshValue(f))
	}
	return names
}

// zshEqual lets a value follow in the same word or the next.
func zshEqual(f completedFlag) string {
	if f.bare {
		return ""
	}
	return "="
}

func zshValue(f completedFlag) string {
	switch {
	case f.bare:
		return ""
	case len(f.choices) > 0:
		return ":value:(" + zshWords(f.choices) + ")"
	case f.file:
		return ":file:_files"
	}
	return ":value: "
}

// zshEscape keeps a text within the brackets of a specification.
func zshEscape(s string) string {
	return strings.NewReplacer(`\`, `\\`, "[", `\[`, "]", `\]`, ":", `\:`).Replace(s)
}

// zshWords are the words within the parentheses of a specification.
func zshWords(words []string) string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = strings.ReplaceAll(w, " ", `\ `)
	}
	return strings.Join(list, " ")
}
