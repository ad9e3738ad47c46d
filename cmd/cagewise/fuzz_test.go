package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// fuzzSeeds are argument lists, a line an argument; the files they name are
// copies of the examples, and f.* hold what the fuzzer makes up.
var fuzzSeeds = []struct{ line, content string }{
	{"", ""},
	{"gears f.toml --speeds-at 60,75 --tolerance 3", "rings.teeth = [46, 30]\ncogs.teeth = [11, 13, 15]\n"},
	{"gears --rings 46,30 --cogs 11-13-15 --tyre 40-622 --format csv -o out.csv", ""},
	{"fit gravel.toml --chain 112 --format json", ""},
	{"fit f.toml", "rings = 3\n[cogs]\nteeth = [11]\n"},
	{"fit --rings 46 --cogs 11 --chainstay 16.9 --format=markdown", ""},
	{"fit gravel.toml --also f.toml", "[rings]\nteeth = [40]\n[cogs]\nteeth = [11, 40]\n[frame]\nchainstay = \"43 cm\"\n"},
	{"chart side gravel.toml --gear 46x36 --theme dark --width 90", ""},
	{"chart gravel.toml speed", ""},
	{"chart wear f.toml --part c", "distance_unit = \"miles\"\n[[part]]\nid = \"c\"\nkind = \"chain\"\npitches = 112\nfitted_at = 0\n[[reading]]\npart = \"c\"\nat = 500\nmethod = \"rule\"\nlength = 306\npitches = 24\n"},
	{"chart climb gravel.toml --power 150,230 --grade-to 20 --format png -o p.png --dpi 40", ""},
	{"compare gravel.toml --swap rings=40/28 --swap cogs=11-40 --cruise 22", ""},
	{"climb gravel.toml --mass 95 --power 150 --grade 6,10,14 --headwind -20", ""},
	{"cogs --count 9 --from 11 --to 34", ""},
	{"cogs gravel.toml --out 13 --in 14", ""},
	{"ride gravel.toml f.csv", "time,speed_km_h,cadence_rpm\n0,20,80\n1,20,80\n2,21,81\n"},
	{"ride gravel.toml f.gpx f.tcx f.fit --keep-wheel", "<gpx><trk><trkseg><trkpt lat=\"1\" lon=\"2\"><time>2026-01-01T00:00:00Z</time></trkpt></trkseg></trk></gpx>"},
	{"log f.toml reading --part chain-1 --at 1230 --method rule --pitches 48 --length 612.9", "[[part]]\nid = \"chain-1\"\nkind = \"chain\"\n"},
	{"log new.toml new", ""},
	{"wear cargo-wear.toml --at 1300 --budget 20", ""},
	{"wear f.toml --rows cogs --format csv", "[[part]]\nid = \"chain-1\"\nkind = \"chain\"\n"},
	{"plans commuter-wear.toml --chain-life 3200 --end-at 9000", ""},
	{"fault gravel.toml --every 2.43 --gear 46x17", ""},
	{"spare gravel.toml --gear 46x17 --gear 30x11 --torque 60 --speed 25", ""},
	{"measure gravel.toml gravel-readings.toml --save new.toml", ""},
	{"measure gravel.toml f.toml", "[[reading]]\ngear = \"46x36\"\npitches = 112\ngap = 9\n[[reading]]\ngear = \"30x11\"\ncage_angle = -170\n"},
	{"roadside gravel.toml --missing 4", ""},
	{"search mountain-tourer.toml mountain-bin.toml --hill 8 --power 160", ""},
	{"search gravel.toml f.toml --lost-gears -1", "[[rings]]\nteeth = [40]\n"},
	{"report gravel.toml --swap rings=42/28 --title x -o page.md", ""},
	{"card gravel.toml --chain 100", ""},
	{"help keys", ""}, {"help fit", ""}, {"fit --help", ""}, {"completion bash", ""}, {"completion csh", ""},
	{"man", ""}, {"schema fit", ""}, {"version", ""}, {"-h", ""}, {"new tour.toml --rings 46,30", ""},
	{"report gravel.toml --least-cadence 100 -o r.html", ""}, {"report f.toml --ride f.csv -o r.html", "rings.teeth = [40]\ncogs.teeth = [11, 12]\n"},
	{"ride f.toml f.csv", "rings.teeth = [40]\ncogs.teeth = [11, 12]\n"}, {"gears gravel.toml --units imperal", ""}, {"fit gravel.toml --color x", ""},
	{"compare gravel.toml touring-double.toml -o touring-double.toml --format csv", ""}, {"measure gravel.toml gravel-readings.toml -o gravel-readings.toml --format csv", ""},
	{"search mountain-tourer.toml mountain-bin.toml -o mountain-bin.toml --format json", ""}, {"fit gravel.toml --also trail-single.toml -o trail-single.toml --format text", ""},
	{"chart choice mountain-tourer.toml mountain-bin.toml -o mountain-bin.toml --format svg", ""}, {"card gravel.toml -o gravel.toml", ""},
	{"report gravel.toml --log cargo-wear.toml -o cargo-wear.toml --format html", ""}, {"fti gravel.toml", ""}, {"fit --chainsaty 430", ""}, {"fit -x", ""}, {"fit nothing.toml", ""},
}

// FuzzFlags runs the program with any arguments and any file: it never panics
// or hangs, ends with 0, 1 or 2, tells in words why it is 2, and writes in its
// own directory alone.
func FuzzFlags(f *testing.F) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range fuzzSeeds {
		f.Add(strings.Join(strings.Fields(s.line), "\n"), []byte(s.content))
	}
	f.Fuzz(func(t *testing.T, line string, content []byte) {
		if len(line) > 2000 || len(content) > 1<<14 {
			t.Skip()
		}
		w := newFuzzWorld(t)
		args := fuzzArgs(line)
		read := w.fill(examples, args, content)
		status, out, bad := w.run(args)
		if status < exitFine || status > exitInput {
			t.Errorf("%q: exit status %d", args, status)
		}
		if status == exitInput {
			checkComplaint(t, args, out, bad)
		}
		w.check()
		if len(args) > 0 && args[0] != "log" { // which appends
			w.unchanged(read)
		}
	})
}

// fuzzArgs makes arguments that name no other directory.
func fuzzArgs(line string) []string {
	line = strings.NewReplacer("/", "_", `\`, "_", "..", "_").Replace(line)
	return slices.DeleteFunc(strings.Split(line, "\n"), func(s string) bool { return s == "" })
}

// fuzzWorld is the directory the program runs in, beside which nothing may
// appear.
type fuzzWorld struct {
	t    *testing.T
	base string
}

func newFuzzWorld(t *testing.T) fuzzWorld {
	w := fuzzWorld{t, t.TempDir()}
	for _, dir := range []string{"work", "tmp"} {
		if err := os.Mkdir(filepath.Join(w.base, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("TMPDIR", filepath.Join(w.base, "tmp"))
	t.Chdir(filepath.Join(w.base, "work"))
	return w
}

// fill writes the files that the arguments name.
func (w fuzzWorld) fill(examples string, args []string, content []byte) map[string][]byte {
	written := map[string][]byte{}
	for _, arg := range args {
		_, value, _ := strings.Cut(arg, "=")
		for _, name := range []string{arg, value} {
			data, err := content, error(nil)
			if !slices.Contains([]string{"f.toml", "f.csv", "f.gpx", "f.tcx", "f.fit"}, name) {
				if ext := filepath.Ext(name); ext != ".toml" && ext != ".csv" {
					continue
				}
				if data, err = os.ReadFile(filepath.Join(examples, name)); err != nil {
					continue
				}
			}
			if err := os.WriteFile(name, data, 0o644); err != nil {
				w.t.Fatal(err)
			}
			written[name] = data
		}
	}
	return written
}

// unchanged holds the files that were there against what they were.
func (w fuzzWorld) unchanged(read map[string][]byte) {
	for name, data := range read {
		if now, err := os.ReadFile(name); err != nil || !bytes.Equal(now, data) {
			w.t.Errorf("%s is written over: %v", name, err)
		}
	}
}

// fuzzPatience is far more than any run needs, even in a race or on a busy
// machine.
const fuzzPatience = 2 * time.Minute

// run runs the program with nothing to wait for: a search is stopped from the
// start.
func (w fuzzWorld) run(args []string) (status int, out, bad string) {
	stopped, stop := context.WithCancel(context.Background())
	stop()
	var o, b bytes.Buffer
	done := make(chan int)
	go func() { done <- run(args, env{out: &o, err: &b, width: 80, ctx: stopped}) }()
	select {
	case status = <-done:
		return status, o.String(), b.String()
	case <-time.After(fuzzPatience):
		w.t.Fatalf("%q hangs", args)
	}
	return 0, "", ""
}

// checkComplaint holds what the program says when it refuses: a line or more
// that name a flag, a command or a file, and nothing on standard output.
func checkComplaint(t *testing.T, args []string, out, bad string) {
	if out != "" {
		t.Errorf("%q is refused, but prints\n%s", args, out)
	}
	if len(args) == 0 {
		return // the overview
	}
	named := strings.Contains(bad, "--") || strings.Contains(bad, "cagewise ") || buildKey.MatchString(bad)
	for _, word := range append(names(), args...) {
		named = named || strings.Contains(bad, word) || strings.Contains(bad, strconv.Quote(word))
	}
	checkFlagsNamed(t, args, bad)
	if !strings.HasPrefix(bad, "cagewise: ") || !strings.HasSuffix(bad, "\n") || !named {
		t.Errorf("%q is refused with\n%s", args, bad)
	}
}

var (
	flagNamed   = regexp.MustCompile(`(?:^|[\s(])--([a-z][a-z0-9-]+)`)
	commandSaid = regexp.MustCompile("`cagewise [^`]*`")
)

// checkFlagsNamed holds the flags that a complaint speaks of against those of the
// command: what it advises can be typed.
func checkFlagsNamed(t *testing.T, args []string, bad string) {
	i := slices.Index(names(), args[0])
	if i < 0 || strings.Contains(bad, "unknown flag") {
		return
	}
	for _, m := range flagNamed.FindAllStringSubmatch(commandSaid.ReplaceAllString(bad, ""), -1) {
		if commands()[i].flagSet().Lookup(m[1]) == nil && !slices.ContainsFunc(args, func(a string) bool { return strings.Contains(a, "--"+m[1]) }) {
			t.Errorf("%q: %s has no --%s, but is told of it:\n%s", args, args[0], m[1], bad)
		}
	}
}

// buildKey is a key as complaints about a build name it.
var buildKey = regexp.MustCompile(`\b[a-z_]+\.[a-z_]+\b`)

// check looks for files beside the directory and for leftovers in it.
func (w fuzzWorld) check() {
	for pattern, most := range map[string]int{"*": 2, "tmp/*": 0, "work/.cagewise-*": 0} {
		if found, _ := filepath.Glob(filepath.Join(w.base, pattern)); len(found) > most {
			w.t.Errorf("files are left: %q", found)
		}
	}
}
