package cli

import (
	"bufio"
	"context"
	"fmt"
	"image/png"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"evenfall/internal/browsertest"
	"evenfall/internal/engine"
	"evenfall/internal/page"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// siteOf writes a site into a folder of its own.
func siteOf(t testing.TB, folder string, args ...string) {
	code, out, errs := withEngine(t, append([]string{"sheet", "--site", folder}, args...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Empty(t, out)
	assert.Contains(t, errs, "5 files")
}

// host serves a folder at an address of this machine, a port of 0 being any that
// is free, and returns the address and how to stop it.
func host(t testing.TB, folder, address string) (at string, stop func()) {
	listener, err := net.Listen("tcp", address)
	require.NoError(t, err)
	server := &http.Server{Handler: http.FileServer(http.Dir(folder)), ReadHeaderTimeout: time.Minute}
	go server.Serve(listener)
	stop = func() { server.Close() }
	t.Cleanup(stop)
	return listener.Addr().String(), stop
}

const title = `document.querySelector("h1").textContent`

// A site opens with no network after one visit and plans again; a later edition
// of it takes its place.
func TestSite(t *testing.T) {
	b := browsertest.Start(t)
	folder := filepath.Join(t.TempDir(), "site")
	siteOf(t, folder, "--date", "2027-09-18")
	at, stop := host(t, folder, "127.0.0.1:0")
	tab := b.Open(t, "http://"+at+"/", phone)
	kept := `(async () => {
		const r = await navigator.serviceWorker.ready;
		const rests = () => navigator.serviceWorker.controller && !r.installing && !r.waiting;
		while (!rests()) await new Promise((done) => setTimeout(done, 10));
		return (await caches.keys()).length;
	})()`
	assert.Equal(t, 1, browsertest.Await[int](t, tab, kept))
	stop()

	tab = b.Open(t, "http://"+at+"/", phone)
	assert.Contains(t, browsertest.Evaluate[string](t, tab, title), "18 September 2027")
	p := &pocket{tab, []string{"--date", "2027-09-18"}}
	browsertest.Await[string](t, tab, ready)
	distance := engine.Setting{Flag: "distance", Value: "2.2"}
	assert.Equal(t, p.commanded(t, distance), p.set(t, distance))
	assert.Empty(t, tab.Messages())

	siteOf(t, folder, "--date", "2027-10-02")
	_, stop = host(t, folder, at)
	tab = b.Open(t, "http://"+at+"/", phone)
	newer := `(async () => {
		await (await navigator.serviceWorker.ready).update();
		const two = async () => (await caches.keys()).length > 1;
		while (document.getElementById("newer").hidden || await two()) await new Promise((done) => setTimeout(done, 10));
		return (await caches.keys()).length;
	})()`
	assert.Equal(t, 1, browsertest.Await[int](t, tab, newer), "the older edition is gone")
	stop()
	tab = b.Open(t, "http://"+at+"/", phone)
	assert.Contains(t, browsertest.Evaluate[string](t, tab, title), "2 October 2027")
	assert.LessOrEqual(t, tab.ContentWidth(t), float64(phone.Width))
}

// A site is its five files and nothing else, and never what others have put
// there.
func TestSiteFiles(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "of", "a site")
	for range 2 { // the second takes the place of the first
		siteOf(t, folder)
	}
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	assert.Equal(t, []string{"icon-192.png", "icon-512.png", "index.html", "manifest.webmanifest", "sw.js"}, names)
	for name, size := range map[string]int{"icon-192.png": 192, "icon-512.png": 512} {
		f, err := os.Open(filepath.Join(folder, name))
		require.NoError(t, err)
		defer f.Close()
		icon, err := png.Decode(f)
		require.NoError(t, err)
		assert.Equal(t, size, icon.Bounds().Dx())
		assert.Equal(t, size, icon.Bounds().Dy())
	}
	worker, err := os.ReadFile(filepath.Join(folder, page.WorkerFile))
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(worker), page.SiteMark))
	assert.NotContains(t, string(worker), "EDITION")
}

// served is a page served, as serve does, and its address.
func served(t *testing.T, data string) string {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() {
		done <- serveUntil(ctx, listener, &pageServer{page: []byte(data), host: "127.0.0.1", made: noon})
	}()
	t.Cleanup(func() {
		stop()
		assert.ErrorIs(t, <-done, context.Canceled)
	})
	return listener.Addr().String()
}

// Whatever it is asked, the server has one page.
func TestServeAnswersNothingElse(t *testing.T) {
	at := served(t, "<p>the page</p>")
	for _, c := range []struct {
		request string // its line and what else
		status  int
		body    string
	}{
		{"GET / HTTP/1.1\r\nHost: " + at, 200, "<p>the page</p>"},
		{"GET /?x=../../etc/passwd HTTP/1.1\r\nHost: " + at, 200, "<p>the page</p>"},
		{"GET / HTTP/1.1\r\nHost: localhost", 200, "<p>the page</p>"},
		{"GET / HTTP/1.1\r\nHost: 192.168.1.20:8080", 200, "<p>the page</p>"},
		{"GET / HTTP/1.1\r\nHost: [::1]:8080", 200, "<p>the page</p>"},
		{"HEAD / HTTP/1.1\r\nHost: " + at, 200, ""},
		{"GET / HTTP/1.1\r\nHost: elsewhere.example", 403, ""},
		{"GET / HTTP/1.1\r\nHost: 127.0.0.1.elsewhere.example:80", 403, ""},
		{"GET /index.html HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET /../../etc/passwd HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET /%2e%2e/%2e%2e/etc/passwd HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET // HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET /. HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET /%2F HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET /site_test.go HTTP/1.1\r\nHost: " + at, 404, ""},
		{"GET http://elsewhere.example/ HTTP/1.1\r\nHost: " + at, 403, ""},
		{"POST / HTTP/1.1\r\nContent-Length: 0\r\nHost: " + at, 405, ""},
		{"PUT /x HTTP/1.1\r\nContent-Length: 0\r\nHost: " + at, 405, ""},
		{"DELETE / HTTP/1.1\r\nHost: " + at, 405, ""},
		{"OPTIONS * HTTP/1.1\r\nHost: " + at, 405, ""},
		{"TRACE / HTTP/1.1\r\nHost: " + at, 405, ""},
		{"CONNECT elsewhere.example:443 HTTP/1.1\r\nHost: elsewhere.example:443", 403, ""},
		{"GET / HTTP/1.1\r\nX: " + strings.Repeat("x", 64<<10) + "\r\nHost: " + at, 431, ""},
		{"nonsense", 400, ""},
	} {
		conn, err := net.Dial("tcp", at)
		require.NoError(t, err)
		_, err = fmt.Fprintf(conn, "%s\r\nConnection: close\r\n\r\n", c.request)
		require.NoError(t, err)
		method, _, _ := strings.Cut(c.request, " ")
		response, err := http.ReadResponse(bufio.NewReader(conn), &http.Request{Method: method})
		require.NoError(t, err, c.request[:min(60, len(c.request))])
		body, _ := io.ReadAll(response.Body) // of a request that was too long the connection is closed
		name := c.request[:min(60, len(c.request))]
		assert.Equal(t, c.status, response.StatusCode, name)
		if c.body != "" {
			assert.Equal(t, c.body, string(body), name)
			assert.Equal(t, "text/html; charset=utf-8", response.Header.Get("Content-Type"))
			assert.Equal(t, "nosniff", response.Header.Get("X-Content-Type-Options"))
		}
		assert.NotContains(t, string(body), "root:", name)
		conn.Close()
	}
}

// A port alone is for this machine; what is no address is refused.
func TestServeAddress(t *testing.T) {
	for text, want := range map[string]string{
		"8080": "127.0.0.1:8080", ":8080": "127.0.0.1:8080", "0": "127.0.0.1:0", "192.168.1.20:80": "192.168.1.20:80",
		"[::1]:8080": "[::1]:8080", "0.0.0.0:8080": "0.0.0.0:8080", "laptop:8080": "laptop:8080",
	} {
		host, port, err := serveAddress(text)
		assert.NoError(t, err, text)
		assert.Equal(t, want, net.JoinHostPort(host, port), text)
	}
	for _, text := range []string{"", "laptop", "192.168.1.20", "a:b", "65536", "-1", "::1", "http://laptop:80/",
		"laptop:0"} {
		_, _, err := serveAddress(text)
		assert.Error(t, err, text)
	}
}

// The command serves the page that it would write, and ends when interrupted.
func TestServe(t *testing.T) {
	said, says := io.Pipe()
	ctx, stop := context.WithCancel(context.Background())
	code := make(chan int, 1)
	go func() {
		code <- Run(ctx, Process{Args: []string{"sheet", "--serve", "0"}, Stdout: io.Discard, Stderr: says,
			Getenv: func(string) string { return "" }, Now: noon})
	}()
	lines := bufio.NewScanner(said)
	address := ""
	for address == "" && lines.Scan() {
		if _, rest, ok := strings.Cut(lines.Text(), "the page is at "); ok {
			address = rest
		}
	}
	go io.Copy(io.Discard, said)
	response, err := http.Get(address)
	require.NoError(t, err)
	body, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	response.Body.Close()
	assert.Equal(t, sheetOf(t), string(body))
	stop()
	assert.Equal(t, exitInterrupted, <-code)
}
