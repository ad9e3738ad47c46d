package report_test

import (
	"fmt"
	"log"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/plot"
	"cagewise/plot/report"
)

// Publish a chart and a few words as Markdown; WriteHTML makes one page of the
// same document.
func ExampleMarkdown() {
	r, err := build.Read("../../examples/gravel.toml")
	if err != nil {
		log.Fatal(err)
	}
	t, err := gearing.NewTable(r.Build, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	ladder := report.Part{Title: "Gears", Text: "Every gear once.", Pictures: []report.Picture{{Name: "ladder", Picture: plot.Ladder{Table: t}}}}
	d := report.Document{Title: r.Build.Name, Chapters: []report.Chapter{{Title: "46/30 x 11-36", Parts: []report.Part{ladder}}}}
	files, err := report.Markdown(d, "gravel", report.MarkdownOptions{})
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range files {
		fmt.Println(f.Name)
	}
	// Output:
	// gravel-ladder.svg
}
