package cli

import (
	"bytes"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// lockedWriter is a terminal that several write to.
type lockedWriter struct {
	busy sync.Mutex
	b    bytes.Buffer
}

func (w *lockedWriter) Write(data []byte) (int, error) {
	w.busy.Lock()
	defer w.busy.Unlock()
	return w.b.Write(data)
}

func (w *lockedWriter) text() string {
	w.busy.Lock()
	defer w.busy.Unlock()
	return w.b.String()
}

// screenAfter is the line that a terminal shows after some bytes: what comes after
// a carriage return goes over what was there.
func screenAfter(text string) string {
	var line []rune
	at := 0
	for _, r := range text {
		if r == '\r' {
			at = 0
			continue
		}
		if at == len(line) {
			line = append(line, ' ')
		}
		line[at] = r
		at++
	}
	return strings.TrimRight(string(line), " ")
}

func TestProgress(t *testing.T) {
	var w lockedWriter
	p := &progress{to: &w, of: "harbour\x1b.toml: ", patience: time.Millisecond, renewed: time.Millisecond}
	p.begin()
	says := func(want string) {
		assert.Eventually(t, func() bool { return screenAfter(w.text()) == want }, 10*time.Second, time.Millisecond, want)
	}
	says(`harbour\u001b.toml: looking through the days`)
	p.tell(120, 365)
	says(`harbour\u001b.toml: 120 of 365 days looked at`)
	p.tell(119, 365)
	p.tell(365, 365)
	says(`harbour\u001b.toml: 365 days looked at; weighing what is there`)
	p.finish()
	assert.Empty(t, screenAfter(w.text()), "all is taken away")
	assert.True(t, strings.HasSuffix(w.text(), "\r"), "and the next line begins where this one did")
	assert.NotContains(t, w.text(), "\x1b")
	before := w.text()
	p.tell(1, 2)
	time.Sleep(10 * time.Millisecond)
	assert.Equal(t, before, w.text())
}

// Nobody who waits less than a second, or looks at no terminal, sees anything.
func TestProgressKeepsQuiet(t *testing.T) {
	var w lockedWriter
	p := newProgress(&Process{Stderr: &w, width: 80}, "")
	p.tell(1, 10)
	p.finish()
	assert.Empty(t, w.text())
	p = newProgress(&Process{Stderr: &w}, "")
	p.patience = 0
	p.tell(1, 10)
	time.Sleep(20 * time.Millisecond)
	p.finish()
	assert.Empty(t, w.text())
}
