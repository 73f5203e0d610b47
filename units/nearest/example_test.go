package nearest_test

import (
	"fmt"

	"gusset/units/nearest"
)

func ExampleWord() {
	fmt.Println(nearest.Word("wing_aera", []string{"wing_area", "wing_span"}))
	// Output: wing_area true
}
