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

// Markdown writes a document as Markdown for forums and repositories, with its
// pictures as SVG files beside it, in the light theme. Stem is the name of the
// document's file without its ending; the pictures' names begin with it, as in
// page-side.svg. The first file is the text, to be named by the caller. An
// error comes from a picture that cannot be drawn.
func Markdown(d Document, stem string) ([]File, error) {
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
			drawn, err := pictures(&text, part, stem)
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
func pictures(text *bytes.Buffer, part Part, stem string) ([]File, error) {
	var files []File
	for _, pic := range part.Pictures {
		var svg bytes.Buffer
		if err := plot.WriteSVG(&svg, pic, plot.Options{}); err != nil {
			return nil, fmt.Errorf("picture %s: %w", pic.Name, err)
		}
		name := stem + "-" + pic.Name + ".svg"
		fmt.Fprintf(text, "\n![%s](%s)\n", strings.NewReplacer("]", `\]`).Replace(escaped(pic.Describe())), url.PathEscape(name))
		files = append(files, File{name, svg.Bytes()})
	}
	return files, nil
}

// escaped keeps Markdown from reading marks in a text that are only marks, and
// a text on one line.
func escaped(s string) string {
	return strings.NewReplacer("*", `\*`, "_", `\_`, "<", `\<`, "[", `\[`, "#", `\#`, "\n", " ", "\r", " ").Replace(s)
}
