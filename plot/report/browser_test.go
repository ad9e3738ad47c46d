package report

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"cagewise/gearing"
	"cagewise/sim"
)

//go:embed testdata/harness.js
var harness string

// found is what the harness found in each frame and with the picker.
type found struct {
	Phone, Dark, Wide, Bare frame
	Picker                  struct {
		Hidden bool
		Clicks []pickerState
		Keys   []struct {
			Key, Gear, Focused string
			Kept               bool // left to the browser
		}
	}
}

type frame struct {
	Low, Wide, After, Nameless, Errors, Requests []string
	Shown                                        int
	Paper                                        string
	Picker                                       bool
}

type pickerState struct {
	Gear, Title, Alt, Pressed, Caption, Focused string
	Chain                                       float64
	Drawing                                     int
	Figures                                     []Figure
}

// browser finds chromium; without it the test says loudly that it did not run.
func browser(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("NOT TESTED IN A BROWSER: no chromium here; apt-get install chromium, and the page is looked at for errors, requests, the gear picker, width and contrast")
	return ""
}

// frames puts a page into a phone, light and dark, a wide screen, and a phone
// without script.
func frames(page string) string {
	page = strings.Replace(page, "<head>", "<head><script>var errors=[];onerror=function(m){errors.push(String(m))}</script>", 1)
	dark := strings.Replace(page, "screen and (prefers-color-scheme:dark)", "screen", 1)
	var b strings.Builder
	b.WriteString("<!doctype html><meta charset=utf-8><body>\n")
	for _, f := range []struct {
		id, page, more string
		width          int
	}{{"phone", page, "", 360}, {"dark", dark, "", 360}, {"wide", page, "", 1200}, {"bare", page, ` sandbox="allow-same-origin"`, 360}} {
		fmt.Fprintf(&b, "<iframe id=%s width=%d height=800 style=\"border:0\"%s srcdoc=\"%s\"></iframe>\n", f.id, f.width, f.more, html.EscapeString(f.page))
	}
	return b.String() + "<pre id=found></pre>\n<script>" + harness + "</script>\n"
}

// visit has the browser run the harness. Whatever the network is asked for
// fails, as no name is found.
func visit(t *testing.T, page string) found {
	t.Helper()
	path, dir := browser(t), t.TempDir()
	file := filepath.Join(dir, "frames.html")
	if err := os.WriteFile(file, []byte(frames(page)), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(t.Context(), 2*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, path, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(dir, "profile"), "--disable-background-networking",
		"--host-resolver-rules=MAP * ~NOTFOUND", "--enable-logging=stderr", "--virtual-time-budget=10000", "--dump-dom", "file://"+file)
	var stderr strings.Builder
	cmd.Stderr = &stderr
	dom, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, stderr.String())
	}
	for line := range strings.Lines(stderr.String()) {
		// A frame without script says so; that is what it is there for.
		if strings.Contains(line, "CONSOLE") && !strings.Contains(line, "sandboxed and the 'allow-scripts'") {
			t.Errorf("console: %s", line)
		}
	}
	m := regexp.MustCompile(`(?s)<pre id="found">(.*?)</pre>`).FindSubmatch(dom)
	var f found
	if m == nil || json.Unmarshal([]byte(html.UnescapeString(string(m[1]))), &f) != nil {
		t.Fatalf("the harness wrote nothing to be read\n%s", stderr.String())
	}
	return f
}

func TestInABrowser(t *testing.T) {
	short := double
	short.Chain = gearing.Chain{Pitches: 114, Elongation: 0.4}
	long := double
	long.Chain.Pitches = 128
	for name, b := range map[string]gearing.Build{"recommended": double, "short": short, "long": long} {
		t.Run(name, func(t *testing.T) {
			d := sample(t, b)
			f := visit(t, string(written(t, d)))
			checkFrames(t, f)
			checkClicks(t, f, d.Chapters[0].Parts[0].Views)
			checkKeys(t, f)
		})
	}
}

// Names of any kind neither break the page nor widen it.
func TestHostileNamesInABrowser(t *testing.T) {
	b := double
	b.Name, b.Note = strings.Join(hostile, " "), strings.Join(hostile, " ")
	d := sample(t, b)
	for _, name := range hostile {
		d.Chapters = append(d.Chapters, Chapter{Title: name, Verdict: Verdict{name, name, Bad}, Parts: []Part{{
			Title: name, Text: escaped(name) + "\n- **x** " + escaped(name) + "\n\n| a | b |\n| :--- | ---: |\n| " + strings.ReplaceAll(name, "|", `\|`) + " | 1 |\n",
		}, {Title: name}}})
	}
	for n := range 40 {
		d.Chapters[0].Parts[2].Text += "\n" + columnsTable(n+1)
	}
	checkFrames(t, visit(t, string(written(t, d))))
}

// The write-ups of the examples, as the command makes them.
func TestExamplesInABrowser(t *testing.T) {
	for _, name := range []string{"report-plan.html", "report-worn.html"} {
		page, err := os.ReadFile(filepath.Join("..", "..", "examples", name))
		if err != nil {
			t.Fatal(err)
		}
		f := visit(t, string(page))
		checkSound(t, f)
		if f.Phone.Shown < 8 || f.Bare.Shown != f.Phone.Shown-1+len(f.Picker.Clicks) || len(f.Picker.Clicks) < 10 {
			t.Errorf("%s: %d pictures, %d without script, %d gears to pick", name, f.Phone.Shown, f.Bare.Shown, len(f.Picker.Clicks))
		}
	}
}

func checkFrames(t *testing.T, f found) {
	t.Helper()
	checkSound(t, f)
	for name, fr := range map[string]frame{"phone": f.Phone, "dark": f.Dark, "wide": f.Wide, "bare": f.Bare} {
		want := 4 // the gear picked, two side views, one sheet
		if name == "bare" {
			want = 24 + 3 // every gear
		}
		if fr.Shown != want {
			t.Errorf("%s: %d pictures", name, fr.Shown)
		}
	}
}

// checkSound checks what holds for every page.
func checkSound(t *testing.T, f found) {
	t.Helper()
	for name, fr := range map[string]frame{"phone": f.Phone, "dark": f.Dark, "wide": f.Wide, "bare": f.Bare} {
		for what, list := range map[string][]string{"contrast under 4.5": fr.Low, "too wide": append(fr.Wide, fr.After...), "error": fr.Errors, "request": fr.Requests} {
			for _, s := range list {
				t.Errorf("%s: %s: %s", name, what, s)
			}
		}
		if len(fr.Nameless) > 0 {
			t.Errorf("%s: no text alternative: %q", name, fr.Nameless)
		}
		if fr.Picker != (name != "bare") {
			t.Errorf("%s: picker shown: %v", name, fr.Picker)
		}
	}
	if f.Phone.Paper == f.Dark.Paper {
		t.Error("the dark page is as light as the light one")
	}
}

// Every button shows its own gear with the solver's figures, and a chain as
// long as the solver's.
func checkClicks(t *testing.T, f found, v *Views) {
	t.Helper()
	i := 0
	drawn, views := map[string]bool{}, map[string]*View{}
	for i := range v.Gears {
		views[v.Gears[i].Fit.String()] = &v.Gears[i]
	}
	for _, row := range newViews("x", v).Rows {
		for _, g := range row.Gears {
			want, got := views[g.Name], f.Picker.Clicks[i]
			i++
			name := want.Fit.String()
			if got.Gear != name || got.Pressed != name+", "+stateOf(want) || got.Alt != want.Describe() || !strings.HasPrefix(got.Caption, name+": "+stateOf(want)+".") {
				t.Errorf("%s: %+v", name, got)
			}
			if fmt.Sprint(got.Figures) != fmt.Sprint(want.Figures) {
				t.Errorf("%s: figures %v, want %v", name, got.Figures, want.Figures)
			}
			// The picture is flat: two runs that lead some 20 mm aside over 430 mm are
			// drawn up to 2 mm short. A gear that stands at its rear limit and runs all
			// the same, by the model error of typical geometry, has more chain than is
			// drawn.
			atLimit := want.Fit.RunRoom < 0.1
			if length := chainLength(want); want.Fit.State.Runs() && !atLimit && math.Abs(got.Chain-length) > 0.0015*length {
				t.Errorf("%s: a chain of %.2f mm is drawn, want %.2f", name, got.Chain, length)
			}
			drawn[fmt.Sprint(got.Chain, got.Drawing)] = true
		}
	}
	if i != len(f.Picker.Clicks) || len(drawn) < i-1 {
		t.Errorf("%d buttons for %d gears, %d drawings", len(f.Picker.Clicks), i, len(drawn))
	}
}

// chainLength is the line of the chain in mm: its pitches, but that an arc is
// longer than the pitches on it.
func chainLength(v *View) float64 {
	p := float64(gearing.Pitch) * (1 + float64(v.Build.Chain.Elongation)/100)
	length := float64(v.Advice.Pitches) * p
	for _, w := range []struct {
		n    gearing.Teeth
		wrap sim.Wrap
	}{{v.Fit.Cog, v.Fit.OnCog}, {v.Fit.Ring, v.Fit.OnRing}, {v.GuideTeeth, v.Fit.OnGuide}, {v.TensionTeeth, v.Fit.OnTension}} {
		r := float64(w.n.Radius()) * p / float64(gearing.Pitch)
		length += w.wrap.Angle.Radians() * (r - float64(w.n)*p/(2*math.Pi))
	}
	return length
}

func checkKeys(t *testing.T, f found) {
	t.Helper()
	want := []string{"48x32", "48x28", "31x28", "31x32", "31x11", "48x11", "48x11", "48x36", "48x36"}
	for i, k := range f.Picker.Keys {
		if k.Gear != want[i] || !strings.HasPrefix(k.Focused, want[i]+",") || k.Kept != (k.Key == "Enter") {
			t.Errorf("key %d, %s: shows %s, focus on %s, want %s; left to the browser: %v", i+1, k.Key, k.Gear, k.Focused, want[i], k.Kept)
		}
	}
}
