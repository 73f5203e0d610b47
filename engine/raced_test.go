//go:build race

package engine

const raced = true // everything takes ten times as long
