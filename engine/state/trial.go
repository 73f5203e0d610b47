package state

// Try returns a fork in which some given slots hold other values, SI, for whoever wants to know more about one draw.
// What is known of the values besides, such as how far off they may be, stays as it is, and so does what is worked out
// by laying pieces out on stock. Whoever calls it holds the lock of st, as for Fork.
func Try(st *State, slots []int32, values []float64) *State {
	f := st.Fork()
	for i, s := range slots {
		f.Mach.Regs[s] = values[i]
	}
	run(f, f.GatherCode(nil, f.RangesOf(f.UncutFrom(slots))))
	return f
}
