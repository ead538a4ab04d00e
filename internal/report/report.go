package report

import (
	"fmt"
	"time"

	"evenfall/internal/reading"
)

// Format is a form of output.
type Format int

// The forms.
const (
	Text Format = iota
	JSON
	CSV
	Markdown
	ICalendar // of reports that find times
)

// Formats lists the forms that every report has.
var Formats = [...]Format{Text, JSON, CSV, Markdown}

// String returns the form's name as it is typed.
func (f Format) String() string {
	return [...]string{"text", "json", "csv", "markdown", "icalendar"}[f]
}

// ParseFormat returns the form of a name. The error names the ones there are.
func ParseFormat(s string) (Format, error) {
	for f := Text; f <= ICalendar; f++ {
		if f.String() == s {
			return f, nil
		}
	}
	return 0, fmt.Errorf("format %q is none of text, json, csv, markdown, icalendar", s)
}

// Options are what the plan itself does not know.
type Options struct {
	// Demonstration names the shoot as one that nobody asked for.
	Demonstration bool
	// Now is when the report is made.
	Now time.Time
	// Readings are in the plan's light.
	Readings []reading.Weighed
	// Why adds how each choice was made.
	Why bool
	// Full adds every figure, and what the columns mean.
	Full bool
	// ASCII keeps to characters below 0x80. JSON escapes the others and loses
	// nothing; elsewhere they become their nearest likeness, or a question mark.
	ASCII bool
}
