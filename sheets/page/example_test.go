package page_test

import (
	"bytes"
	"fmt"
	"testing/fstest"

	"gusset/engine"
	"gusset/sheets/page"
)

// The page of a model shows the values that the model has.
func ExampleWrite() {
	files := fstest.MapFS{"wren.gusset": {Data: []byte("sheet \"Wren\"\nspan [in, 1/2] : 30\n")}}
	m, err := engine.Load(engine.Sources{Files: files}, "wren.gusset")
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := m.Set("span", "31-1/2"); err != nil {
		fmt.Println(err)
		return
	}
	var file bytes.Buffer
	err = page.Write(&file, m, page.Options{File: "wren.gusset"})
	fmt.Println(bytes.Contains(file.Bytes(), []byte("<title>Wren</title>")), err)
	fmt.Println(bytes.Contains(file.Bytes(), []byte("31-1/2")))
	// Output:
	// true <nil>
	// true
}
