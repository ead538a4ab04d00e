// Package report writes a finished plan as text for a terminal, JSON, CSV and
// Markdown.
package report

import (
	"bytes"
	"fmt"
	"io"

	"evenfall/internal/plan"
)

// Format is a form of output.
type Format int

// The forms.
const (
	Text Format = iota
	JSON
	CSV
	Markdown
)

// Formats lists all forms.
var Formats = [...]Format{Text, JSON, CSV, Markdown}

// String returns the form's name as it is typed.
func (f Format) String() string { return [...]string{"text", "json", "csv", "markdown"}[f] }

// ParseFormat returns the form of a name. The error names the ones there are.
func ParseFormat(s string) (Format, error) {
	for _, f := range Formats {
		if f.String() == s {
			return f, nil
		}
	}
	return 0, fmt.Errorf("format %q is none of text, json, csv, markdown", s)
}

// The terminal's width in columns: what is taken for 0, and the fewest that
// the narrowest table needs.
const (
	usualWidth     = 80
	narrowestWidth = 60
)

// Options are what the plan itself does not know.
type Options struct {
	// Demonstration names the shoot as one that nobody asked for.
	Demonstration bool
	// Width in columns, of text alone: 0 counts as 80, less than 60 as 60.
	Width int
	// Color marks what matters, in text alone; nothing is told by it alone.
	Color bool
	// ASCII keeps to characters below 0x80. JSON escapes the others and loses
	// nothing; elsewhere they become their nearest likeness, or a question mark.
	ASCII bool
}

// Timeline writes the plan. The error is the writer's, or that of a format
// that is none.
func Timeline(w io.Writer, p *plan.Plan, f Format, o Options) error {
	return deliver(w, "timeline", f, forms{
		Text:     func(b *bytes.Buffer) error { return writeText(b, p, o) },
		JSON:     func(b *bytes.Buffer) error { return encode(b, newTimeline(p, o), o) },
		CSV:      func(b *bytes.Buffer) error { return writeCSV(b, p, o) },
		Markdown: func(b *bytes.Buffer) error { return writeMarkdown(b, p, o) },
	})
}

// forms are the ways one document is written.
type forms map[Format]func(*bytes.Buffer) error

// deliver makes a document in one of its forms and writes it, all or nothing.
func deliver(w io.Writer, what string, f Format, by forms) error {
	if by[f] == nil {
		return fmt.Errorf("format %d does not exist", int(f))
	}
	var b bytes.Buffer
	if err := by[f](&b); err != nil {
		return err
	}
	n, err := w.Write(b.Bytes())
	if err == nil && n < b.Len() {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("%s not written: %w", what, err)
	}
	return nil
}
