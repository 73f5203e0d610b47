// Package workbook writes a worked sheet as an .xlsx workbook that computes by
// itself, and reads given values back from one.
package workbook
