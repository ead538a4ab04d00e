package report

import (
	"bytes"
	"errors"
	"io"

	"evenfall/internal/calendar"
)

// Report is one report in both its kinds: a document for people, and data for
// programs.
type Report struct {
	What     string // it is, for errors: timeline, kit
	Summary  string // of it in a clause: how many rows, and what comes out; may be empty
	Document Document
	// Data is the struct that the JSON is encoded from, and that the CSV is
	// derived from.
	Data any
	// Calendar has the times that the report finds; nil of all others.
	Calendar *calendar.Calendar
}

// ErrTextRenderer is returned for the form that the package text writes.
var ErrTextRenderer = errors.New("text is rendered by package text")

// JSON writes the data of the report. The error is the writer's.
func (r *Report) JSON(w io.Writer, o Options) error {
	return deliver(w, r.What, JSON, forms{JSON: func(b *bytes.Buffer) error { return encode(b, r.Data, o) }})
}

// Write writes the report as JSON, CSV, Markdown or, where it finds times,
// iCalendar, all of it or nothing. The error is the writer's, or ErrTextRenderer.
func (r *Report) Write(w io.Writer, f Format, o Options) error {
	by := forms{
		Text:     func(*bytes.Buffer) error { return ErrTextRenderer },
		JSON:     func(b *bytes.Buffer) error { return encode(b, r.Data, o) },
		CSV:      func(b *bytes.Buffer) error { return writeFlat(b, r.Data, o) },
		Markdown: func(b *bytes.Buffer) error { b.WriteString(markdownOf(&r.Document, o)); return nil },
	}
	if r.Calendar != nil {
		by[ICalendar] = func(b *bytes.Buffer) error { b.Write(r.Calendar.Bytes()); return nil }
	}
	return deliver(w, r.What, f, by)
}
