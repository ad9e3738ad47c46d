package bin

import (
	"os"
	"strings"
	"testing"

	"cagewise/gearing"
)

const example = "../../examples/parts-bin.toml"

// The example bin is large and mixed enough to search in.
func TestExampleBin(t *testing.T) {
	b, err := Load(example)
	if err != nil {
		t.Fatal(err)
	}
	if len(b.RingSets) < 30 || len(b.Cassettes) < 60 || len(b.Derailleurs) < 20 || len(b.Chains) < 5 || len(b.Extenders) < 3 || len(b.Wheels) < 3 {
		t.Errorf("%d ring sets, %d cassettes, %d derailleurs, %d chains, %d extenders, %d wheels",
			len(b.RingSets), len(b.Cassettes), len(b.Derailleurs), len(b.Chains), len(b.Extenders), len(b.Wheels))
	}
	var rated, typical, measured int
	for _, d := range b.Derailleurs {
		switch {
		case d.Rear.Geometry.PivotToGuide > 0:
			measured++
		case d.Rear.PulleyCentres > 0:
			typical++
		case d.Rear.Geometry == gearing.Geometry{}:
			rated++
		}
	}
	if rated < 3 || typical < 12 || measured < 5 {
		t.Errorf("%d derailleurs rated only, %d with pulley centres, %d measured", rated, typical, measured)
	}
	if b.Note == "" || len(b.Available().RingSets) == len(b.RingSets) {
		t.Error("the example shows a note and parts that cannot be had")
	}
}

// The bin in the package's documentation is one.
func TestDocumentedBin(t *testing.T) {
	text, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	var sample strings.Builder
	for line := range strings.Lines(string(text)) {
		if code, ok := strings.CutPrefix(line, "//\t"); ok {
			sample.WriteString(code)
		}
	}
	b, err := Parse("doc.go", []byte(sample.String()))
	if err != nil || len(b.Derailleurs) != 2 || b.Derailleurs[1].Rear.Geometry.HangerBelow != 28 {
		t.Errorf("%v, %+v", err, b.Derailleurs)
	}
}
