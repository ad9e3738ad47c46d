//go:build race

package sim

// raced tells that the race detector is on, which makes everything ten times
// slower.
const raced = true
