package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What makes a page swift is counted, not timed: what is laid out, and what a change writes.

// TestOnlyWhatIsSeenIsLaidOut opens a large page on a phone: what is far from the screen waits until it is there, and a
// link leads to its place all the same, to the end of the page and back.
func TestOnlyWhatIsSeenIsLaidOut(t *testing.T) {
	if testing.Short() {
		t.Skip("it opens a large page")
	}
	t.Parallel()
	p := showPage(t, sheets(t)["marsh-tern"], Options{File: "marsh-tern.gusset"}, phone)
	laidOut := ask[[]int](p, `(() => {
		const all = [...document.querySelectorAll('main td, main dd, main li')];
		return [all.filter((el) => el.checkVisibility({contentVisibilityAuto: true})).length, all.length];
	})()`)
	assert.Greater(t, laidOut[1], 2000)
	assert.Less(t, laidOut[0], laidOut[1]/10)
	astray := ask[[]string](p, `(async () => {
		const astray = [], links = [...document.querySelectorAll('nav a')];
		for (const link of [...links, ...links.reverse()]) {
			link.click();
			for (let i = 0; i < 10; i++) await new Promise(requestAnimationFrame);
			const {top} = document.querySelector(link.hash).getBoundingClientRect();
			if (Math.abs(top - 16) > 2) astray.push(link.hash + ' ' + top);
		}
		return astray;
	})()`)
	assert.Empty(t, astray, "not at the top of the screen, less the page's scroll-padding")
	p.quiet()
}

// TestAChangeWritesWhatIsAnother changes a plan's figure on which much hangs, and takes it back: at once what is on the
// screen is written, then the rest, no value that stays as it is, and nothing where nothing was changed.
func TestAChangeWritesWhatIsAnother(t *testing.T) {
	if testing.Short() {
		t.Skip("it opens a large page")
	}
	t.Parallel()
	p := showPage(t, sheets(t)["marsh-tern"], Options{File: "marsh-tern.gusset"}, phone)
	ask[bool](p, `(async () => {
		await new Promise(requestIdleCallback);
		const lasting = (text) => (text ?? '').replace(/ ?\bmoved\b/, ''); // moved is a mark for a moment
		const html = (el) => lasting(el.outerHTML);
		const values = new Map([...document.querySelectorAll('[data-place]')].map((el) => [el, html(el)]));
		let records = [];
		const observer = new MutationObserver((some) => records.push(...some));
		observer.observe(document, {subtree: true, childList: true, attributeOldValue: true, characterData: true});
		window.written = () => {
			records.push(...observer.takeRecords());
			records = records.filter((r) => r.attributeName !== 'class' || lasting(r.oldValue) !== lasting(r.target.className));
			const elements = new Set(records.map((r) => r.target.closest?.('[data-place]')).filter(Boolean));
			records = [];
			const others = [...values].filter(([el, was]) => html(el) !== was).map(([el]) => el);
			for (const el of others) values.set(el, html(el));
			return [elements.size, others.length, [...elements].filter((el) => !others.includes(el)).length];
		};
		window.field = document.querySelector('[aria-label^="rib_depth"]');
		return true;
	})()`)
	counts := func(script string) (written, others, needless int) {
		n := ask[[]int](p, "(async () => { "+script+"; await new Promise(requestIdleCallback); return written(); })()")
		return n[0], n[1], n[2]
	}
	rest, others, needless := counts("field.focus(); field.value = '2-1/16'; field.blur(); window.first = written()")
	first := ask[[]int](p, "window.first")
	assert.Greater(t, first[0], 0)
	assert.Greater(t, rest, 5*first[0])
	assert.Equal(t, []int{first[0], 0, rest, 0}, []int{first[1], first[2], others, needless})
	_, again, needless := counts("document.getElementById('undo-all').click()")
	assert.InDelta(t, first[0]+rest, again, 5)
	assert.Zero(t, needless)
	written, others, _ := counts("field.focus(); field.blur()")
	assert.Equal(t, []int{0, 0}, []int{written, others})
	p.quiet()
}
