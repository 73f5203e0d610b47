// Package graph puts nodes that need one another into an order in which each comes after what it needs.
//
// Nodes are numbered from 0 by their place in the sheet. The order is by depth (how many steps a node is above
// what needs nothing) and then by place, so that the same sheet always gives the same order and a run walks through
// memory nearly straight.
//
// A loop is a cycle of nodes that is meant to be one: it has an unknown, whose value is searched for, and a goal that
// says how far off a trial value is. Every other cycle is a fault and is reported as a path.
package graph

import "slices"

// Graph holds, for each node, what it needs.
type Graph struct {
	start []int32 // needs of node i are to[start[i]:start[i+1]]
	to    []int32
}

// Builder makes a Graph, node by node.
type Builder struct{ g Graph }

// Add appends the next node with what it needs.
func (b *Builder) Add(needs []int32) {
	b.g.start = append(b.g.start, int32(len(b.g.to)))
	b.g.to = append(b.g.to, needs...)
}

// Grow makes room for as many nodes more.
func (b *Builder) Grow(nodes int) { b.g.start = slices.Grow(b.g.start, nodes+1) }

// Graph returns what was built. The Builder must not be used afterwards.
func (b *Builder) Graph() *Graph {
	b.g.start = append(b.g.start, int32(len(b.g.to)))
	return &b.g
}

// Len returns the number of nodes.
func (g *Graph) Len() int { return len(g.start) - 1 }

// Needs returns what node i needs. The caller must not change it.
func (g *Graph) Needs(i int32) []int32 { return g.to[g.start[i]:g.start[i+1]] }

// Reverse returns the graph that holds, for each node, what needs it.
func (g *Graph) Reverse() *Graph {
	n := g.Len()
	r := &Graph{start: make([]int32, n+1), to: make([]int32, len(g.to))}
	for _, d := range g.to {
		r.start[d+1]++
	}
	for i := range n {
		r.start[i+1] += r.start[i]
	}
	next := slices.Clone(r.start[:n])
	for i := range int32(n) {
		for _, d := range g.Needs(i) {
			r.to[next[d]] = i
			next[d]++
		}
	}
	return r
}

// Loop asks that Unknown be searched for until Goal is met.
type Loop struct{ Unknown, Goal int32 }

// Step is one node, or one loop with everything that a trial of its unknown has to work out again.
type Step struct {
	Thing int32 // the node, or the unknown of the loop
	Loop  int32 // index of the loop, or -1
}

// Plan is an order of work.
type Plan struct {
	Steps  []Step
	Bodies [][]Step  // of each loop that is a step what it works out at each trial, in order, the unknown left out
	Cycles [][]int32 // each a path of nodes, every one needing the next and the last needing the first
}

// Body returns what a step works out at each trial, in order; nothing for one node.
func (p *Plan) Body(s Step) []Step {
	if s.Loop < 0 {
		return nil
	}
	return p.Bodies[s.Loop]
}

// EachThing visits every node of some steps in order, an unknown before what it is searched by.
func (p *Plan) EachThing(steps []Step, visit func(thing int32)) {
	for _, s := range steps {
		visit(s.Thing)
		p.EachThing(p.Body(s), visit)
	}
}

// EachThingOf visits every node of one step, by its number.
func (p *Plan) EachThingOf(step int32, visit func(thing int32)) {
	p.EachThing(p.Steps[step:step+1], visit)
}

// Order plans the work. Nodes on a cycle, and only those, are left out of Steps.
func (g *Graph) Order(loops []Loop) Plan {
	o := orderer{g: g, loops: loops, goal: make(map[int32]int32, len(loops)), bodies: make([][]Step, len(loops))}
	all := make([]int32, g.Len())
	for i := range all {
		all[i] = int32(i)
	}
	open := make([]int32, len(loops))
	for i, l := range loops {
		open[i] = int32(i)
		o.goal[l.Unknown] = l.Goal
	}
	steps := o.order(all, open)
	return Plan{Steps: steps, Bodies: o.bodies, Cycles: o.cycles}
}

type orderer struct {
	g      *Graph
	loops  []Loop
	goal   map[int32]int32 // unknown to goal
	bodies [][]Step        // of loops
	cycles [][]int32
}

// needs calls visit for all that node i needs; an unknown needs its goal.
func (o *orderer) needs(i int32, visit func(int32)) {
	for _, d := range o.g.Needs(i) {
		visit(d)
	}
	if goal, ok := o.goal[i]; ok {
		visit(goal)
	}
}

// order plans the given nodes, in the order of their places, which are a subset closed but for needs that are already
// met: steps by depth and then by place. Open holds the loops whose unknown may be searched for here.
func (o *orderer) order(nodes, open []int32) []Step {
	in := o.membersOf(nodes)
	groups, groupOf := o.components(nodes, in)
	depth := make([]int32, groups.len())
	loops, cycles := map[int32]Step{}, map[int32]bool{} // by group
	atDepth := []int32{0}                               // how many steps there are of each depth
	for gi := range depth {                             // what a group needs comes in earlier groups
		group := groups.members(int32(gi))
		for _, t := range group {
			o.needs(t, func(n int32) {
				if k, ok := in.at(n); ok && groupOf[k] != int32(gi) {
					depth[gi] = max(depth[gi], depth[groupOf[k]]+1)
				}
			})
		}
		for int(depth[gi]) >= len(atDepth) {
			atDepth = append(atDepth, 0)
		}
		step, ok := o.step(group, open)
		switch {
		case !ok:
			cycles[int32(gi)] = true
			continue
		case step.Loop >= 0:
			loops[int32(gi)] = step
		}
		atDepth[depth[gi]]++
	}
	steps := make([]Step, groups.len()-len(cycles))
	next := int32(0) // where the steps of a depth begin, and then where the next one goes
	for d, n := range atDepth {
		atDepth[d] = next
		next += n
	}
	for k, t := range nodes {
		gi := groupOf[k]
		step := Step{Thing: t, Loop: -1}
		if loop, ok := loops[gi]; ok {
			step = loop
		}
		if step.Thing == t && !cycles[gi] {
			steps[atDepth[depth[gi]]] = step
			atDepth[depth[gi]]++
		}
	}
	return steps
}

// step turns a group of nodes that all need one another into a step; a cycle is reported and gives none.
func (o *orderer) step(group, open []int32) (Step, bool) {
	if len(group) == 1 && !o.needsItself(group[0]) {
		return Step{Thing: group[0], Loop: -1}, true
	}
	if k := o.outermost(group, open); k >= 0 {
		u := o.loops[open[k]].Unknown // not among what is ordered from here on, so that its goal does not count
		o.bodies[open[k]] = o.order(without(group, u), slices.Delete(slices.Clone(open), k, k+1))
		return Step{Thing: u, Loop: open[k]}, true
	}
	o.cycles = append(o.cycles, o.cycle(group))
	return Step{Loop: -1}, false
}

// without returns a group without one node, by place.
func without(group []int32, t int32) []int32 {
	rest := slices.DeleteFunc(slices.Clone(group), func(m int32) bool { return m == t })
	slices.Sort(rest)
	return rest
}

// maxTried is how many loops of a group are tried as the outermost one.
const maxTried = 8

// outermost returns the place in open of the loop to search first in a group: the first that leaves the most of the
// other unknowns something to be searched by. A goal can need an unknown by way of another loop only, and then that
// other loop has to be the inner one. It returns -1 when the group has no loop.
func (o *orderer) outermost(group, open []int32) int {
	var places []int // of the group's loops
	var unknowns []int32
	for k, l := range open {
		if u := o.loops[l].Unknown; slices.Contains(group, u) {
			places, unknowns = append(places, k), append(unknowns, u)
		}
	}
	if len(places) < 2 {
		return slices.Max(append(places, -1))
	}
	best, fewest := -1, len(unknowns)+1
	for i, k := range places[:min(len(places), maxTried)] {
		if n := o.idle(group, unknowns, unknowns[i]); n < fewest {
			best, fewest = k, n
		}
	}
	return best
}

// idle counts the unknowns of a group that no longer bear on their own goal when unknown u is known.
func (o *orderer) idle(group, unknowns []int32, u int32) int {
	rest := without(group, u)
	groups, _ := o.components(rest, o.membersOf(rest))
	n := 0
	for gi := range groups.len() {
		g := groups.members(int32(gi))
		if len(g) == 1 && slices.Contains(unknowns, g[0]) && !o.needsItself(g[0]) {
			n++
		}
	}
	return n
}

func (o *orderer) needsItself(t int32) bool {
	found := false
	o.needs(t, func(n int32) { found = found || n == t })
	return found
}

// cycle returns a shortest path from the first node of the group, by place, back to itself.
func (o *orderer) cycle(group []int32) []int32 {
	first := slices.Min(group)
	in := make(map[int32]bool, len(group))
	for _, t := range group {
		in[t] = true
	}
	from := map[int32]int32{}
	queue := []int32{first}
	for len(queue) > 0 {
		t := queue[0]
		queue = queue[1:]
		closed := false
		o.needs(t, func(n int32) {
			if n == first {
				closed = true
			}
			if _, seen := from[n]; in[n] && !seen && n != first {
				from[n] = t
				queue = append(queue, n)
			}
		})
		if closed {
			path := []int32{t}
			for t != first {
				t = from[t]
				path = append(path, t)
			}
			slices.Reverse(path)
			return path
		}
	}
	return []int32{first} // not reached: every node of a group lies on a cycle
}

// members says which nodes take part, and at which place in their list.
type members map[int32]int32 // nil: all nodes take part, each at its own place

// membersOf returns the places of nodes in a list.
func (o *orderer) membersOf(nodes []int32) members {
	if len(nodes) == o.g.Len() {
		return nil
	}
	m := make(members, len(nodes))
	for k, t := range nodes {
		m[t] = int32(k)
	}
	return m
}

func (m members) at(t int32) (int32, bool) {
	if m == nil {
		return t, true
	}
	k, ok := m[t]
	return k, ok
}

// grouping holds groups of nodes in one piece: there can be as many groups as nodes.
type grouping struct {
	nodes []int32
	start []int32 // of each group, and where the last one ends
}

func (g *grouping) len() int { return len(g.start) - 1 }

func (g *grouping) members(i int32) []int32 { return g.nodes[g.start[i]:g.start[i+1]:g.start[i+1]] }

// components splits nodes into groups whose members all need one another, each group after those that it needs
// (R. Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Comput. 1 (1972), without recursion, so that
// a chain of any depth does no harm). It also returns the group of each node.
func (o *orderer) components(nodes []int32, in members) (groups grouping, groupOf []int32) {
	n := len(nodes)
	number := make([]int32, n) // order of discovery from 1; 0 is not seen yet
	low := make([]int32, n)
	groupOf = make([]int32, n)
	for i := range groupOf {
		groupOf[i] = -1
	}
	groups.nodes = make([]int32, 0, n)
	groups.start = make([]int32, 1, n+1)
	var stack []int32 // seen, not yet in a group
	type frame struct{ node, next int32 }
	var work []frame
	count := int32(0)
	enter := func(k int32) {
		count++
		number[k], low[k] = count, count
		stack = append(stack, k)
		work = append(work, frame{k, 0})
	}
	need := func(k, j int32) (int32, bool) { // the j-th need of the k-th node
		t := nodes[k]
		needs := o.g.Needs(t)
		if int(j) < len(needs) {
			return needs[j], true
		}
		goal, ok := o.goal[t]
		return goal, ok && int(j) == len(needs)
	}
	for k := range int32(n) {
		if number[k] != 0 {
			continue
		}
		enter(k)
		for len(work) > 0 {
			f := &work[len(work)-1]
			if t, ok := need(f.node, f.next); ok {
				f.next++
				w, inside := in.at(t)
				switch {
				case !inside:
				case number[w] == 0:
					enter(w)
				case groupOf[w] < 0:
					low[f.node] = min(low[f.node], number[w])
				}
				continue
			}
			v := f.node
			work = work[:len(work)-1]
			if len(work) > 0 {
				p := work[len(work)-1].node
				low[p] = min(low[p], low[v])
			}
			if low[v] != number[v] {
				continue
			}
			for w := int32(-1); w != v; {
				w = stack[len(stack)-1]
				stack = stack[:len(stack)-1]
				groupOf[w] = int32(groups.len())
				groups.nodes = append(groups.nodes, nodes[w])
			}
			groups.start = append(groups.start, int32(len(groups.nodes)))
		}
	}
	return groups, groupOf
}
