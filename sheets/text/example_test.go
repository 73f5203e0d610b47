package text_test

import (
	"fmt"
	"strings"

	"gusset/sheets/text"
)

func ExampleParse() {
	file, diags := text.Parse(text.NewSource(
		"tern.gusset",
		[]byte("span [in, 1/8] : 4 ft 2 in  // off the plan\nwing area [sq in] = span * chord\n"),
	))
	cell := file.Nodes[0].(*text.Cell)
	fmt.Println(cell.Name.Text, cell.Unit.Unit.Text, cell.Value.Word.Text)
	fmt.Println(diags.Err())
	// Output:
	// span in 4 ft 2 in
	// tern.gusset:2:1: a name is one word
	//     wing area [sq in] = span * chord
	//     ~~~~~~~~~
	//     hint: wing_area
}

func ExampleFormat() {
	file, _ := text.Parse(text.NewSource(
		"tern.gusset", []byte("page Wing\nspan[in,1/8]:4 ft 2 in\ncheck fits=span<57 [in]\n"),
	))
	fmt.Print(string(text.Format(file)))
	// Output:
	// page Wing
	//   span            [in, 1/8]   : 4 ft 2 in
	//   check fits                  = span<57 [in]
}

func ExampleSetGiven() {
	file, _ := text.Parse(text.NewSource("tern.gusset", []byte("span [in] : 50      // off the plan\nchord [in] : 8\n")))
	file, err := text.SetGiven(file, "span", "4 ft 3 in")
	fmt.Println(err)
	fmt.Print(strings.TrimSpace(string(file.Bytes())))
	// Output:
	// <nil>
	// span [in] : 4 ft 3 in  // off the plan
	// chord [in] : 8
}
