package report

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestBlocks(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"paragraph", "\nOne\nand on.\n\nTwo.\n", `[{"Para":[{"Text":"One and on."}]},{"Para":[{"Text":"Two."}]}]`},
		{"escapes", `4 \* 5 \_a\_ \<b> \[c] \#d \e`, `[{"Para":[{"Text":"4 * 5 _a_ <b> [c] #d \\e"}]}]`},
		{"code", "use `fit` or `gears`.", "[{\"Para\":[{\"Text\":\"use \"},{\"Text\":\"fit\",\"Code\":true},{\"Text\":\" or \"},{\"Text\":\"gears\",\"Code\":true},{\"Text\":\".\"}]}]"},
		{"lone backtick", "5` long", "[{\"Para\":[{\"Text\":\"5` long\"}]}]"},
		{"list", "- **ok** fine\n- plain\n- **no end", `[{"Items":[{"Mark":"ok","Text":[{"Text":"fine"}]},{"Text":[{"Text":"plain"}]},{"Text":[{"Text":"**no end"}]}]}]`},
		{"list after paragraph", "Look:\n- a", `[{"Para":[{"Text":"Look:"}]},{"Items":[{"Text":[{"Text":"a"}]}]}]`},
		{"fence", "```toml\na = 1\n\n[b]\n```\nend", `[{"Code":"a = 1\n\n[b]"},{"Para":[{"Text":"end"}]}]`},
		{"fence without end", "```\na", `[{"Code":"a"}]`},
		{"nothing", "\n \n", "null"},
	} {
		if got := shape(t, blocks(c.text)); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
}

// shape is a text's blocks without what is empty.
func shape(t *testing.T, list []block) string {
	data, err := json.Marshal(list)
	if err != nil {
		t.Fatal(err)
	}
	s := strings.NewReplacer("\\u003c", "<", "\\u003e", ">").Replace(string(data))
	for _, empty := range []string{`,"Items":null`, `,"Table":null`, `,"Code":""`, `,"Code":false`, `"Para":null,`, `"Mark":"",`, `"Items":null,`, `"Table":null,`} {
		s = strings.ReplaceAll(s, empty, "")
	}
	return s
}

func TestTable(t *testing.T) {
	b := blocks("| gear | gap (mm) |\n| :--- | ---: |\n| 48x36 | 6.0 |\n| a \\| b |  |\n| short |\n")
	if len(b) != 1 || b[0].Table == nil {
		t.Fatalf("%+v", b)
	}
	tab := b[0].Table
	if tab.Class != "" || !tab.Heads[0].Left || tab.Heads[1].Left {
		t.Errorf("%+v", tab)
	}
	if got := tab.Rows[1][0].Text; got != "a | b" {
		t.Errorf("escaped bar: %q", got)
	}
	if got := tab.Rows[2][1]; got.Text != "" || got.Head != "gap (mm)" {
		t.Errorf("missing cell: %+v", got)
	}
	for columns, want := range map[int]string{3: "", 7: "wide", 11: "wide small", 40: "stack"} {
		if got := blocks(columnsTable(columns))[0].Table.Class; got != want {
			t.Errorf("%d columns: %q, want %q", columns, got, want)
		}
	}
}
