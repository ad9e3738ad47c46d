package bin

import (
	"fmt"
	"strings"
	"testing"
)

// largeBin is a bin of n parts of each of the needed kinds.
func largeBin(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "[[rings]]\nname = \"rings %d\"\nprice = %d\nteeth = \"%d/%d\"\n", i, i%90, 40+i%14, 26+i%10)
		fmt.Fprintf(&b, "[[cassette]]\nname = \"cassette %d\"\nprice = %d\nteeth = \"11-13-15-17-19-21-24-28-32-%d\"\n", i, i%90, 34+i%9)
		fmt.Fprintf(&b, "[[rear_derailleur]]\nname = \"derailleur %d\"\nprice = %d\nrated_capacity = %d\npulley_centres = %d\n", i, i%90, 30+i%15, 60+i%40)
		b.WriteString("[rear_derailleur.geometry]\nhanger_behind = 9\nhanger_below = 28\n")
	}
	return b.String()
}

// Reading a bin of 10^9 combinations, 3,000 parts.
func BenchmarkParse(b *testing.B) {
	text := []byte(largeBin(1000))
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse("b.toml", text); err != nil {
			b.Fatal(err)
		}
	}
}
