// Package report puts what was found about one or more builds into a document
// that can be published: one self-contained HTML page, or Markdown with its
// pictures as files.
//
// A Document has Chapters (one a build), each with a Verdict and Parts: text in
// a small kind of Markdown, Pictures of package plot, and Views, the side views
// of all gears among which a reader picks. WriteHTML and Markdown write it.
// Heights and widths of pictures are millimetres.
//
// The package renders and computes nothing: words come as their author wrote
// them, figures as the solver found them. The same document gives the same
// bytes; the page loads nothing and can be read without its script.
package report
