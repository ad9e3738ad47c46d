package report

import "cagewise/plot"

// Document is what is published.
type Document struct {
	Title    string // plain text, of any length and direction
	Note     string // the owner's remark; empty: none
	Chapters []Chapter
}

// Chapter is one build, or one question about all of them.
type Chapter struct {
	Title   string
	Verdict Verdict // the answer at the top; the zero value: none
	Parts   []Part
}

// Verdict is an answer in plain words. The word carries the meaning, the tone
// repeats it.
type Verdict struct {
	Word     string // such as WORKS; empty: there is no verdict
	Sentence string
	Tone     Tone
}

// Tone is how a verdict is meant; it never stands for the word.
type Tone int

// The tones.
const (
	Doubtful Tone = iota
	Good
	Bad
)

// String is the tone's name in the page's style.
func (t Tone) String() string { return [...]string{"doubtful", "good", "bad"}[t] }

// Part is a piece of a chapter under a heading of its own.
type Part struct {
	Title string
	// Text is Markdown of the small kind that the commands write: paragraphs,
	// lists, tables and fenced lines, with code spans between backticks.
	Text     string
	Views    *Views // a picker of gears; nil: none
	Pictures []Picture
}

// Picture is a chart in a part.
type Picture struct {
	Name string // of its file, such as sheet; unique in the document
	plot.Picture
	// Wide pictures are drawn twice, for a phone and for a wide screen;
	// others stand side by side where there is room.
	Wide bool
	// HeightMM is the height on a page of 70 mm width; 0: the picture's own.
	HeightMM float64
}

// Views are the side views of all gears of a build with their figures, of
// which a reader picks one.
type Views struct {
	Gears []View // ring by ring from the smallest, each from the largest cog
}

// View is one gear: where the solver has put wheels, cage and chain, and its
// figures in words.
type View struct {
	plot.SideView
	Figures []Figure
}

// Figure is a named figure with its unit, such as pulley gap, 6.0 +- 0.5 mm.
type Figure struct {
	Name string `json:"name"`
	Text string `json:"text"`
}
