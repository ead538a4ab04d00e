// Package engine plans a shoot for the page that is taken along, bytes in and
// bytes out: the text of a shoot with changes to it, and the plan as data for
// programs and as finished sentences. It is made to be compiled for a browser:
// it does no I/O, reads no clock and knows no terminal.
package engine

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/timezone"
	"evenfall/internal/words"
)

// Setting is the value of a flag, named without dashes, as it is typed.
type Setting struct {
	Flag  string `json:"flag"`
	Value string `json:"value"`
}

// Shoot is a shoot as a command was given it, with all that the command took
// from the system. Of no file it is the demonstration, or with a place among its
// flags a shoot that says nothing else.
type Shoot struct {
	File    string           `json:"file,omitempty"` // its name
	Text    string           `json:"text,omitempty"`
	KitFile string           `json:"kit_file,omitempty"` // the name of the photographer's own kit
	Kit     string           `json:"kit,omitempty"`
	Place   string           `json:"place,omitempty"` // the saved place that it picks, as a file of places
	Flags   []Setting        `json:"flags,omitempty"`
	Log     string           `json:"log,omitempty"`  // of meter readings
	Today   string           `json:"today"`          // 2027-09-18, of a shoot without a date
	Zone    string           `json:"zone,omitempty"` // of a place without one
	Zones   []timezone.Rules `json:"zones,omitempty"`
	// Anywhere lets the place and the day be changed as well.
	Anywhere bool `json:"anywhere,omitempty"`
}

// Request asks for the plan of a shoot with changes laid over it.
type Request struct {
	// Shoot is a Shoot, as it was printed. One plan of it is kept for as long as
	// its bytes are the same.
	Shoot   json.RawMessage  `json:"shoot"`
	Changes []Setting        `json:"changes"`
	Zones   []timezone.Rules `json:"zones"` // besides those of the shoot
	// Readings are lines of a log, besides that of the shoot; Reading is a further
	// one as it is entered.
	Readings []string `json:"readings"`
	Reading  *Entry   `json:"reading"`
}

// plain reports whether nothing is laid over the shoot.
func (r *Request) plain() bool {
	return len(r.Changes) == 0 && len(r.Readings) == 0 && r.Reading == nil
}

// Fault is what is wrong with a change, and what to enter instead.
type Fault struct {
	Field string `json:"field"` // the flag; empty where no field is to blame
	Text  string `json:"text"`
	Hint  string `json:"hint"`
}

// Response is a plan, or the faults that there is none for.
type Response struct {
	Faults   []Fault  `json:"faults"`
	Title    string   `json:"title"`
	Blocks   []block  `json:"blocks"`
	Moved    []block  `json:"moved"` // against the plan as printed; empty where nothing is laid over it
	Controls []Group  `json:"controls"`
	Metering Metering `json:"metering"`
}

// Engine keeps the plan as printed and the last one made. It is not for use by
// several goroutines.
type Engine struct {
	asked   []byte // the bytes of the shoot as printed
	printed *planned
	last    *planned
}

// planned is a plan with its report.
type planned struct {
	plan    *plan.Plan
	options report.Options
	sheet   *report.Report
	metered *metered
	// adjustment is what the readings that were entered change; nil without any.
	adjustment *plan.Adjustment
}

// Plan answers a Request with a Response, both as JSON. What was printed has to
// be free of faults; of the changes all faults are returned together.
func (e *Engine) Plan(request []byte) []byte {
	return encoded(e.respond(request))
}

func encoded(v any) []byte {
	data, err := json.Marshal(v)
	if err != nil {
		data, _ = json.Marshal(failed(err)) // text alone
	}
	return data
}

func failed(err error) *Response {
	return &Response{Faults: []Fault{{Text: words.Safe(err.Error())}}}
}

func (e *Engine) respond(request []byte) *Response {
	var r Request
	if err := json.Unmarshal(request, &r); err != nil {
		return failed(err)
	}
	var s Shoot
	if err := json.Unmarshal(r.Shoot, &s); err != nil {
		return failed(err)
	}
	if e.printed == nil || !bytes.Equal(e.asked, r.Shoot) {
		printed, err := s.made(&Request{}, nil)
		if err != nil {
			return failedBy(err)
		}
		e.asked, e.printed, e.last = bytes.Clone(r.Shoot), printed, printed
	}
	made, err := e.printed, error(nil)
	if !r.plain() {
		made, err = s.made(&r, e.printed.plan)
	}
	if err != nil {
		return failedBy(err)
	}
	e.last = made
	return e.response(made, &s, &r)
}

func (e *Engine) response(made *planned, s *Shoot, r *Request) *Response {
	blocks, err := blocksOf(made.plan, made.sheet.Document.Blocks)
	if err != nil {
		return failed(err)
	}
	response := &Response{
		Title:    words.Safe(made.sheet.Document.Title),
		Blocks:   blocks,
		Controls: controls(s, e.printed.plan, made.plan, r.Changes),
		Metering: made.metering(),
	}
	if !r.plain() {
		moved := report.Moved(&e.printed.sheet.Document, &made.sheet.Document)
		if response.Moved, err = blocksOf(made.plan, moved); err != nil {
			return failed(err)
		}
	}
	return response
}

// failedBy is the response to a shoot that cannot be planned.
func failedBy(err error) *Response {
	var faults shootfile.Faults
	if !errors.As(err, &faults) {
		return failed(err)
	}
	r := &Response{}
	for _, f := range faults {
		what, hint := f.Labelled(labelOf)
		r.Faults = append(r.Faults, Fault{Field: f.Flag, Text: what, Hint: hint})
	}
	return r
}

// made plans the shoot with what is laid over it, beside its plan as printed.
func (s *Shoot) made(r *Request, printed *plan.Plan) (*planned, error) {
	document, err := s.document()
	if err != nil {
		return nil, err
	}
	settings := merged(s.Flags, r.Changes)
	for _, one := range settings {
		document.Set(one.Flag, one.Value)
	}
	env, err := s.environment(r.Zones)
	if err != nil {
		return nil, err
	}
	resolved, err := document.Resolve(env)
	if err != nil {
		return nil, err
	}
	m, err := s.learn(resolved, r)
	if err != nil {
		return nil, err
	}
	p, err := plan.Make(context.Background(), resolved)
	if err != nil {
		return nil, err
	}
	o := report.Options{Demonstration: s.File == "" && !has(settings, "at", "place"), Readings: m.weighed}
	made := &planned{plan: p, options: o, sheet: report.Sheet(p, o), metered: m}
	if len(r.Changes) > 0 {
		printed = nil // it is of another shoot
	}
	made.adjustment, err = m.adjust(resolved, p, printed)
	return made, err
}

// document is the shoot before its flags.
func (s *Shoot) document() (*shootfile.Document, error) {
	switch {
	case s.File != "":
		return shootfile.Parse(s.File, []byte(s.Text))
	case has(s.Flags, "at", "place"):
		return shootfile.Defaults(), nil
	}
	return shootfile.Demo()
}

// environment is what the shoot's command took from the system.
func (s *Shoot) environment(zones []timezone.Rules) (shootfile.Environment, error) {
	today, err := time.Parse(time.DateOnly, s.Today)
	if err != nil {
		return shootfile.Environment{}, err
	}
	env := shootfile.Environment{
		Today: shoot.Date{Year: today.Year(), Month: today.Month(), Day: today.Day()},
		Zones: lookup(append(zones, s.Zones...)),
	}
	if s.Zone != "" {
		if env.Zone, err = env.Zones(s.Zone); err != nil {
			return env, err
		}
	}
	if s.Kit != "" {
		if env.Kit, err = shootfile.ParseKit(s.KitFile, []byte(s.Kit)); err != nil {
			return env, err
		}
	}
	if s.Place != "" {
		env.Places, err = shootfile.ParsePlaces("places.toml", []byte(s.Place), env)
	}
	return env, err
}

// merged are settings with others in the place of those of the same flag, or of
// one that cannot be combined with it.
func merged(settings, over []Setting) []Setting {
	var list []Setting
	for _, one := range settings {
		if !has(over, append(rivalsOf(one.Flag), one.Flag)...) {
			list = append(list, one)
		}
	}
	return append(list, over...)
}

// has reports whether settings name one of some flags.
func has(settings []Setting, flags ...string) bool {
	for _, one := range settings {
		for _, flag := range flags {
			if one.Flag == flag {
				return true
			}
		}
	}
	return false
}

// Timeline returns the last plan in the form of the command timeline's JSON, which
// the sheet has too: its text would make the engine larger. Nothing where there is
// none.
func (e *Engine) Timeline() []byte {
	if e.last == nil {
		return nil
	}
	var b bytes.Buffer
	if err := e.last.sheet.JSON(&b, e.last.options); err != nil {
		return nil
	}
	return b.Bytes()
}

// Adjust returns what the readings entered change in the last plan, in the form
// of the command adjust's JSON; nothing where none is.
func (e *Engine) Adjust() []byte {
	if e.last == nil || e.last.adjustment == nil {
		return nil
	}
	var b bytes.Buffer
	if err := report.Adjust(e.last.adjustment, e.last.options).JSON(&b, e.last.options); err != nil {
		return nil
	}
	return b.Bytes()
}

// Present is how the plan stands at an instant.
type Present struct {
	Lines []string `json:"lines"`
	// Inside reports whether the instant lies in the window: then the rows that
	// count are the last ones that are not later.
	Inside bool `json:"inside"`
	// Clock is the time of day there: 18:05.
	Clock string `json:"clock"`
}

// Now answers an instant, in seconds since 1970, with the Present of the last
// plan as JSON.
func (e *Engine) Now(seconds int64) []byte {
	if e.last == nil {
		return encoded(&Present{})
	}
	p := e.last.plan
	at := time.Unix(seconds, 0).In(p.Shoot.Place.Zone)
	lines, inside := report.Now(p, at)
	for i := range lines {
		lines[i] = words.Safe(lines[i])
	}
	return encoded(&Present{lines, inside, at.Format("15:04")})
}

// lookup finds zones by name among some; the first of a name counts.
func lookup(zones []timezone.Rules) func(name string) (*time.Location, error) {
	return func(name string) (*time.Location, error) {
		if name == time.UTC.String() {
			return time.UTC, nil
		}
		for i := range zones {
			if zones[i].Name == name {
				return zones[i].Location()
			}
		}
		return nil, fmt.Errorf("unknown time zone %s", name)
	}
}
