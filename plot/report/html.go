package report

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"cagewise/plot"
)

//go:embed page.tmpl
var pageText string

//go:embed page.css
var pageStyle string

//go:embed page.js
var pageScript string

// WriteHTML writes a document as one page that needs nothing else: no network,
// no font, no script but its own, and none at all to be read. An error comes
// from a picture that cannot be drawn or from w.
func WriteHTML(w io.Writer, d Document) error {
	p, err := newPage(d)
	if err != nil {
		return err
	}
	t, err := template.New("page").Parse(pageText)
	if err != nil {
		return fmt.Errorf("page template: %w", err)
	}
	var out bytes.Buffer
	out.Grow(512 << 10)
	if err := t.Execute(&out, p); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}

// page is a document made ready for the template.
type page struct {
	Title, Note string
	Style       template.CSS
	Script      template.JS
	Chapters    []pageChapter
}

type pageChapter struct {
	ID, Title string
	Verdict   Verdict
	Parts     []pagePart
}

type pagePart struct {
	ID, Title string
	Blocks    []block
	Views     *pageViews
	Pictures  []pagePicture
	Pair      bool // pictures stand side by side where there is room
}

type pagePicture struct {
	Phone, Paper template.HTML
}

func newPage(d Document) (*page, error) {
	colours := newPalette()
	p := &page{Title: d.Title, Note: d.Note, Script: template.JS(pageScript)}
	for i, c := range d.Chapters {
		chapter := pageChapter{ID: fmt.Sprintf("c%d", i+1), Title: c.Title, Verdict: c.Verdict}
		for j, part := range c.Parts {
			made, err := newPart(fmt.Sprintf("%s-%d", chapter.ID, j+1), part, colours)
			if err != nil {
				return nil, err
			}
			chapter.Parts = append(chapter.Parts, made)
		}
		p.Chapters = append(p.Chapters, chapter)
	}
	style, err := style(colours)
	p.Style = template.CSS(style)
	return p, err
}

func newPart(id string, part Part, colours *palette) (pagePart, error) {
	made := pagePart{ID: id, Title: part.Title, Blocks: blocks(part.Text)}
	if part.Views != nil && len(part.Views.Gears) > 0 {
		made.Views = newViews(id+"-gears", part.Views)
	}
	for _, pic := range part.Pictures {
		d, err := colours.draw(pic)
		if err != nil {
			return made, err
		}
		made.Pair = made.Pair || !pic.Wide
		made.Pictures = append(made.Pictures, pagePicture{template.HTML(d.Phone), template.HTML(d.Paper)})
	}
	return made, nil
}

// style is the page's style with the colours of both themes; on paper it is
// always the light one.
func style(colours *palette) (string, error) {
	light, err := colours.css(plot.ThemeLight, 0)
	if err != nil {
		return "", err
	}
	dark, err := colours.css(plot.ThemeDark, 1)
	if err != nil {
		return "", err
	}
	return ":root{color-scheme:light dark;" + light + "}\n@media screen and (prefers-color-scheme:dark){:root{" + dark + "}}\n" + pageStyle, nil
}
