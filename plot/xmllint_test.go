package plot

import (
	"os/exec"
	"path/filepath"
	"testing"
)

// Every golden picture and every picture of the examples is clean for a parser
// that is none of ours.
func TestXmllint(t *testing.T) {
	path, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("NOT CHECKED BY XMLLINT: apt-get install libxml2-utils")
	}
	var files []string
	for _, pattern := range []string{"../testdata/golden/*.svg", "../examples/pictures/*.svg"} {
		list, err := filepath.Glob(pattern)
		if err != nil || len(list) == 0 {
			t.Fatalf("%s: %d pictures, %v", pattern, len(list), err)
		}
		files = append(files, list...)
	}
	if out, err := exec.Command(path, append([]string{"--noout", "--nonet", "--pedantic"}, files...)...).CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("%v\n%s", err, out)
	}
}
