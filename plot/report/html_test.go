package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cagewise/plot"
)

func TestPageIsSelfContained(t *testing.T) {
	page := written(t, sample(t, double))
	for _, bad := range []string{"http:", "https:", "//www", " src=", "@import", "<link", "url(", "<iframe", "<img", "<base", "javascript:"} {
		if bytes.Contains(page, []byte(bad)) {
			t.Errorf("the page holds %q", bad)
		}
	}
	for _, ref := range regexp.MustCompile(`href="([^"]*)"`).FindAllSubmatch(page, -1) {
		if !bytes.HasPrefix(ref[1], []byte("#")) || !bytes.Contains(page, []byte(`id="`+string(ref[1][1:])+`"`)) {
			t.Errorf("reference %q leads nowhere on the page", ref[1])
		}
	}
	ids := map[string]bool{}
	for _, id := range regexp.MustCompile(` id="([^"]*)"`).FindAllSubmatch(page, -1) {
		if ids[string(id[1])] {
			t.Errorf("id %q twice", id[1])
		}
		ids[string(id[1])] = true
	}
	if n := len(page); n > 400_000 {
		t.Errorf("%d bytes", n)
	}
}

func TestPageIsTheSameTwice(t *testing.T) {
	d := sample(t, double)
	if !bytes.Equal(written(t, d), written(t, d)) {
		t.Error("the same document gives two pages")
	}
}

var svgs = regexp.MustCompile(`(?s)<svg .*?</svg>`)

// Pictures are XML, say what they show and leave their size to the page.
func TestPicturesInThePage(t *testing.T) {
	list := svgs.FindAll(written(t, sample(t, double)), -1)
	if len(list) != 1+24+4 { // what the gears share, the gears, two side views, the sheet twice
		t.Fatalf("%d pictures", len(list))
	}
	for _, svg := range list[1:] {
		var x struct {
			Role    string `xml:"role,attr"`
			Width   string `xml:"width,attr"`
			ViewBox string `xml:"viewBox,attr"`
			Title   string `xml:"title"`
		}
		if err := xml.Unmarshal(svg, &x); err != nil || x.Role != "img" || x.Width != "" || x.ViewBox == "" || x.Title == "" {
			t.Errorf("%v: %+v", err, x)
		}
		if regexp.MustCompile(`="#[0-9a-f]{6}"`).Match(svg) {
			t.Error("a colour has no name")
		}
	}
}

// Every colour that is named is declared for light and dark.
func TestPaletteIsDeclared(t *testing.T) {
	page := string(written(t, sample(t, double)))
	for _, name := range regexp.MustCompile(`var\((--\w+)\)`).FindAllStringSubmatch(page, -1) {
		if strings.Count(page, name[1]+":#") != 2 {
			t.Fatalf("%s is declared %d times", name[1], strings.Count(page, name[1]+":#"))
		}
	}
}

// A drawing that differs between the themes keeps its own colours.
func TestJoinWithoutPartner(t *testing.T) {
	p := newPalette()
	light := []byte(`<path fill="#ffffff"/>`)
	if got := p.join(light, []byte(`<g/>`)); !bytes.Equal(got, light) {
		t.Errorf("%s", got)
	}
	if got := string(p.join(light, []byte(`<path fill="#000000"/>`))); got != `<path fill="var(--c0)"/>` {
		t.Errorf("%s", got)
	}
}

var hostile = []string{
	`</title><script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `' onclick='x`, "</style><b>", "</script><b>", "{{.}} `code` **b** | c",
	"\u05d0\u05d5\u05e4\u05e0\u05d9\u05d9\u05dd \u202e abc", strings.Repeat("long ", 400), strings.Repeat("x", 3000), "a]](b) <!-- -->",
}

func TestHostileNames(t *testing.T) {
	for _, name := range hostile {
		b := double
		b.Name, b.Note = name, name
		d := sample(t, b)
		part := &d.Chapters[0].Parts[0]
		side := part.Pictures[0].Picture.(plot.SideView)
		side.Name = name
		part.Pictures[0].Picture, part.Title, d.Chapters[0].Title = side, name, name
		part.Views.Gears[0].Figures = append(part.Views.Gears[0].Figures, Figure{name, name})
		d.Chapters[0].Verdict.Sentence = name
		part.Text = escaped(name) + "\n\n- **" + escaped(name) + "** x\n\n| a |\n| --- |\n| " + strings.ReplaceAll(name, "|", `\|`) + " |\n"
		page := string(written(t, d))
		if n := strings.Count(page, "<script"); n != 1 {
			t.Errorf("%.30q: %d scripts", name, n)
		}
		if strings.Contains(page, "<img") || strings.Contains(page, "<!--") || strings.Contains(page, "onerror=alert(1)>") || strings.Count(page, "<b>") != 3 {
			t.Errorf("%.30q is not escaped", name)
		}
		for _, svg := range svgs.FindAllString(page, -1) {
			if err := xml.Unmarshal([]byte(svg), new(struct{})); err != nil {
				t.Errorf("%.30q: %v", name, err)
			}
		}
		if _, err := Markdown(d, "page", MarkdownOptions{}); err != nil {
			t.Errorf("%.30q: %v", name, err)
		}
	}
}

// The largest ring is on top, the largest cog on the left, and every gear has
// its own drawing and figures.
func TestViews(t *testing.T) {
	views := sample(t, double).Chapters[0].Parts[0].Views
	rows := newViews("x", views).Rows
	if len(rows) != 2 || rows[0].Ring != 48 || rows[0].Gears[0].Cog != 36 || rows[1].Gears[11].Name != "31x11" {
		t.Fatalf("%+v", rows)
	}
	for i, g := range slices.Concat(rows[1].Gears, rows[0].Gears) {
		v := &views.Gears[i]
		if g.Name != v.Fit.String() || g.State != stateOf(v) || !strings.Contains(string(g.Drawing), ">Side view of "+g.Name+"<") || !slices.Equal(g.Figures, v.Figures) {
			t.Errorf("gear %s: %+v", v.Fit.String(), g)
		}
	}
}

// The buttons mark what is dangerous, tight, slack and in doubt, by the judgement.
func TestViewSigns(t *testing.T) {
	b := double
	b.Chain.Pitches = 108 // invented: too short on the largest ring and cog
	seen := map[string]bool{}
	views, _ := solve(t, b)
	a := views.Gears[0].Advice
	for i := range views.Gears {
		v := &views.Gears[i]
		state, sign := v.told()
		if state != stateOf(v) || strings.HasPrefix(sign, "!") != v.Fit.State.Dangerous() || strings.HasPrefix(sign, "~") == (v.Fit.State.Runs() || v.Fit.State.Dangerous()) || strings.HasSuffix(sign, "?") != a.Gears[i].Doubt {
			t.Errorf("%s: %s, marked %q", v.Fit.GearID, state, sign)
		}
		seen[sign] = true
	}
	if !seen["!"] || !seen[""] || len(a.Doubtful()) > 0 && len(seen) < 3 {
		t.Errorf("only %v are seen", seen)
	}
}

func TestMarkdown(t *testing.T) {
	files, err := Markdown(sample(t, double), "tour", MarkdownOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range files[1:] {
		names = append(names, f.Name)
		if !bytes.Contains(files[0].Data, []byte("]("+f.Name+")")) || !bytes.HasPrefix(f.Data, []byte("<svg")) {
			t.Errorf("%s is not shown, or no picture", f.Name)
		}
	}
	if got := strings.Join(names, " "); got != "tour-side.svg tour-side-2.svg tour-sheet.svg" {
		t.Error(got)
	}
	for _, want := range []string{"# Invented double\n", "\n## 48/31 x 11-36\n", "\n**WORKS.** The cage", "\n### Every gear\n"} {
		if !bytes.Contains(files[0].Data, []byte(want)) {
			t.Errorf("no %q", want)
		}
	}
}

type broken struct{ io.Writer }

func (broken) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }

func TestFailures(t *testing.T) {
	if err := WriteHTML(broken{}, Document{}); err == nil || err.Error() != "writing the page: the disk is full" {
		t.Error(err)
	}
	d := Document{Chapters: []Chapter{{Parts: []Part{{Pictures: []Picture{{Name: "sheet", Picture: plot.ContactSheet{}}}}}}}}
	if err := WriteHTML(io.Discard, d); err == nil || !strings.HasPrefix(err.Error(), "picture sheet: ") {
		t.Error(err)
	}
	if _, err := Markdown(d, "x", MarkdownOptions{}); err == nil || !strings.HasPrefix(err.Error(), "picture sheet: ") {
		t.Error(err)
	}
}

func BenchmarkWriteHTML(b *testing.B) {
	d := sample(b, double)
	for b.Loop() {
		if err := WriteHTML(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}

// The pictures of a page are clean for a parser that is none of ours.
func TestXmllint(t *testing.T) {
	path, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("NOT CHECKED BY XMLLINT: apt-get install libxml2-utils")
	}
	for i, svg := range svgs.FindAll(written(t, sample(t, double)), -1) {
		cmd := exec.Command(path, "--noout", "--nonet", "--pedantic", "-")
		cmd.Stdin = bytes.NewReader(svg)
		if out, err := cmd.CombinedOutput(); err != nil || len(out) > 0 {
			t.Errorf("picture %d: %v\n%s", i, err, out)
		}
	}
}

// TestMarkdownPNG asks for pictures as PNG: all of them, named so, and none else.
func TestMarkdownPNG(t *testing.T) {
	d := sample(t, double)
	svg, err := Markdown(d, "tour", MarkdownOptions{})
	if err != nil {
		t.Fatal(err)
	}
	png, err := Markdown(d, "tour", MarkdownOptions{PNG: true, DPI: 72})
	if err != nil || len(png) != len(svg) || len(png) < 2 {
		t.Fatalf("%d files, %d with SVG, %v", len(png), len(svg), err)
	}
	if want := strings.ReplaceAll(string(svg[0].Data), ".svg)", ".png)"); string(png[0].Data) != want {
		t.Errorf("the text differs in more than the pictures' names:\n%s", png[0].Data)
	}
	for i, f := range png[1:] {
		if f.Name != strings.TrimSuffix(svg[i+1].Name, "svg")+"png" || !strings.HasPrefix(string(f.Data), "\x89PNG") {
			t.Errorf("%s is no PNG named like %s", f.Name, svg[i+1].Name)
		}
	}
}
