package report

import (
	"errors"
	"fmt"
	"io"

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

// JSON writes the data of the report, piece by piece. The error is the writer's.
func (r *Report) JSON(w io.Writer, o Options) error { return encode(w, r.Data, o) }

// Write writes the report as JSON, CSV, Markdown or, where it finds times,
// iCalendar, piece by piece. The error is the writer's, or of a form that the report
// does not have; of text it is ErrTextRenderer.
func (r *Report) Write(w io.Writer, f Format, o Options) (err error) {
	switch {
	case f == Text:
		return ErrTextRenderer
	case f == JSON:
		return r.JSON(w, o)
	case f == CSV:
		return writeFlat(w, r.Data, o)
	case f == Markdown:
		_, err = io.WriteString(w, markdownOf(&r.Document, o))
	case f == ICalendar && r.Calendar != nil:
		_, err = w.Write(r.Calendar.Bytes())
	default:
		err = fmt.Errorf("a report has no form %d", int(f))
	}
	return err
}
