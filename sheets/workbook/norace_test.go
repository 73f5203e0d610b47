//go:build !race

package workbook

const raceDetector = false
