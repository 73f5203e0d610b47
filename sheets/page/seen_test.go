package page

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// Pages as a browser shows them.

// The widths at which pages are looked at: a small phone's and a desk's.
const (
	phone = 360
	desk  = 1300
)

// shownPage is a page that a browser shows.
type shownPage struct {
	t   *testing.T
	ctx context.Context

	mu   sync.Mutex
	said []string // what the browser has complained of, and the page has written to the console
}

// showPage writes the page of a model and opens it in a tab, from a file as a reader does.
func showPage(t *testing.T, m *engine.Model, o Options, wide int64) *shownPage {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, []byte(written(t, m, o)), 0o644))
	return openPage(t, "file://"+file, wide)
}

// openPage opens a page in a tab.
func openPage(t *testing.T, address string, wide int64) *shownPage {
	t.Helper()
	p := &shownPage{t: t, ctx: tab(t)}
	require.NoError(t, chromedp.Listen(p.ctx, func(event any) {
		p.mu.Lock()
		defer p.mu.Unlock()
		switch e := event.(type) {
		case *runtime.EventConsoleAPICalled:
			p.said = append(p.said, "console: "+string(e.Type))
		case *runtime.EventExceptionThrown:
			p.said = append(p.said, "exception: "+e.ExceptionDetails.Text)
		case *log.EventEntryAdded:
			p.said = append(p.said, "log: "+e.Entry.Text)
		}
	}))
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		if _, err := cdp.Call(ctx, tab, log.Enable, cdp.Empty{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, tab, runtime.Enable, cdp.Empty{})
		return err
	}))
	p.do(chromedp.EmulateViewport(wide, 780))
	p.do(chromedp.Navigate(address))
	p.until("!document.getElementById('printing').hidden") // its script has begun
	return p
}

func (p *shownPage) do(step chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	require.NoError(p.t, chromedp.Do(p.ctx, step))
}

// until waits until an expression in JavaScript is true.
func (p *shownPage) until(expression string) {
	p.t.Helper()
	_, err := chromedp.Run(p.ctx, chromedp.Poll[bool](expression))
	require.NoError(p.t, err, expression)
}

// ask returns what a script comes to, as JSON has it.
func ask[T any](p *shownPage, script string) T {
	p.t.Helper()
	got, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	require.NoError(p.t, err, script)
	return got
}

// quiet asks that the browser has not complained of anything.
func (p *shownPage) quiet() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	assert.Empty(p.t, p.said)
}

// small loads the sheet of the golden page.
func small(t *testing.T) *engine.Model {
	sheet, err := os.ReadFile("testdata/small.gusset")
	require.NoError(t, err)
	return load(t, string(sheet))
}

// TestPages opens the page of each demo and starter and looks at it on a phone, on a desk and on paper: nothing is
// complained of, nothing but tables is wider than the screen, nothing is cut, and all words are on the paper.
func TestPages(t *testing.T) {
	all := sheets(t)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := showPage(t, all[name], Options{File: name + ".gusset"}, phone)
			for _, wide := range []int64{phone, desk} {
				p.do(chromedp.EmulateViewport(wide, 780))
				assert.LessOrEqual(t, ask[int64](p, layOutAll+"document.documentElement.scrollWidth"), wide)
			}
			p.nothingIsCutOnPaper()
			if name == "marsh-tern" {
				p.isOnPaper("Letter")
				p.isOnPaper("A4", wholeTable(t, all[name], "cut")...)
			} else {
				p.isOnPaper(paperOf(name))
			}
			p.quiet()
		})
	}
}

// layOutAll lays out what is not on the screen too, which otherwise waits until it is there.
const layOutAll = `document.styleSheets[0].insertRule('main * { content-visibility: visible !important }',
	document.styleSheets[0].cssRules.length);`

// setBattery changes a weighed figure in a table as somebody does: a tap on it, the figure, the enter key.
const setBattery = `(() => {
	const entry = [...document.querySelectorAll('#content td.g')].find(
		(td) => td.parentNode.cells[0].textContent === 'battery' && td.cellIndex === 2);
	entry.click();
	const field = entry.querySelector('.field');
	field.value = '%s';
	field.dispatchEvent(new FocusEvent('blur'));
	return entry.querySelector('.refused')?.textContent ?? '';
})()`

// TestChangeOnAPhone finds the battery's weight on a phone, changes it, sees the balance move, asks why, and takes it
// back.
func TestChangeOnAPhone(t *testing.T) {
	p := showPage(t, small(t), Options{File: "small.gusset"}, phone)
	chief := func() string { return ask[string](p, "document.querySelector('.chief').innerText") }
	before := chief()
	assert.Contains(t, before, "6.6 oz")
	assert.True(t, ask[bool](p, "document.getElementById('changes').hidden"))

	assert.Empty(t, ask[string](p, strings.Replace(setBattery, "%s", "3.1", 1)))
	assert.Contains(t, chief(), "7.1 oz", "2.1 + 1.9 + 3.1")
	moved := ask[string](p, "document.getElementById('changes').innerText")
	assert.Contains(t, moved, "Changed here: 1")
	assert.Contains(t, moved, "all_up 7.1 oz, was 6.6 oz")
	assert.Contains(t, moved, `parts["battery"].weighed`)

	// what cannot be is refused beside the field, and changes nothing
	assert.NotEmpty(t, ask[string](p, strings.Replace(setBattery, "%s", "3 furlongs", 1)))
	assert.Contains(t, chief(), "7.1 oz")

	// why, from number to number and back
	ask[bool](p, "document.querySelector('.chief .v').click(), true")
	assert.Contains(t, ask[string](p, "document.getElementById('why').innerText"), "= sum(parts.weight)")
	ask[bool](p, "document.querySelector('#why button:last-child').click(), true")

	ask[bool](p, "document.getElementById('undo-all').click(), true")
	assert.Equal(t, before, chief())
	assert.True(t, ask[bool](p, "document.getElementById('changes').hidden"))
	p.quiet()
}

// TestChecksMove changes a given value so that a check that fails holds: it goes to those that hold, and the guess is
// none any more.
func TestChecksMove(t *testing.T) {
	p := showPage(t, small(t), Options{File: "small.gusset"}, phone)
	group := func(state string) string {
		return ask[string](p, `document.querySelector('[data-group="`+state+`"]').textContent`)
	}
	assert.Contains(t, group("fails"), "fits")
	assert.Contains(t, ask[string](p, "document.getElementById('guesses').textContent"), "Guesses left: 1")
	ask[bool](p, `(() => {
		const field = document.querySelector('[aria-label^="span"]');
		field.value = '20';
		field.dispatchEvent(new FocusEvent('blur'));
		return true;
	})()`)
	assert.Contains(t, group("holds"), "fits")
	assert.True(t, ask[bool](p, `document.querySelector('[data-group="fails"]').hidden`))
	assert.Contains(t, ask[string](p, "document.getElementById('guesses').textContent"), "Guesses left: 0")
	p.quiet()
}

// TestKeptOnlyWhenWanted keeps nothing on the device until the reader wants it, and then brings it back.
func TestKeptOnlyWhenWanted(t *testing.T) {
	p := showPage(t, small(t), Options{File: "small.gusset"}, desk)
	ask[bool](p, "localStorage.clear(), true")
	ask[string](p, strings.Replace(setBattery, "%s", "3.1", 1))
	assert.Zero(t, ask[int](p, "localStorage.length"))
	ask[bool](p, "document.getElementById('keep').click(), document.querySelector('.ticks input').click(), true")
	assert.Equal(t, 1, ask[int](p, "localStorage.length"))
	p.do(chromedp.Reload())
	p.until("!document.getElementById('changes').hidden")
	assert.Contains(t, ask[string](p, "document.querySelector('.chief').innerText"), "7.1 oz")
	assert.True(t, ask[bool](p, "document.querySelector('.ticks input').checked"))
	ask[bool](p, "document.getElementById('keep').click(), true")
	assert.Zero(t, ask[int](p, "localStorage.length"))
	p.quiet()
}

// TestHostileSheetDoesNoHarm opens a sheet full of HTML and scripts, and changes it.
func TestHostileSheetDoesNoHarm(t *testing.T) {
	m := load(t, hostile())
	p := showPage(t, m, Options{File: evil, Variants: []string{m.Variants()[0].Name}}, phone)
	ask[bool](p, `(() => {
		for (const el of document.querySelectorAll('[data-place]')) el.click();
		document.getElementById('why').close();
		const field = document.querySelector('[aria-label^="a,"]');
		field.value = '5';
		field.dispatchEvent(new FocusEvent('blur'));
		return true;
	})()`)
	assert.NotEqual(t, "harm", ask[string](p, "document.title"))
	assert.Zero(t, ask[int](p, "document.querySelectorAll('img').length"))
	assert.Equal(t, 2, ask[int](p, "document.scripts.length"), "the data and the script")
	assert.False(t, ask[bool](p, "document.getElementById('changes').hidden"))
	p.quiet()
}

// TestAccessible asks axe-core, a general checker of accessibility (WCAG 2.1), about a page in light and in dark, as it
// is opened and with something changed and explained. AXE is where its script is; the gate fetches it.
func TestAccessible(t *testing.T) {
	file := os.Getenv("AXE")
	if file == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("AXE does not say where axe.min.js of the npm package axe-core is")
		}
		t.Skip("AXE does not say where axe.min.js of the npm package axe-core is")
	}
	axe, err := os.ReadFile(file)
	require.NoError(t, err)
	sheetsOf := map[string]*engine.Model{"small": small(t), "marsh-tern": sheets(t)["marsh-tern"]}
	for name, m := range sheetsOf {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := showPage(t, m, Options{File: name + ".gusset", Variants: []string{m.Variants()[0].Name}}, desk)
			p.do(media("", "light"))
			ask[bool](p, string(axe)+";true")
			p.accessible("as it opens on a desk")
			p.do(chromedp.EmulateViewport(phone, 780))
			p.accessible("as it opens on a phone")
			ask[bool](p, `(() => {
				for (const d of document.querySelectorAll('details')) d.open = true;
				document.querySelector('#content td.g').click();
				const field = document.querySelector('.cells .g input.field');
				field.value = '3 furlongs';
				field.dispatchEvent(new FocusEvent('blur'));
				return true;
			})()`)
			p.accessible("with a field refused")
			p.do(media("", "dark"))
			p.accessible("in the dark", "color-contrast") // nothing but the colours is another
			ask[bool](p, "document.querySelector('.chief .v').click(), true")
			p.accessible("with a number explained, in the dark", "color-contrast")
			p.do(media("", "light"))
			p.accessible("with a number explained")
		})
	}
}

// media asks the page for what it is on paper, for its light or its dark colours, or for both.
func media(medium, scheme string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		asked := emulation.SetEmulatedMediaParams{Media: medium}
		if scheme != "" {
			asked.Features = []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}
		}
		_, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, asked)
		return err
	})
}

// accessible asks axe-core, which is in the page already, and fails for what it finds serious: by some of its rules, or
// by all where none are named.
func (p *shownPage) accessible(when string, rules ...string) {
	p.t.Helper()
	only := "{}"
	if len(rules) > 0 {
		only = fmt.Sprintf("{runOnly: ['%s']}", strings.Join(rules, "', '"))
	}
	found := ask[[]string](p, `axe.run(document, {resultTypes: ['violations'], ...`+only+`}).then((r) => r.violations
		.filter((v) => v.impact === 'serious' || v.impact === 'critical')
		.map((v) => v.id + ': ' + v.help + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + ' ' +
			(n.any[0]?.message ?? '')).join(' | ')))`)
	assert.Empty(p.t, found, when)
}

// TestSpreadOnThePage: a curve behind which a ± is has a band, a chief result says how far off it may be, and that is
// struck through once something is changed.
func TestSpreadOnThePage(t *testing.T) {
	m := load(t, `page At a glance
  far [in] = 2 * near
page Reach
  near [in] : 10 ± 1 normal
  table steps
    n from 1 to 3 step 1
    at [in] = near * n
  chart "Reach" steps: at against n
  check sure = spread(far) <= 3 [in]
`)
	p := showPage(t, m, Options{File: "reach.gusset"}, phone)
	assert.Equal(t, "± 2 in to first order", ask[string](p, "document.querySelector('.spread').textContent"))
	// 10 ± 1, 20 ± 2 and 30 ± 3, on one axis: the band is three times as high at its end as at its beginning
	heights := ask[[]float64](p, `(() => {
		const ys = document.querySelector('.band').getAttribute('points').split(' ').map((at) => Number(at.split(',')[1]));
		return [ys[5] - ys[0], ys[4] - ys[1], ys[3] - ys[2]];
	})()`)
	assert.InDelta(t, 2, heights[1]/heights[0], 0.01)
	assert.InDelta(t, 3, heights[2]/heights[0], 0.01)
	assert.Contains(t, ask[string](p, "document.querySelector('figure').textContent"),
		"The band holds 95 of 100 builds, to first order.")
	ask[bool](p, `(() => {
		const field = document.querySelector('[aria-label^="near"]');
		field.value = '11 ± 1';
		field.dispatchEvent(new FocusEvent('blur'));
		return true;
	})()`)
	assert.True(t, ask[bool](p, "document.querySelector('.spread').classList.contains('stale')"))
	assert.Equal(t, "sure", ask[string](p, "document.querySelector('.chips .stale a').textContent"), "at the head too")
	ask[bool](p, "document.getElementById('undo-all').click(), true")
	assert.False(t, ask[bool](p, "document.querySelector('.spread').classList.contains('stale')"))
	assert.True(t, ask[bool](p, "document.querySelector('.chips .stale') === null"))
	p.quiet()
}
