package wearlog_test

import (
	"fmt"
	"log"
	"os"
	"path/filepath"

	"cagewise/gearing"
	"cagewise/gearing/wearlog"
)

// Read a wear log. Distances are kilometres whatever the owner writes.
func ExampleLoad() {
	l, warnings, err := wearlog.Load("../../examples/commuter-wear.toml")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(l.Name, "with", len(l.Parts), "parts,", len(warnings), "warnings")
	for _, r := range l.Readings {
		fmt.Println(r.KM, "km:", r.Part, "by", r.Method)
	}
	// Output:
	// Commuter with 3 parts, 0 warnings
	// 3200 km: chain-1 by rule
	// 3200 km: chain-1 by rule
	// 3200 km: chain-1 by caliper
	// 3200 km: chain-1 by two-point
}

// Add a ride to a log that is kept in miles, without touching what is there.
func ExampleAppend() {
	path := filepath.Join(os.TempDir(), "cagewise-example-log.toml")
	defer os.Remove(path)
	if err := os.WriteFile(path, []byte("distance_unit = \"miles\"\n"), 0o644); err != nil {
		log.Fatal(err)
	}
	added, err := wearlog.Append(path, gearing.WearLog{Rides: []gearing.WearRide{{KM: 42 * 1.609344, Note: "over the pass"}}})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("line %d:\n%s", added.Line, added.Text)
	// Output:
	// line 3:
	// [[ride]]
	// distance = 42
	// note = "over the pass"
}

// Write entries without a file.
func ExampleFormat() {
	fmt.Print(wearlog.Format(gearing.WearLog{Readings: []gearing.WearReading{
		{Part: "chain-1", KM: 1230, Method: gearing.MethodRule, Pitches: 24, Length: 306.9},
	}}))
	// Output:
	// [[reading]]
	// part = "chain-1"
	// at = 1230
	// method = "rule"
	// pitches = 24
	// length_mm = 306.9
}
