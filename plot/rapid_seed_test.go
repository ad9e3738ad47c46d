package plot

import "flag"

// rapidSeed fixes what the property tests draw, so that a run can be repeated;
// -rapid.seed on the command line draws something else.
const rapidSeed = "20261125"

func init() {
	if err := flag.Set("rapid.seed", rapidSeed); err != nil {
		panic(err)
	}
}
