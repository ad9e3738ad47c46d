//go:build !race

package search

const raceDetector = false
