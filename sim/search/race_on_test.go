//go:build race

package search

// raceDetector: the exactness tests take a few bins alone, being ten times slower.
const raceDetector = true
