package cli

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"evenfall/internal/words"
)

// progress says on a terminal how far a search has come, once it takes longer than
// people wait without a word, until it is ended.
type progress struct {
	to       io.Writer
	of       string // begins the line: what is searched for, where there are several
	patience time.Duration
	renewed  time.Duration // how often it changes

	busy       sync.Mutex
	done, days int // looked at, of all

	end, ended chan struct{}
}

// newProgress begins to say how far a search for something has come. Where errors
// do not go to a terminal it says nothing.
func newProgress(p *Process, of string) *progress {
	shown := &progress{of: of, patience: time.Second, renewed: time.Second / 10}
	if p.width > 0 {
		shown.to = p.Stderr
	}
	shown.begin()
	return shown
}

func (p *progress) begin() {
	p.end, p.ended = make(chan struct{}), make(chan struct{})
	go func() {
		defer close(p.ended)
		if p.to != nil {
			p.show()
		}
	}()
}

// tell takes how many days of all have been looked at.
func (p *progress) tell(done, days int) {
	p.busy.Lock()
	defer p.busy.Unlock()
	p.done, p.days = max(p.done, done), days
}

// finish ends it, and takes away what it has said.
func (p *progress) finish() {
	close(p.end)
	<-p.ended
}

// show writes how far the search has come until it is ended. What cannot be
// written is not missed.
func (p *progress) show() {
	wait, size := time.NewTimer(p.patience), 0
	defer wait.Stop()
	for {
		select {
		case <-wait.C:
			size = p.line(p.text(), size)
			wait.Reset(p.renewed)
		case <-p.end:
			if size > 0 {
				p.line("", size)
				fmt.Fprint(p.to, "\r")
			}
			return
		}
	}
}

// line writes a text in the place of one of so many characters, and returns how
// many it has itself.
func (p *progress) line(text string, before int) int {
	size := utf8.RuneCountInString(text)
	fmt.Fprint(p.to, "\r"+text+strings.Repeat(" ", max(0, before-size)))
	return size
}

// text says how far the search has come.
func (p *progress) text() string {
	p.busy.Lock()
	defer p.busy.Unlock()
	text := "looking through the days"
	switch {
	case p.days > 0 && p.done < p.days:
		text = fmt.Sprintf("%d of %s looked at", p.done, words.Count(p.days, "day"))
	case p.days > 0:
		text = words.Count(p.days, "day") + " looked at; weighing what is there"
	}
	return words.Safe(p.of) + text
}
