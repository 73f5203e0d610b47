package graph

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
