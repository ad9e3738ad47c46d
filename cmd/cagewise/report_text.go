package main

import (
	"strings"

	"cagewise/gearing"
	writeup "cagewise/plot/report"
)

// written has something written as Markdown and cuts it at its sections: what
// stands before the first, and a part for each.
func written(u gearing.Units, write func(*page)) (before string, parts []writeup.Part) {
	p := page{markdown: true, units: u}
	write(&p)
	pieces := strings.Split(p.String(), "\n## ")
	for _, piece := range pieces[1:] {
		title, text, _ := strings.Cut(piece, "\n")
		parts = append(parts, writeup.Part{Title: plainText(title), Text: text})
	}
	return pieces[0], parts
}

// plainText takes the strokes of escaped away.
var plainText = strings.NewReplacer(`\*`, "*", `\_`, "_", `\<`, "<", `\[`, "[", `\#`, "#").Replace
