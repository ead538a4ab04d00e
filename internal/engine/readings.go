package engine

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"
)

// Entry is a meter reading as it is entered: 13.6 EV as ev13.6, lit, 18:05.
type Entry struct {
	Value string `json:"value"`
	Plane string `json:"plane"` // where the value does not name one
	Time  string `json:"time"`
}

// Metering is how a reading is entered, and what those that were come to.
type Metering struct {
	Group
	Taken []Taken `json:"taken"`
	// Adjusted says what they change against the plan without them; nil where there
	// is nothing to say.
	Adjusted *cell `json:"adjusted"`
}

// Taken is a reading that was entered.
type Taken struct {
	Line string `json:"line"` // of a log, to be asked with from then on
	Text string `json:"text"`
}

// The fields of an entry.
const (
	valueField = "reading"
	planeField = "plane"
	timeField  = "time"
)

// metering is the group of fields for a reading, all blank.
var metering = Group{"Meter reading", []Control{
	{Flag: valueField, Label: "Meter reads ev12.3, 41200lx or f/5.6 1/250 iso200", Kind: string(textKind)},
	{Flag: planeField, Label: "Meter held on", Kind: string(choiceKind), Value: reading.Lit.String(),
		Choices: planes()},
	{Flag: timeField, Label: "Read at", Kind: string(timeKind)},
}}

func planes() []Choice {
	var list []Choice
	for _, p := range reading.Planes {
		list = append(list, Choice{p.String(), words.Held(p)})
	}
	return list
}

// metered is what a shoot has been told of its light.
type metered struct {
	entered []reading.Reading // besides those of the log
	weighed []reading.Weighed // all of the day
	logged  []shoot.Learned   // from the log alone
}

// learn has a shoot learn the readings of its day: those of its log, and those
// entered. The error is shootfile.Faults, but for a log that cannot be read.
func (s *Shoot) learn(resolved *shoot.Shoot, r *Request) (*metered, error) {
	m := &metered{}
	log, _, err := reading.ParseLog(s.Log) // lines that were cut short have been told of
	if err != nil {
		return nil, err
	}
	if m.entered, err = r.entered(resolved); err != nil {
		return nil, err
	}
	learn := func(list []reading.Reading) ([]reading.Weighed, []shoot.Learned, error) {
		return reading.Learn(resolved, reading.OfTheDay(resolved, list), reading.UsualError)
	}
	if _, m.logged, err = learn(log); err == nil {
		m.weighed, resolved.Learned, err = learn(append(log, m.entered...))
	}
	return m, ofReadings(err)
}

// entered are the readings of a request.
func (r *Request) entered(s *shoot.Shoot) ([]reading.Reading, error) {
	list, _, err := reading.ParseLog(strings.Join(r.Readings, "\n"))
	if err != nil {
		return nil, ofReadings(err)
	}
	if r.Reading == nil {
		return list, nil
	}
	one, err := r.Reading.parse(s)
	return append(list, one), err
}

// parse reads an entry. The error, shootfile.Faults, is of all its fields.
func (e *Entry) parse(s *shoot.Shoot) (reading.Reading, error) {
	var faults shootfile.Faults
	one, err := reading.ParseValue(e.Value)
	if strings.TrimSpace(e.Value) == "" {
		err = reading.Fault{What: "the meter's value is missing", Hint: "ev12.3"}
	}
	faults = append(faults, faultsAt(valueField, err)...)
	if err == nil && !strings.Contains(e.Value, "@") {
		one.Plane, err = reading.ParsePlane(e.Plane)
		faults = append(faults, faultsAt(planeField, err)...)
	}
	one.Time, err = shootfile.ParseTime(s, e.Time)
	if strings.TrimSpace(e.Time) == "" {
		err = shootfile.Fault{What: "the time of the reading is missing", Hint: "18:05"}
	}
	if faults = append(faults, faultsAt(timeField, err)...); len(faults) > 0 {
		return one, faults
	}
	return one, nil
}

// faultsAt is the fault that an error of a reading or of a time is, at a field.
func faultsAt(field string, err error) shootfile.Faults {
	var of reading.Fault
	var at shootfile.Fault
	switch {
	case err == nil:
		return nil
	case errors.As(err, &of):
		at = shootfile.Fault{What: of.What, Hint: of.Hint}
	case !errors.As(err, &at):
		at.What = err.Error()
	}
	at.Flag = field
	return shootfile.Faults{at}
}

// ofReadings are the faults of readings that no sky could give, or that do not
// go together, at the field of the value. Other errors stay.
func ofReadings(err error) error {
	var faults reading.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var list shootfile.Faults
	for _, f := range faults {
		if clock, value, ok := strings.Cut(f.Hint, "="); ok {
			f.Hint = value + " at " + clock
		}
		list = append(list, faultsAt(valueField, f)...)
	}
	return list
}

// adjust sets a plan against the one without the readings entered, as the
// command adjust does; nil where none of them is of the day. Before is that plan,
// or nil where there is none yet.
func (m *metered) adjust(s *shoot.Shoot, after, before *plan.Plan) (*plan.Adjustment, error) {
	if !slices.ContainsFunc(m.entered, func(r reading.Reading) bool { return m.weight(&r) != nil }) {
		return nil, nil
	}
	last := &m.weighed[len(m.weighed)-1]
	if _, to := after.Window(); last.Time.After(to) {
		return nil, shootfile.Faults{{Flag: timeField, What: words.AfterWindow(last, to),
			Hint: "--to " + last.Time.Add(time.Hour).Format("15:04")}}
	}
	if before == nil {
		plain := *s
		plain.Learned = m.logged
		var err error
		if before, err = plan.Make(context.Background(), &plain); err != nil {
			return nil, err
		}
	}
	return plan.Adjust(context.Background(), before, after, last.Time, last.Case)
}

// weight finds a reading among those of the day; nil where it is of another.
func (m *metered) weight(r *reading.Reading) *reading.Weighed {
	for i := range m.weighed {
		if w := &m.weighed[i]; w.Same(r) {
			return w
		}
	}
	return nil
}

// metering is how readings stand in a plan.
func (p *planned) metering() Metering {
	out := Metering{Group: metering, Taken: []Taken{}}
	for i := range p.metered.entered {
		r := &p.metered.entered[i]
		text := words.OtherDay(r)
		if w := p.metered.weight(r); w != nil {
			text = shootfile.Labelled(words.ReadingAt(w), labelOf)
		}
		out.Taken = append(out.Taken, Taken{strings.TrimSpace(r.LogLine()), words.Safe(text)})
	}
	if p.adjustment != nil {
		text, tone := report.Adjusted(p.adjustment)
		adjusted := toned(tone, text)
		out.Adjusted = &adjusted
	}
	return out
}
