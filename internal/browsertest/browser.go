// Package browsertest drives a browser in tests: Chromium, without a window.
package browsertest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Variable is the environment variable that says "required" where the tests with
// a browser are to be run, and fail for want of one; else they are skipped, for
// they take a minute or two.
const Variable = "EVENFALL_BROWSER"

// limit is how long a test may take with its browser.
const limit = 4 * time.Minute

// find returns the browser's program.
func find(t testing.TB) string {
	if os.Getenv(Variable) != "required" {
		t.Skipf("needs chromium: %s=required runs it", Variable)
	}
	for _, name := range [...]string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatalf("%s=required, and there is no chromium", Variable)
	return ""
}

// Browser is a browser in which pages are opened.
type Browser struct{ ctx context.Context }

// Start starts a browser for as long as the test lasts. Without one the test is
// skipped, or fails where a browser is required.
func Start(t testing.TB) *Browser {
	path := find(t)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
		chromedp.Flag("hide-scrollbars", false))
	timed, stop := context.WithTimeout(context.Background(), limit)
	allocator, cancelAllocator := chromedp.NewExecAllocator(timed, options...)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(func() { cancel(); cancelAllocator(); stop() })
	require.NoError(t, chromedp.Do(ctx), "the browser starts")
	return &Browser{ctx}
}

// View is how a page is shown.
type View struct {
	Width, Height int // CSS pixels
	Dark, Print   bool
	Scale         float64 // device pixels to a CSS pixel; 0 is 1
	NoScripts     bool
}

// Tab is an opened page.
type Tab struct {
	ctx context.Context

	mu       sync.Mutex
	messages []string
	requests []string
}

// Open opens an address and waits until it is loaded. The tab is closed with
// the test.
func (b *Browser) Open(t testing.TB, address string, v View) *Tab {
	ctx, cancel := chromedp.NewContext(b.ctx)
	t.Cleanup(cancel)
	tab := &Tab{ctx: ctx}
	require.NoError(t, chromedp.Listen(ctx, tab.listen))
	call(t, ctx, runtime.Enable, cdp.Empty{})
	call(t, ctx, log.Enable, cdp.Empty{})
	call(t, ctx, network.Enable, network.EnableParams{})
	// A tab that has not come to the front yet would see no field get the focus.
	call(t, ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	tab.Show(t, v)
	tab.Do(t, chromedp.Navigate(address))
	return tab
}

// Show shows the page in another view. Scripts go by it only from the next page
// on.
func (tab *Tab) Show(t testing.TB, v View) {
	call(t, tab.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: v.NoScripts})
	call(t, tab.ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: int64(v.Width), Height: int64(v.Height), DeviceScaleFactor: max(v.Scale, 1), Mobile: v.Width < widestPhone,
	})
	scheme := "light"
	if v.Dark {
		scheme = "dark"
	}
	media := ""
	if v.Print {
		media = "print"
	}
	call(t, tab.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media:    media,
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
}

// widestPhone is below which width a page is shown as on a phone.
const widestPhone = 600

// call sends the browser a command.
func call[P, R any](t testing.TB, ctx context.Context, command cdp.Command[P, R], with P) R {
	result, err := chromedp.Call(ctx, command, with)
	require.NoError(t, err, command.Method)
	return result
}

// OpenFile writes a page to a file and opens that.
func (b *Browser) OpenFile(t testing.TB, page []byte, v View) *Tab {
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, page, 0o600))
	return b.Open(t, "file://"+filepath.ToSlash(file), v)
}

// listen notes what the page says and asks for.
func (tab *Tab) listen(event any) {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		text := string(e.Type) + ":"
		for _, a := range e.Args {
			text += fmt.Sprintf(" %s", a.Value)
		}
		tab.messages = append(tab.messages, text)
	case *runtime.EventExceptionThrown:
		tab.messages = append(tab.messages, "exception: "+e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		tab.messages = append(tab.messages, string(e.Entry.Level)+": "+e.Entry.Text)
	case *network.EventRequestWillBeSent:
		tab.requests = append(tab.requests, e.Request.URL)
	}
}

// Messages are what has been written to the page's console, errors and the
// browser's own remarks among it.
func (tab *Tab) Messages() []string {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	return append([]string{}, tab.messages...)
}

// Requests are the addresses that the page has asked for, its own first.
func (tab *Tab) Requests() []string {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	return append([]string{}, tab.requests...)
}

// Evaluate evaluates an expression in the page, whatever its own policy says,
// and decodes the result.
func Evaluate[T any](t testing.TB, tab *Tab, expression string) T {
	result, err := chromedp.Run(tab.ctx, chromedp.Evaluate[T](expression))
	require.NoError(t, err, expression)
	return result
}

// Await evaluates an expression that is a promise, and decodes what it becomes.
func Await[T any](t testing.TB, tab *Tab, expression string) T {
	result, err := chromedp.Run(tab.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(t, err, expression)
	return result
}

// Do runs actions in the page.
func (tab *Tab) Do(t testing.TB, actions ...chromedp.Action[chromedp.Void]) {
	require.NoError(t, chromedp.Do(tab.ctx, actions...))
}

// ContentWidth returns how wide the page's content is, in CSS pixels, scripts
// or none.
func (tab *Tab) ContentWidth(t testing.TB) float64 {
	return call(t, tab.ctx, page.GetLayoutMetrics, cdp.Empty{}).CSSContentSize.Width
}

// PDF prints the page as its own stylesheet says.
func (tab *Tab) PDF(t testing.TB) []byte {
	prefer := true
	return call(t, tab.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &prefer}).Data
}

// Screenshot is a picture of the whole page, as PNG.
func (tab *Tab) Screenshot(t testing.TB) []byte {
	png, err := chromedp.Run(tab.ctx, chromedp.FullScreenshot(100))
	require.NoError(t, err)
	return png
}
