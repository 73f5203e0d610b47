//go:build race

package workbook

const raceDetector = true
