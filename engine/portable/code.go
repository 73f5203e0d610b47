package portable

import (
	"slices"

	"gusset/engine/explain"
	"gusset/engine/machine"
	"gusset/engine/program"
)

// roleNames are the roles of operands by name.
var roleNames = [...]string{
	machine.Unused: "", machine.Read: "read", machine.Written: "written", machine.Column: "column",
	machine.ColumnPlace: "place", machine.Range: "range", machine.Length: "length", machine.Table: "table",
	machine.Function: "function", machine.FoldNumber: "fold", machine.SearchNumber: "search",
}

// foldKindNames are the kinds of folds by name.
var foldKindNames = [...]string{
	machine.Sum: "sum", machine.Count: "count", machine.Mean: "mean", machine.Median: "median", machine.Least: "min",
	machine.Greatest: "max", machine.All: "all", machine.Any: "any", machine.None: "none", machine.Only: "one",
	machine.First: "first", machine.Last: "last", machine.Interpolate: "interpolate",
	machine.OutlineArea: "outline_area", machine.OutlineLength: "outline_length", machine.OutlineX: "outline_x",
	machine.OutlineY: "outline_y", machine.OutlineMomentX: "outline_moment_x",
	machine.OutlineMomentY: "outline_moment_y", machine.AreaUnder: "area_under",
}

// A role or a kind without a name, or one too many, does not compile.
var (
	_ = [1]struct{}{}[int(machine.Roles)-len(roleNames)]
	_ = [1]struct{}{}[int(machine.FoldKinds)-len(foldKindNames)]
)

// ops returns the instructions that plain code has. The others keep their numbers, without a name.
func ops() []Op {
	list := make([]Op, machine.Ops)
	for op := range machine.Ops {
		s := op.Shape()
		if s.Plain != nil {
			list[op].Roles = [4]string{}
			continue
		}
		list[op] = Op{s.Name, [4]string{roleNames[s.D], roleNames[s.A], roleNames[s.B], roleNames[s.C]}}
	}
	return list
}

// functions returns the names of the machine's functions.
func functions() []string {
	var names []string
	for f := machine.Func(0); program.FunctionOf(f) != nil; f++ {
		names = append(names, program.FunctionOf(f).Name)
	}
	return names
}

// instructions lays out the code of the steps that are kept, and returns how much a run of it takes.
func (b *builder) instructions() (takes float64) {
	for i, step := range b.steps {
		thing, code, left := b.st.Plan.Steps[step].Thing, b.st.StepCode(step), b.st.Cutting(b.steps[i:i+1])
		if of, spread := b.st.Spreads[thing]; spread { // what it depends on is said by an instruction that is not run
			code, left = []machine.Instr{{Op: machine.Move, D: thing, A: of}}, []int32{thing}
		}
		if len(code) == 0 {
			continue
		}
		if left == nil {
			takes += b.st.Work(b.steps[i : i+1])
		}
		for _, s := range left { // which only this program finds out
			b.cut(s)
		}
		next := b.likeAnother(step, b.plain(code))
		if n := len(b.p.Steps) - 1; n >= 0 && next[0] < 0 {
			if last := b.p.Steps[n]; last[0] == next[0] && last[1]+last[2] == next[1] {
				last[2]++
				continue
			}
		}
		b.p.Steps = append(b.p.Steps, next)
	}
	return takes
}

// template is a step of a worked column, to which those of other rows are held.
type template struct {
	step, row int32
	code      []int32
}

// likeAnother returns the code of a step as another step and a number of rows, as Steps has them, where it differs from
// that in nothing but the row: most entries of worked columns do.
func (b *builder) likeAnother(step int32, code []int32) []int32 {
	s := b.st.Plan.Steps[step]
	if s.Loop >= 0 || int(s.Thing) >= len(b.st.Slots) || !b.st.Slots[s.Thing].Entry {
		return code
	}
	sl, here := b.st.Slots[s.Thing], int32(len(b.p.Steps))
	t, known := b.templates[sl.Owner]
	if !known {
		b.templates[sl.Owner] = template{here, sl.Row, code}
		return code
	}
	by := sl.Row - t.row
	if len(code) != len(t.code) || by == 0 {
		return code
	}
	var shifts []int32
	for i, x := range code {
		switch x {
		case t.code[i]:
		case t.code[i] + by:
			shifts = append(shifts, int32(i))
		default:
			return code
		}
	}
	if before, set := b.p.Shifts[t.step]; set && !slices.Equal(before, shifts) {
		return code
	}
	b.p.Shifts[t.step] = shifts
	return []int32{-1 - t.step, by, 1}
}

// plain takes code apart into plain instructions, and lays out the folds and searches that it names.
func (b *builder) plain(code []machine.Instr) []int32 {
	list := []int32{}
	for _, in := range code {
		for _, plain := range in.Plain(b.p.Registers - 1) {
			b.code++
			list = append(list, int32(plain.Op), plain.D, plain.A, plain.B, plain.C)
			for _, o := range plain.Operands() {
				switch o.Role {
				case machine.Read:
					b.reads[*o.Value] = true
				case machine.Written:
					b.written[*o.Value] = true
				case machine.FoldNumber:
					b.fold(*o.Value)
				case machine.SearchNumber:
					b.search(*o.Value)
				case machine.Table:
					b.keysOf(*o.Value)
				}
			}
		}
	}
	return list
}

func (b *builder) fold(n int32) {
	if _, done := b.p.Folds[n]; done {
		return
	}
	f := b.mach.Folds[n]
	d := Fold{Kind: int32(f.Kind), Rows: f.Rows, Keep: b.plain(f.Keep), Each: b.plain(f.Each)}
	unless := func(unused bool, reg int32) int32 {
		if unused {
			return -1
		}
		return reg
	}
	between := f.Kind == machine.Interpolate
	d.Regs = [4]int32{
		unless(len(f.Keep) == 0, f.KeepReg), unless(f.Cut != nil, f.EachReg),
		unless(!between && !f.Kind.OfPoints(), f.OtherReg), unless(!between, f.AtReg),
	}
	if f.Cut != nil {
		d.Cut = f.Cut[:]
	}
	for _, reg := range slices.Concat(d.Regs[:], d.Cut) {
		b.reads[reg] = true
	}
	b.p.Folds[n] = d
}

func (b *builder) search(n int32) {
	f, adjust := b.mach.Searches[n], b.st.Searches[n].Adjust
	b.p.Searches[n] = Search{
		Unknown: f.Unknown, Goal: f.Goal, Lo: f.Lo, Hi: f.Hi, Left: adjust.Left, Right: adjust.Right,
		First: f.Degree.FirstDegree(), Fractional: f.Degree == machine.Fractional, Body: b.plain(f.Body),
	}
}

// keysOf lays out which row of a table is called what.
func (b *builder) keysOf(table int32) {
	if _, done := b.p.Keys[table]; done {
		return
	}
	keys := []int32{}
	for row, name := range b.st.Tables[table].RowName {
		if at, ok := b.st.Tables[table].ByName[name]; ok && at == int32(row) {
			keys = append(keys, name, at)
			b.texts[name] = true
		}
	}
	b.p.Keys[table] = keys
}

// cut enters what a slot has come to that this program alone can compute.
func (b *builder) cut(s int32) {
	if !program.IsSlot(b.st.Program, s) {
		return
	}
	c := Cut{Reads: slices.DeleteFunc(explain.ReadBy(b.e, s), func(r int32) bool { return !b.kept[r] })}
	slices.Sort(c.Reads)
	c.Reads = append([]int32{}, slices.Compact(c.Reads)...)
	if v := b.st.Mach.Regs[s]; program.IsNumber(v) {
		c.Value = &v
		if b.st.SlotType(s).Kind == program.Text {
			b.text(v)
		}
	} else {
		c.Missing, c.Fault = explain.CauseOf(b.e, s)
	}
	b.p.Cuts[s] = c
}
