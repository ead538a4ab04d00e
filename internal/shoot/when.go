package shoot

import (
	"errors"
	"fmt"
	"math"
	"time"

	"evenfall/sky"
	"github.com/pelletier/go-toml/v2"
)

// The years that the sun's position is stated for.
const (
	firstYear = 1950
	lastYear  = 2100
)

// when reads the section of that name; ok is false where the window cannot be
// worked out from it.
func (r *reader) when(s *section, env Environment) (w When, ok bool) {
	faults := len(r.faults)
	w = When{
		Date: s.date("date", env.Today),
		From: s.instant("from", Instant{Event: sky.Sunset, Offset: -2 * time.Hour}),
		To:   s.instant("to", Instant{Event: sky.Sunset, Offset: 30 * time.Minute}),
	}
	ok = len(r.faults) == faults
	w.Step = s.step("step_minutes", 15*time.Minute)
	s.done()
	return w, ok
}

// step reads the time between two moments, to the second.
func (s *section) step(key string, fallback time.Duration) time.Duration {
	minutes := s.number(key, fallback.Minutes(), 0, (24 * time.Hour).Minutes())
	if seconds := math.Round(minutes * 60); seconds >= 1 {
		return time.Duration(seconds) * time.Second
	}
	s.fault(s.at(key), fmt.Sprintf("%s = %s is less than a second", join(s.path, key), plain(minutes)),
		s.instead(key, plain(fallback.Minutes())))
	return fallback
}

// date reads a day; today where there is none.
func (s *section) date(key string, today Date) Date {
	e := s.take(key)
	if e == nil {
		return today
	}
	date := today
	switch v := e.value.(type) {
	case toml.LocalDate:
		date = Date{v.Year, time.Month(v.Month), v.Day}
	case string:
		if v == "today" {
			return today
		}
		t, err := time.Parse(time.DateOnly, v)
		if err != nil {
			s.fault(e, fmt.Sprintf("%s = %s is no date", join(s.path, key), quoted(v)), s.instead(key, today.String()))
			return today
		}
		date = Date{t.Year(), t.Month(), t.Day()}
	default:
		s.wrong(e, key, "a date", today.String())
		return today
	}
	if date.Year < firstYear || date.Year > lastYear {
		s.fault(e, fmt.Sprintf("%s = %v lies outside %d to %d, the years that the sun's position is stated for",
			join(s.path, key), date, firstYear, lastYear), s.instead(key, today.String()))
		return today
	}
	return date
}

// instant reads a time of day.
func (s *section) instant(key string, fallback Instant) Instant {
	e := s.take(key)
	if e == nil {
		return fallback
	}
	var text string
	switch v := e.value.(type) {
	case string:
		text = v
	case toml.LocalTime:
		text = fmt.Sprintf("%02d:%02d:%02d", v.Hour, v.Minute, v.Second)
	default:
		s.wrong(e, key, "a time of day in quotes", fallback.String())
		return fallback
	}
	i, err := ParseInstant(text)
	if err != nil {
		f := asFault(err)
		s.fault(e, join(s.path, key)+": "+f.What, f.Hint)
		return fallback
	}
	return i
}

// skies reads the conditions of the sky through the day.
func (r *reader) skies(list []*section) []SkySpan {
	const most = 100
	if len(list) > most {
		r.fault(list[most].entry, fmt.Sprintf("there are %d [[sky]], more than %d", len(list), most), "fewer of them")
		list = list[:most]
	}
	var spans []SkySpan
	for n, s := range list {
		span := SkySpan{Condition: s.condition()}
		if s.has("from") {
			faults := len(r.faults)
			if from := s.instant("from", Instant{}); len(r.faults) == faults {
				span.From = &from
			}
		}
		s.take("from")
		s.done()
		switch {
		case n == 0 && span.From != nil:
			r.fault(s.at("from"), "the first [[sky]] begins at "+span.From.String()+"; what comes before it is not said",
				"leave from out of the first [[sky]]")
		case n > 0 && s.entry.table["from"] == nil:
			r.fault(s.entry, "a later [[sky]] does not say when it begins", `from = "sunset-1h"`)
		}
		spans = append(spans, span)
	}
	if len(spans) == 0 {
		spans = []SkySpan{{Condition: sky.Described(sky.Clear)}}
	}
	return spans
}

// condition reads the condition of one [[sky]].
func (s *section) condition() sky.Condition {
	oktas := s.number("oktas", 0, 0, 8)
	turbidity := s.number("turbidity", 3, sky.LowestTurbidity, sky.HighestTurbidity)
	word := s.conditionWord()
	clash := s.conflict("condition", "oktas")
	clash = s.conflict("condition", "turbidity") || clash
	clash = s.conflict("oktas", "turbidity") || clash
	switch {
	case clash:
	case s.has("oktas"):
		return sky.Oktas(oktas)
	case s.has("turbidity"):
		return sky.WithTurbidity(turbidity)
	case s.entry.table["condition"] == nil:
		s.fault(s.entry, "[[sky]] says nothing of the sky", `condition = "clear", or oktas or turbidity`)
	}
	return sky.Described(word)
}

func (s *section) conditionWord() sky.Word {
	if s.take("condition") == nil {
		return sky.Clear
	}
	text := s.text("condition", sky.Clear.String())
	var words []string
	for _, w := range sky.Words {
		if w.String() == text {
			return w
		}
		words = append(words, w.String())
	}
	hint := listed(words)
	if near := nearest(text, words); near != "" {
		hint = s.instead("condition", near) + "; all are " + hint
	}
	s.fault(s.at("condition"), fmt.Sprintf("there is no condition %s of the sky", quoted(text)), hint)
	return sky.Clear
}

// checkTimes reports instants that the day does not have, changes of the sky
// out of order, and windows that cannot be.
func (r *reader) checkTimes(s *Shoot, day sky.Day, when *section, skies []*section) {
	faults := len(r.faults)
	blame := func(s *section, key string, err error) {
		f := asFault(err) // its hint is a time of day
		r.fault(s.at(key), join(s.path, key)+": "+f.What, s.instead(key, f.Hint))
	}
	for _, end := range [2]struct {
		key     string
		instant Instant
	}{{"from", s.When.From}, {"to", s.When.To}} {
		if _, err := s.moment(end.instant, day); err != nil {
			blame(when, end.key, err)
		}
	}
	if len(r.faults) > faults {
		return
	}
	from, to, err := s.Window(day)
	if err != nil {
		blame(when, "to", err)
		return
	}
	if steps := to.Sub(from)/s.When.Step + 1; steps > mostSteps {
		minutes := math.Ceil(to.Sub(from).Minutes() / (mostSteps - 1))
		r.fault(when.at("step_minutes"), fmt.Sprintf("steps of %s make %d moments of the window, more than %d",
			span(s.When.Step), steps, mostSteps), when.instead("step_minutes", plain(minutes)))
	}
	last := time.Time{}
	for i, one := range s.Sky {
		if i == 0 || one.From == nil {
			continue
		}
		start, err := s.within(*one.From, day, from, to)
		switch {
		case err != nil:
			blame(skies[i], "from", err)
		case !start.After(last):
			r.fault(skies[i].at("from"), fmt.Sprintf("this [[sky]] begins at %s, not after the one before it", start.In(s.Place.Zone).Format("15:04")),
				"write them in order of time")
		}
		last = start
	}
}

// asFault returns the fault that an error of an instant is.
func asFault(err error) Fault {
	f := Fault{}
	if !errors.As(err, &f) {
		f.What = err.Error()
	}
	return f
}
