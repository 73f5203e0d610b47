package machine

// Chain replaces each operation of which operand A is what the instruction before writes by the one that takes it from
// there, without a way through memory, which would take longer than the arithmetic; operands that can change places do
// so for it. That changes nothing but the time that code takes. It holds for any piece of the code too, but code that
// is put together from pieces has to be chained anew.
func Chain(code []Instr) {
	for i := range code {
		in := &code[i]
		if of := in.Op.Shape().Then; of != 0 {
			in.Op = of
		}
		s := in.Op.Shape()
		if i == 0 || s.Chained == 0 || code[i-1].Op.Shape().D != Written {
			continue
		}
		before := code[i-1].D
		if s.Commutes && in.B == before {
			in.A, in.B = in.B, in.A
		}
		if in.A == before {
			in.Op = s.Chained
		}
	}
}
