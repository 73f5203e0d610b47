package page

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The page works in a browser, so it is tested in one: Debian's Chromium, started once for all tests.

// browser is the one that runs; stop ends it, when the last test has been run.
var browser = struct {
	once sync.Once
	ctx  context.Context
	stop func()
	err  error
}{stop: func() {}}

func TestMain(m *testing.M) {
	code := m.Run()
	browser.stop()
	os.Exit(code)
}

// start starts the browser. The test is skipped where there is none, and under -short; in the gate it fails.
func start(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("NOT tried under -short: what a browser works out and shows")
	}
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil && path == "" {
			path = found
		}
	}
	if path == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("there is no Chromium: apt-get install chromium")
		}
		t.Skip("there is no Chromium to try the page in")
	}
	browser.once.Do(func() {
		options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
			chromedp.Flag("disable-dev-shm-usage", true))
		all, stopAll := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, stop := chromedp.NewContext(all)
		browser.ctx, browser.stop = ctx, func() { stop(); stopAll() }
		_, browser.err = chromedp.Run(ctx, chromedp.Navigate("about:blank"))
	})
	require.NoError(t, browser.err)
}

// tab opens a tab of the browser for one test.
func tab(t *testing.T) context.Context {
	t.Helper()
	start(t)
	ctx, closeTab := chromedp.NewContext(browser.ctx)
	t.Cleanup(closeTab)
	_, err := chromedp.Run(ctx, chromedp.Navigate("about:blank"))
	require.NoError(t, err)
	return ctx
}

// bench is the tab in which scripts are tried without a page.
var bench context.Context

// emptyTab returns the tab in which scripts are tried, emptied. Tests that use it do not run side by side.
func emptyTab(t *testing.T) context.Context {
	t.Helper()
	if bench == nil {
		start(t)
		bench, _ = chromedp.NewContext(browser.ctx) // it ends with the browser
	}
	_, err := chromedp.Run(bench, chromedp.Navigate("about:blank"))
	require.NoError(t, err)
	return bench
}

// run runs a script in the page.
func run(t *testing.T, ctx context.Context, script string) {
	t.Helper()
	_, err := chromedp.Run(ctx, chromedp.Evaluate[bool](script+";\ntrue"))
	require.NoError(t, err)
}

// call calls a function of the page, which is an expression in JavaScript, with arguments, and reads what it returns
// into result unless that is nil. Both go as JSON.
func call(t *testing.T, ctx context.Context, result any, function string, args ...any) {
	t.Helper()
	written, err := json.Marshal(append([]any{}, args...))
	require.NoError(t, err)
	given, err := json.Marshal(string(written))
	require.NoError(t, err)
	script := fmt.Sprintf("JSON.stringify((%s)(...JSON.parse(%s)) ?? null)", function, given)
	returned, err := chromedp.Run(ctx, chromedp.Evaluate[string](script))
	require.NoError(t, err)
	if result != nil {
		require.NoError(t, json.Unmarshal([]byte(returned), result))
	}
}
