package shootfile

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
	"github.com/pelletier/go-toml/v2"
)

// The most moments that a shoot may have, and answers: moments by methods, under
// broken cloud twice as many. For an answer that misses, methods and kit are tried:
// of more methods than the usual, with much kit, a fill, or a flash that clicks more
// coarsely than the camera there may be fewer.
const (
	mostSteps   = 2000
	mostAnswers = 20_000
	mostCostly  = 3000
	muchKit     = 100 // things
)

// mostAnswersOf is the most answers that a shoot may have.
func mostAnswersOf(s *shoot.Shoot) int {
	switch u := s.Flash.Unit; {
	case len(s.Methods) > len(shoot.Methods), s.Kit != nil && s.Kit.Count() > muchKit, s.Fill != nil,
		u != nil && u.Click > s.Camera.Click:
		return mostCostly
	}
	return mostAnswers
}

// when reads the section of that name; ok is false where the window cannot be
// worked out from it.
func (r *reader) when(s *section, env Environment) (w shoot.When, ok bool) {
	faults := len(r.faults)
	w = shoot.When{
		Date: s.date("date", env.Today),
		From: s.instant("from", shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour}),
		To:   s.instant("to", shoot.Instant{Event: sky.Sunset, Offset: 30 * time.Minute}),
	}
	ok = len(r.faults) == faults && s.sound("date", "from", "to")
	w.Step = s.step("step_minutes", 15*time.Minute)
	s.done()
	return w, ok
}

// step reads the time between two moments, to the second.
func (s *section) step(key string, fallback time.Duration) time.Duration {
	if e := s.take(key); e != nil {
		if minutes, ok := asNumber(e); ok && minutes < 0.5/60 {
			near := fallback.Minutes()
			if meant := -minutes; meant >= 1 && meant <= 24*60 {
				near = meant // a dash too many
			}
			s.fault(e, s.said(key, plain(minutes))+" is less than a second", s.instead(key, plain(near)))
			return fallback
		}
	}
	minutes := s.quantity(key, fallback.Minutes())
	return time.Duration(math.Round(minutes*60)) * time.Second
}

// instant reads a time of day.
func (s *section) instant(key string, fallback shoot.Instant) shoot.Instant {
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
		near := fallback
		if hours, ok := asNumber(e); ok {
			if meant, err := ParseInstant(fmt.Sprintf("%.2f", hours)); err == nil {
				near = meant // 17.30, without quotes
			}
		}
		s.wrong(e, key, "a time of day in quotes", near.String())
		return fallback
	}
	i, err := ParseInstant(text)
	if err != nil {
		s.blame(key, err, "")
		return fallback
	}
	return i
}

// blame reports the fault of a key's value, such as a time of day or dates, with
// a value to type instead: the given one, or else the fault's own.
func (s *section) blame(key string, err error, instead string) {
	f := asFault(err)
	s.fault(s.at(key), s.called(key)+": "+f.What, s.instead(key, cmp.Or(instead, f.Hint)))
}

// skies reads the conditions of the sky through the day.
func (r *reader) skies(list []*section) []shoot.SkySpan {
	const most = 100
	if len(list) > most {
		r.fault(list[most].entry, fmt.Sprintf("there are %d [[sky]], more than %d", len(list), most),
			"leave this [[sky]] and those after it out")
		list = list[:most]
	}
	var spans []shoot.SkySpan
	for n, s := range list {
		span := shoot.SkySpan{Condition: s.condition()}
		if s.has("from") {
			faults := len(r.faults)
			if from := s.instant("from", shoot.Instant{}); len(r.faults) == faults {
				span.From = &from
			}
		}
		s.take("from")
		s.done()
		switch {
		case n == 0 && span.From != nil:
			r.fault(s.at("from"), "the first [[sky]] begins at "+span.From.String()+" and not with the window",
				s.without("from"))
		case n > 0 && s.entry.table["from"] == nil:
			r.fault(s.entry, "a later [[sky]] does not say when it begins", `from = "sunset-1h"`)
		}
		spans = append(spans, span)
	}
	if len(spans) == 0 {
		spans = []shoot.SkySpan{{Condition: sky.Described(sky.Clear)}}
	}
	return spans
}

// condition reads the condition of one [[sky]].
func (s *section) condition() sky.Condition {
	oktas := s.quantity("oktas", 0)
	turbidity := s.quantity("turbidity", 3)
	word := s.conditionWord()
	clash := s.conflict("condition", "oktas")
	clash = s.conflict("condition", "turbidity") || clash
	clash = s.conflict("oktas", "turbidity") || clash
	switch {
	case clash, !s.sound("condition", "oktas", "turbidity"):
	case s.has("oktas"):
		return sky.Oktas(oktas)
	case s.has("turbidity"):
		return sky.WithTurbidity(turbidity)
	case s.entry.table["condition"] == nil:
		s.fault(s.entry, "[[sky]] says nothing of the sky", `condition = "clear", or oktas or turbidity`)
	}
	return sky.Described(word)
}

// conditionWord reads the condition in a word.
func (s *section) conditionWord() sky.Word {
	if s.take("condition") == nil {
		return sky.Clear
	}
	text := s.text("condition", sky.Clear.String())
	words := skyWords()
	if w, known := skyNamed(text); known {
		return w
	}
	hint := s.instead("condition", Nearest(text, words))
	switch {
	case strings.Contains(strings.ToLower(text), "cloud"):
		hint = s.likelySkies(words, sky.Overcast.String(), sky.Broken.String())
	case Nearest(text, words) == "":
		hint = s.instead("condition", words[0]) + "; all are " + listed(words)
	}
	s.fault(s.at("condition"), "unknown sky "+quoted(text), hint)
	return sky.Clear
}

// likelySkies is the hint for a word that some of the conditions are meant by
// more likely than the others.
func (s *section) likelySkies(words []string, likely ...string) string {
	rest := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains(likely, w) })
	return s.instead("condition", likely[0]) + ", or " + listed(slices.Concat(likely[1:], rest))
}

// dayOf returns the shoot's day.
func dayOf(s *shoot.Shoot) sky.Day {
	o, date := s.Observer(), s.When.Date
	return o.Day(date.Year, date.Month, date.Day, s.Place.Zone)
}

// checkTimes reports instants that the day does not have, changes of the sky
// out of order, and windows that cannot be.
func (r *reader) checkTimes(s *shoot.Shoot, day sky.Day, when *section, skies []*section) {
	if !r.checkEnds(s, day, when) {
		return
	}
	from, to, err := s.Window(day)
	if err != nil {
		when.blame("to", err, "")
		return
	}
	r.checkSteps(s, to.Sub(from), when)
	last := time.Time{}
	for i, one := range s.Sky {
		if i == 0 || one.From == nil {
			continue
		}
		start, err := s.TimeOf(*one.From, day)
		switch {
		case err != nil:
			skies[i].blame("from", err, insteadOf(*one.From, later(from, last).Add(time.Minute)))
		case !start.After(last):
			r.fault(skies[i].at("from"), fmt.Sprintf("this [[sky]] begins at %s, not after the one before it",
				start.In(s.Place.Zone).Format("15:04")),
				"write them in order of time")
		}
		last = start
	}
}

// checkSteps reports a step that is too small for its window.
func (r *reader) checkSteps(s *shoot.Shoot, window time.Duration, when *section) {
	each := max(1, s.Cases()*len(s.Methods))
	steps, answers := int(window/s.When.Step)+1, mostAnswersOf(s)
	what := fmt.Sprintf("steps of %s make %d moments of the window, ", shoot.Span(s.When.Step), steps)
	switch {
	case steps > mostSteps:
		what += fmt.Sprintf("more than %d", mostSteps)
	case steps*each > answers:
		what += fmt.Sprintf("and %d answers of all methods, more than %d", steps*each, answers)
	default:
		return
	}
	most := min(mostSteps, answers/each)
	r.fault(when.at("step_minutes"), what,
		when.instead("step_minutes", plain(math.Ceil(window.Minutes()/float64(most-1)))))
}

// checkEnds reports the ends of the window that the day does not have, with
// clock times in their stead that make a window.
func (r *reader) checkEnds(s *shoot.Shoot, day sky.Day, when *section) bool {
	from, fromErr := s.Moment(s.When.From, day)
	to, toErr := s.Moment(s.When.To, day)
	begin, end := from, to
	switch length := 2 * time.Hour; {
	case fromErr == nil:
		end = from.Add(length)
	case toErr == nil:
		begin = to.Add(-length)
	case day.SunNeverRises:
		begin, end = day.Start.Add(11*time.Hour), day.Start.Add(13*time.Hour)
	default:
		begin, end = day.Start.Add(20*time.Hour), day.Start.Add(22*time.Hour)
	}
	if fromErr != nil {
		when.blame("from", fromErr, insteadOf(s.When.From, begin))
	}
	if toErr != nil {
		when.blame("to", toErr, insteadOf(s.When.To, end))
	}
	return fromErr == nil && toErr == nil
}

// insteadOf is the clock time to type for an event that the day does not have;
// for a clock time the fault itself knows better.
func insteadOf(i shoot.Instant, t time.Time) string {
	if i.Event == "" {
		return ""
	}
	return clock(t)
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// clock writes a time of day.
func clock(t time.Time) string { return t.Format("15:04") }

// asFault returns the fault that an error of reading a value is: of an instant,
// a position, hours or dates.
func asFault(err error) Fault {
	f, none := Fault{}, shoot.TimeError{}
	switch {
	case errors.As(err, &f):
		return f
	case errors.As(err, &none):
		return Fault{What: none.What, Hint: none.Instead}
	}
	return Fault{What: err.Error()}
}
