package graph

import "slices"

// Reach marks those of n nodes that some lead to, these included; next returns where a node leads, and is asked once of
// each. What it returns may be used again for the next one.
func Reach(n int, from []int32, next func(i int32) []int32) []bool {
	reached := make([]bool, n)
	var work []int32
	add := func(nodes []int32) {
		for _, i := range nodes {
			if !reached[i] {
				reached[i] = true
				work = append(work, i)
			}
		}
	}
	add(from)
	for len(work) > 0 {
		i := work[len(work)-1]
		work = work[:len(work)-1]
		add(next(i))
	}
	return reached
}

// Visit visits some nodes, and all that visiting one says comes next: each once, those that are nearer first. It costs
// what is visited, where Reach costs as much as there are nodes.
func Visit(from []int32, visit func(i int32) (next []int32)) {
	seen := map[int32]bool{}
	for work := slices.Clone(from); len(work) > 0; work = work[1:] {
		if i := work[0]; !seen[i] {
			seen[i] = true
			work = append(work, visit(i)...)
		}
	}
}
