package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// No number in JSON is beyond what it can physically be: fifty drawn builds, of
// which many do not work. The bounds are generous (invented here).
func TestNumbersInTheirRange(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 4))
	written := 0
	for range 50 {
		flags := drawnFlags(draw)
		for _, name := range []string{"fit", "roadside"} {
			var out, bad bytes.Buffer
			args := append([]string{name, "--format", "json"}, flags...)
			if run(args, env{out: &out, err: &bad, width: 80}) == exitInput {
				continue // refused: no report
			}
			written++
			var tree any
			if err := json.Unmarshal(out.Bytes(), &tree); err != nil {
				t.Fatal(err)
			}
			for _, where := range beyond("", "", tree) {
				t.Errorf("cagewise %s: %s", strings.Join(args, " "), where)
			}
		}
	}
	if written < 50 {
		t.Errorf("only %d reports written", written)
	}
}

// beyond lists the numbers in a tree that are out of their range.
func beyond(path, key string, v any) []string {
	var list []string
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			list = append(list, beyond(path+"."+k, k, x)...)
		}
	case []any:
		for i, x := range v {
			list = append(list, beyond(fmt.Sprintf("%s[%d]", path, i), key, x)...)
		}
	case float64:
		if low, high := rangeOf(path, key); !(v >= low && v <= high) {
			list = append(list, fmt.Sprintf("%s is %v; allowed %v to %v", path, v, low, high))
		}
	}
	return list
}

func rangeOf(path, key string) (low, high float64) {
	switch {
	case strings.HasPrefix(key, "chance"), key == "any", key == "hits_the_cog", strings.Contains(path, "chance_of_danger"):
		return 0, 1
	case strings.Contains(key, "_error_"):
		return 0, 500
	case strings.HasSuffix(key, "_pitches"), strings.HasSuffix(key, "_teeth"), key == "pitches", key == "teeth":
		return -300, 400
	case strings.HasSuffix(key, "_deg"):
		return -720, 720
	case strings.HasSuffix(key, "_mm"):
		return -2000, 2000
	case strings.HasSuffix(key, "_n"):
		return 0, 1e4
	}
	return -math.MaxInt16, math.MaxInt16
}
