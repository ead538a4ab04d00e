package report

import (
	"bytes"
	"errors"
	"fmt"

	"evenfall/internal/calendar"
)

// Report is one report in both its kinds: a document for people, and data for
// programs.
type Report struct {
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

// JSON writes the data of the report. The error is of data that have no such form.
func (r *Report) JSON(b *bytes.Buffer, o Options) error { return encode(b, r.Data, o) }

// Write writes the report as JSON, CSV, Markdown or, where it finds times,
// iCalendar. The error is of a form that the report does not have, or
// ErrTextRenderer.
func (r *Report) Write(b *bytes.Buffer, f Format, o Options) error {
	switch {
	case f == Text:
		return ErrTextRenderer
	case f == JSON:
		return r.JSON(b, o)
	case f == CSV:
		return writeFlat(b, r.Data, o)
	case f == Markdown:
		b.WriteString(markdownOf(&r.Document, o))
	case f == ICalendar && r.Calendar != nil:
		b.Write(r.Calendar.Bytes())
	default:
		return fmt.Errorf("a report has no form %d", int(f))
	}
	return nil
}
