package units_test

import (
	"fmt"

	"gusset/units"
)

func ExampleSet_Parse() {
	u, _ := units.Builtin().Parse("oz/sq ft")
	fmt.Println(u, "is", u.Dim().Describe())
	_, err := units.Builtin().Parse("ounces")
	fmt.Println(err)
	// Output:
	// oz/sq ft is a wing loading (mass per area)
	// unknown unit ounces (write oz)
}

func ExampleSet_ParseNumber() {
	inch, _ := units.Builtin().Parse("in")
	for _, text := range []string{"8-1/2", "4 ft 2-1/2 in", "200 mm", "8,25"} {
		n, err := units.Builtin().ParseNumber(text, inch)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s is %.4f m, written in %s\n", text, n.SI, n.Unit)
	}
	// Output:
	// 8-1/2 is 0.2159 m, written in in
	// 4 ft 2-1/2 in is 1.2827 m, written in ft in
	// 200 mm is 0.2000 m, written in mm
	// the decimal mark is a point (write 8.25)
}

func ExampleFormat() {
	sixteenth, _ := units.ParseStep("1/16")
	inch, _ := units.Builtin().Parse("in")
	feet, _ := units.Builtin().Parse("ft in")
	metre, _ := units.Builtin().Parse("m")
	span := 1.2827 // m
	fmt.Println(units.Format(span, inch, sixteenth))
	fmt.Println(units.Format(span, feet, sixteenth))
	fmt.Println(units.Format(span, metre, units.Step{}))
	fmt.Println(units.Exact(span, metre))
	// Output:
	// 50-1/2
	// 4 ft 2-1/2 in
	// 1.283
	// 1.2827
}

func ExampleSet_With() {
	inch, _ := units.Builtin().Parse("in")
	set, _ := units.Builtin().With("plank", 48, inch)
	n, _ := set.ParseNumber("2-1/2 plank", units.Unit{})
	fmt.Println(units.Exact(n.SI, inch), "in")
	// Output: 120 in
}

func ExampleDim() {
	area, _ := units.Length.Mul(units.Length)
	loading, _ := units.Mass.Div(area)
	fmt.Println(loading, "is", loading.Describe())
	// Output: kg/m^2 is a wing loading (mass per area)
}

func ExampleSet_Names() {
	for _, u := range units.Builtin().Names()[:4] {
		fmt.Printf("%s (%s): %s, %s\n", u.Name, u.Group, u.Describe, u.Definition)
	}
	// Output:
	// in (length): inch, 25.4 mm exactly
	// ft (length): foot, 12 in exactly
	// yd (length): yard, 3 ft exactly
	// mil (length): thousandth of an inch, 0.001 in exactly
}
