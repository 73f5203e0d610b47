//go:build race

package main

const raced = true // everything takes ten times as long
