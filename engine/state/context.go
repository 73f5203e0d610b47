package state

import (
	"context"
	"sync/atomic"
)

// ForkContext is Fork for a state of which every change stops when ctx is done, and is taken back. What this one stops
// with does not bear on it.
func (st *State) ForkContext(ctx context.Context) *State {
	s := st.Fork()
	s.ctx, s.stop = nil, nil
	s.within(ctx)
	return s
}

// within makes changes stop when ctx is done, until done is called.
func (st *State) within(ctx context.Context) (done func()) {
	if ctx.Done() == nil {
		return func() {}
	}
	stop := new(atomic.Bool)
	release := context.AfterFunc(ctx, func() { stop.Store(true) })
	st.ctx, st.stop = ctx, stop
	return func() {
		release()
		st.ctx, st.stop = nil, nil
	}
}

// stopped reports whether the change under way is to stop. It will be taken back, and what is worked out is of no use.
func stopped(st *State) bool { return st.Mach.Stop != nil && st.Mach.Stop.Load() }

// attempt makes a change, and takes it back when the context has been done before the change was. The machine stops
// only meanwhile: what is read afterwards is worked out to its end, whether the context is done or not.
func (st *State) attempt(change func()) error {
	if st.ctx == nil {
		change()
		return nil
	}
	if err := st.ctx.Err(); err != nil {
		return err
	}
	before := st.Fork()
	st.Mach.Stop = st.stop
	defer func() { st.Mach.Stop = nil }()
	change()
	err := st.ctx.Err()
	if err != nil {
		st.InUse, st.overrides, st.found = before.InUse, before.overrides, before.found
		st.Texts, st.texts = before.Texts, before.texts
		st.Adopt(before.Code)
		copy(st.Mach.Regs, before.Mach.Regs)
		st.changed()
	}
	return err
}
