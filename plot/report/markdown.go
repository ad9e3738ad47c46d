package report

import (
	"bytes"
	"fmt"
	"net/url"
	"strings"

	"cagewise/plot"
)

// File is a file of a document: its name, without a directory, and all of its
// bytes.
type File struct {
	Name string
	Data []byte
}

// MarkdownOptions change what Markdown writes; the zero value asks for nothing.
type MarkdownOptions struct {
	// PNG asks for pictures as PNG files of DPI dots an inch, 0 for
	// plot.DefaultDPI: many forums take no SVG.
	PNG bool
	DPI int
}

// Markdown writes a document as Markdown for forums and repositories, with its
// pictures as SVG or PNG files beside it, in the light theme. Stem is the name of
// the document's file without its ending; the pictures' names begin with it, as
// in page-side.svg. The first file is the text, to be named by the caller. An
// error comes from a picture that cannot be drawn.
func Markdown(d Document, stem string, o MarkdownOptions) ([]File, error) {
	var text bytes.Buffer
	fmt.Fprintf(&text, "# %s\n", escaped(d.Title))
	if d.Note != "" {
		fmt.Fprintf(&text, "\n%s\n", escaped(d.Note))
	}
	files := []File{{}}
	for _, c := range d.Chapters {
		fmt.Fprintf(&text, "\n## %s\n", escaped(c.Title))
		if v := c.Verdict; v.Word != "" {
			fmt.Fprintf(&text, "\n**%s.** %s\n", v.Word, escaped(v.Sentence))
		}
		for _, part := range c.Parts {
			fmt.Fprintf(&text, "\n### %s\n", escaped(part.Title))
			if body := strings.Trim(part.Text, "\n"); body != "" {
				fmt.Fprintf(&text, "\n%s\n", body)
			}
			drawn, err := o.pictures(&text, part, stem)
			if err != nil {
				return nil, err
			}
			files = append(files, drawn...)
		}
	}
	files[0].Data = text.Bytes()
	return files, nil
}

// pictures draws the pictures of a part and shows them in the text.
func (o MarkdownOptions) pictures(text *bytes.Buffer, part Part, stem string) ([]File, error) {
	write, ending := plot.WriteSVG, ".svg"
	if o.PNG {
		write, ending = plot.WritePNG, ".png"
	}
	var files []File
	for _, pic := range part.Pictures {
		var drawn bytes.Buffer
		if err := write(&drawn, pic, plot.Options{DPI: o.DPI}); err != nil {
			return nil, fmt.Errorf("picture %s: %w", pic.Name, err)
		}
		name := stem + "-" + pic.Name + ending
		fmt.Fprintf(text, "\n![%s](%s)\n", strings.NewReplacer("]", `\]`).Replace(escaped(pic.Describe())), url.PathEscape(name))
		files = append(files, File{name, drawn.Bytes()})
	}
	return files, nil
}

// escaped keeps Markdown from reading marks in a text that are only marks, and
// a text on one line.
func escaped(s string) string {
	return strings.NewReplacer("*", `\*`, "_", `\_`, "<", `\<`, "[", `\[`, "#", `\#`, "\n", " ", "\r", " ").Replace(s)
}
