package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Rides of one name show as much of their path as tells them apart.
func TestRideNames(t *testing.T) {
	long := "2025-05-01 over the great high pass and back "
	for _, c := range []struct{ paths, want []string }{
		{[]string{"rides/a.csv", "b.csv"}, []string{"a.csv", "b.csv"}},
		{[]string{"north/a.csv", "/x/south/a.csv", "b.csv"}, []string{"north/a.csv", "south/a.csv", "b.csv"}},
		{[]string{"a.csv", "d/a.csv"}, []string{"a.csv", "d/a.csv"}},
		{[]string{long + "1.csv"}, []string{"2025-05-01 over the g..."}},
		{[]string{long + "1.csv", long + "2.csv"}, []string{"2025-05-01... back 1.csv", "2025-05-01... back 2.csv"}},
		{[]string{"x/d/a.csv", "y/d/a.csv"}, []string{"x/d/a.csv", "y/d/a.csv"}},
		{
			[]string{"a-very-long-way/to/a-folder/a.csv", "a-very-long-way/by/a-folder/a.csv"},
			[]string{"1 a-very-l...older/a.csv", "2 a-very-l...older/a.csv"},
		},
	} {
		names := rideNames(c.paths)
		for i, path := range c.paths {
			if got := names[path]; got != c.want[i] || len(got) > nameWidth {
				t.Errorf("%q: %q, want %q", path, got, c.want[i])
			}
		}
	}
}

func TestAmount(t *testing.T) {
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{{0, 1, "0.0"}, {0.02, 1, "<0.1"}, {0.06, 1, "0.1"}, {0.004, 2, "<0.01"}, {0.3, 0, "<1"}, {0.7, 0, "1"}, {12.34, 1, "12.3"}} {
		if got := amount(c.x, c.decimals); got != c.want {
			t.Errorf("amount(%v, %d) is %q, want %q", c.x, c.decimals, got, c.want)
		}
	}
}

// Ten minutes in one gear fit a wheel a cog along as well: that comes first, and
// there is no advice about cogs.
func TestRideOfOneGear(t *testing.T) {
	path := filepath.Join(t.TempDir(), "even.csv")
	var b strings.Builder
	b.WriteString("time,speed_m_s,cadence_rpm\n")
	for i := range 600 {
		fmt.Fprintf(&b, "%d,5.99,60\n", i)
	}
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, bad bytes.Buffer
	status := run([]string{"ride", "../../examples/gravel.toml", path}, env{out: &out, err: &bad, width: 80})
	text := strings.Join(strings.Fields(out.String()), " ")
	if status != exitFine || bad.Len() > 0 ||
		!strings.Contains(text, "Look here first even.csv: the gears below are right only if the build's roll-out is; a wheel ") ||
		!strings.Contains(text, ", one cog along, fits as well: measure the roll-out. Rides") || strings.Contains(text, "missed least") {
		t.Errorf("status %d, %s\n%s", status, &bad, &out)
	}
}
