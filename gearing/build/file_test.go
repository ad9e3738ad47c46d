package build

import (
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
)

// Tooth counts without quotes look like a date to TOML; other dates that are
// wrong get no word about teeth.
func TestToothHint(t *testing.T) {
	for text, hint := range map[string]bool{
		"cogs.teeth = 11-34\n": true, "[cogs]\nteeth = 11-13-15-17\n": true, "rings.teeth = 50-34\n": true,
		"[[part]]\nteeth = 11-34\n": true, "fitted_on = 2026-13\n": false, "teeth = \n": false,
	} {
		var into map[string]any
		_, err := toml.Decode(text, &into)
		if err == nil {
			t.Errorf("%q is taken", text)
			continue
		}
		p := Syntax("b.toml", err)
		if got := strings.Contains(p.Text, "put tooth counts in quotes"); got != hint {
			t.Errorf("%q: %s", text, p)
		}
	}
}
