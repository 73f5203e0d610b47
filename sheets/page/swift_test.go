package page

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/animation"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// What makes a page swift is counted, not timed: what is laid out, and what a change writes.

// TestWhatIsSeenIsLaidOutFirst opens a large page on a phone: what is far from the screen waits until what is near is
// shown; then all of it is there for those who listen to the page too, and links lead to their places.
func TestWhatIsSeenIsLaidOutFirst(t *testing.T) {
	t.Parallel()
	p := showPage(t, sheets(t)["marsh-tern"], Options{File: "marsh-tern.gusset"}, phone)
	const count = `(() => {
		const all = [...document.querySelectorAll('main :is(td, dd, li)')];
		return [all.filter((el) => el.checkVisibility({contentVisibilityAuto: true})).length, all.length];
	})()`
	p.timeline(0)
	p.do(chromedp.Reload())
	p.until("document.querySelector('.field') !== null && (" + count + ")[0] > 0") // which a browser finds as it paints
	first := ask[[]int](p, count)
	assert.Greater(t, first[1], 2000)
	assert.Less(t, first[0], first[1]/10)
	p.timeline(1)
	p.until("(" + count + ").every((n) => n > 2000)")
	heard := p.headings()
	assert.Greater(t, heard, 50)
	const headings = "[...document.querySelectorAll('h1, h2, h3, h4')].filter((h) => h.checkVisibility()).length"
	assert.Equal(t, ask[int](p, headings), heard)
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

// timeline lets the time of animations go by at some rate.
func (p *shownPage) timeline(rate float64) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		if _, err := cdp.Call(ctx, tab, animation.Enable, cdp.Empty{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, tab, animation.SetPlaybackRate, animation.SetPlaybackRateParams{PlaybackRate: rate})
		return err
	}))
}

// headings returns how many headings the page has for those who listen to it.
func (p *shownPage) headings() (n int) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		tree, err := cdp.Call(ctx, tab, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
		if err != nil {
			return err
		}
		for _, node := range tree.Nodes {
			if !node.Ignored && node.Role != nil && string(node.Role.Value) == `"heading"` {
				n++
			}
		}
		return nil
	}))
	return n
}

// TestAChangeWritesWhatIsAnother changes a plan's figure on which much hangs, and takes it back: at once what is on the
// screen is written, then the rest, no value that stays as it is, and nothing where nothing was changed.
func TestAChangeWritesWhatIsAnother(t *testing.T) {
	t.Parallel()
	p := showPage(t, sheets(t)["marsh-tern"], Options{File: "marsh-tern.gusset"}, phone)
	ask[bool](p, `(async () => {
		let records = [];
		const observer = new MutationObserver((some) => records.push(...some));
		observer.observe(document, {subtree: true, childList: true, attributeOldValue: true, characterData: true});
		window.settled = async () => { // nothing more is written for a while
			for (let n = -1; n !== records.length;) {
				n = records.length;
				await new Promise((done) => setTimeout(done, 300));
			}
		};
		await settled();
		records = [];
		const lasting = (text) => (text ?? '').replace(/ ?\bmoved\b/, ''); // moved is a mark for a moment
		const html = (el) => lasting(el.outerHTML);
		const values = new Map([...document.querySelectorAll('[data-place]')].map((el) => [el, html(el)]));
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
		n := ask[[]int](p, "(async () => { "+script+"; await settled(); return written(); })()")
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
