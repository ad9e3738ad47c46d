//go:build linux || darwin

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"cagewise/gearing"
	"cagewise/gearing/bin"
)

// leastProgram parses a flag and a line of TOML: what any command pays that
// links the two libraries, and nothing else.
const leastProgram = `package main

import (
	"fmt"
	"os"

	"github.com/BurntSushi/toml"
	"github.com/spf13/pflag"
)

func main() {
	name := pflag.String("name", "", "a flag")
	pflag.Parse()
	var v map[string]any
	if _, err := toml.Decode("name = \"x\"", &v); err != nil {
		os.Exit(2)
	}
	fmt.Println(*name, v["name"])
}
`

// watchProgram runs another program and prints the most memory that it had, in
// bytes. A test binary cannot ask for that itself: a program it starts counts
// the memory of the test from which it was forked.
const watchProgram = `package main

import (
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"syscall"
)

func main() {
	c := exec.Command(os.Args[1], os.Args[2:]...)
	_ = c.Run()
	if c.ProcessState == nil || c.ProcessState.ExitCode() > 1 {
		os.Exit(2)
	}
	most := c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
	if runtime.GOOS == "linux" {
		most *= 1024 // getrusage(2): kilobytes here, bytes elsewhere
	}
	fmt.Println(most)
}
`

// processes are the programs that are measured.
type processes struct {
	root                   string // of the module: commands run there
	dir                    string
	cagewise, least, watch string
}

// compile builds a program without symbols, as it is given to people.
func compile(b *testing.B, out, source string) string {
	b.Helper()
	c := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", out, source)
	c.Env = append(os.Environ(), "CGO_ENABLED=0")
	if text, err := c.CombinedOutput(); err != nil {
		b.Fatalf("building %s: %v\n%s", source, err, text)
	}
	return out
}

func newProcesses(b *testing.B) processes {
	b.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		b.Fatal(err)
	}
	p := processes{root: root, dir: b.TempDir()}
	program := func(name, text string) string {
		source := filepath.Join(p.dir, name+".go")
		if err := os.WriteFile(source, []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
		return compile(b, filepath.Join(p.dir, name), source)
	}
	p.cagewise = compile(b, filepath.Join(p.dir, "cagewise"), ".")
	p.least, p.watch = program("least", leastProgram), program("watch", watchProgram)
	return p
}

// timed runs a program; status 1 is a verdict and fine.
func (p processes) timed(b *testing.B, program string, args ...string) time.Duration {
	c := exec.Command(program, args...)
	c.Dir = p.root
	var said bytes.Buffer
	c.Stderr = &said
	start := time.Now()
	err := c.Run()
	took := time.Since(start)
	var exit *exec.ExitError
	if err != nil && !(errors.As(err, &exit) && exit.ExitCode() == 1) {
		b.Fatalf("%s %q: %v\n%s", program, args, err, said.String())
	}
	return took
}

// peak is the most memory of a few runs.
func (p processes) peak(b *testing.B, args []string) float64 {
	most := 0.0
	for range 3 {
		c := exec.Command(p.watch, append([]string{p.cagewise}, args...)...)
		c.Dir = p.root
		out, err := c.Output()
		if err != nil {
			b.Fatalf("watching %q: %v", args, err)
		}
		n, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
		if err != nil {
			b.Fatal(err)
		}
		most = max(most, n)
	}
	return most
}

// measure times a command from start to end. The least program runs in between,
// so that x-least, the ratio of the medians, does not hang on what else the
// machine does.
func (p processes) measure(b *testing.B, args []string) {
	var mine, least []time.Duration
	for b.Loop() {
		b.StopTimer()
		least = append(least, p.timed(b, p.least))
		b.StartTimer()
		mine = append(mine, p.timed(b, p.cagewise, args...))
	}
	b.StopTimer()
	b.ReportMetric(float64(median(mine))/float64(median(least)), "x-least")
	b.ReportMetric(p.peak(b, args), "peak-rss-bytes")
}

func median(list []time.Duration) time.Duration {
	slices.Sort(list)
	return list[len(list)/2]
}

// hugeBin writes a bin of 10^8 combinations: the example's parts with many more
// chains.
func (p processes) hugeBin(b *testing.B) string {
	parts, err := bin.Load("../../examples/parts-bin.toml")
	if err != nil {
		b.Fatal(err)
	}
	parts.Chains = nil
	least := parts.Available()
	chains := 1 + int(1e8/least.Combinations())
	for k := range chains {
		parts.Chains = append(parts.Chains, gearing.BinChain{
			BinPart: gearing.BinPart{Name: fmt.Sprint("chain ", k), Price: float64(18 + k)}, Pitches: 100 + 2*(k%40),
		})
	}
	path := filepath.Join(p.dir, "huge-bin.toml")
	if err := os.WriteFile(path, bin.Format(parts), 0o644); err != nil {
		b.Fatal(err)
	}
	return path
}

// BenchmarkProcess measures whole processes of the command as people have it:
// time, time over that of a program that only links the libraries for flags and
// TOML (x-least), and the most memory. B/op and allocs/op, where -benchmem asks
// for them, are those of the test that starts them.
func BenchmarkProcess(b *testing.B) {
	p := newProcesses(b)
	twelvePath, out := twelveFile(b), func(name string) string { return filepath.Join(p.dir, name) }
	const tourer, gravel = "examples/touring-double.toml", "examples/gravel.toml"
	for _, c := range []struct {
		name string
		args []string
	}{
		{"version", []string{"version"}},
		{"gears", []string{"gears", tourer}},
		{"fit", []string{"fit", tourer}},
		{"compare", []string{"compare", gravel, "--swap", "rings=40/28", "--swap", "rings=44/30", "--swap", "rings=48/32"}},
		{"climb", []string{"climb", tourer}},
		{"ride", []string{"ride", gravel, "examples/gravel-ride.csv"}},
		{"wear", []string{"wear", "examples/cargo-wear.toml"}},
		{"chart=ladder.svg", []string{"chart", "ladder", tourer, "-o", out("ladder.svg")}},
		{"chart=ladder.png", []string{"chart", "ladder", tourer, "-o", out("ladder.png")}},
		{"chart=side.svg", []string{"chart", "side", gravel, "-o", out("side.svg")}},
		{"chart=side.png", []string{"chart", "side", gravel, "-o", out("side.png")}},
		{"search=60", []string{"search", "examples/mountain-tourer.toml", "examples/mountain-bin.toml", "--format", "json"}},
	} {
		b.Run(c.name, func(b *testing.B) { p.measure(b, c.args) })
	}
	b.Run("report", func(b *testing.B) {
		page := out("report.html")
		p.measure(b, []string{"report", twelvePath, "-o", page})
		info, err := os.Stat(page)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(info.Size()), "page-bytes")
	})
	b.Run("search=1e8", func(b *testing.B) {
		p.measure(b, []string{"search", tourer, p.hugeBin(b), "--format", "json",
			"--lowest-development", "1.5", "--highest-development", "7.5", "--largest-step", "22", "--over-capacity", "4", "--over-cog", "4"})
	})
	b.Run("size", func(b *testing.B) {
		info, err := os.Stat(p.cagewise)
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			_ = info.Size()
		}
		b.ReportMetric(0, "ns/op")
		b.ReportMetric(float64(info.Size()), "stripped-bytes")
	})
}
