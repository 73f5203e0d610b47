// Package units knows the units of the workshop and its way of writing numbers.
package units
