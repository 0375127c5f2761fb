//go:build race

package callers_test

const raceDetector = true
