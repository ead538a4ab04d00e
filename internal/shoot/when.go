package shoot

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/spelling"
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
	const longest = 24 * time.Hour
	if e := s.take(key); e != nil {
		if minutes, ok := asNumber(e); ok && minutes < 0.5/60 {
			near := fallback.Minutes()
			if meant := -minutes; meant >= 1 && meant <= longest.Minutes() {
				near = meant // a dash too many
			}
			s.fault(e, s.said(key, plain(minutes))+" is less than a second", s.instead(key, plain(near)))
			return fallback
		}
	}
	minutes := s.number(key, fallback.Minutes(), 0, longest.Minutes())
	return time.Duration(math.Round(minutes*60)) * time.Second
}

// date reads a day, which may be called today or tomorrow; today where there
// is none.
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
		switch strings.ToLower(v) {
		case "today":
			return today
		case "tomorrow":
			return today.after(1)
		}
		t, err := time.Parse(time.DateOnly, v)
		if err != nil {
			s.fault(e, s.said(key, quoted(v))+" is no date", s.insteadDates(key, nearestDates(v, today)))
			return today
		}
		date = Date{t.Year(), t.Month(), t.Day()}
	default:
		s.wrong(e, key, "a date", today.String())
		return today
	}
	if date.Year < firstYear || date.Year > lastYear {
		s.fault(e, fmt.Sprintf("%s lies outside %d to %d, the years that the sun's position is stated for",
			s.said(key, date.String()), firstYear, lastYear), s.instead(key, today.String()))
		return today
	}
	return date
}

// insteadDates returns what to type for a date, with the other reading where
// there are two.
func (s *section) insteadDates(key string, dates []Date) string {
	hint := s.instead(key, dates[0].String())
	for _, other := range dates[1:] {
		if s.flag(key) != "" {
			hint += " or " + other.String()
		} else {
			hint += " or " + strconv.Quote(other.String())
		}
	}
	return hint
}

// Dates as they are written elsewhere. Of the last form nobody can tell whether
// the day comes first.
var (
	yearFirst = regexp.MustCompile(`^\s*(\d{4})[-./ ](\d{1,2})[-./ ](\d{1,2})\.?\s*$`)
	dayFirst  = regexp.MustCompile(`^\s*(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})\s*$`)
	yearLast  = regexp.MustCompile(`^\s*(\d{1,2})[-/](\d{1,2})[-/](\d{4})\s*$`)
)

// nearestDates returns the day that what is no date most likely means, or the
// two that it may mean; today where that cannot be told.
func nearestDates(text string, today Date) []Date {
	if m := yearFirst.FindStringSubmatch(text); m != nil {
		return []Date{nearestDay(m[1], m[2], m[3], today)}
	}
	if m := dayFirst.FindStringSubmatch(text); m != nil {
		return []Date{nearestDay(m[3], m[2], m[1], today)}
	}
	m := yearLast.FindStringSubmatch(text)
	if m == nil {
		return []Date{today}
	}
	first, _ := strconv.Atoi(m[1]) // digits, by the form
	second, _ := strconv.Atoi(m[2])
	isDayFirst := nearestDay(m[3], m[2], m[1], today)
	isMonthFirst := nearestDay(m[3], m[1], m[2], today)
	switch {
	case second > 12:
		return []Date{isMonthFirst}
	case first > 12 || isDayFirst == isMonthFirst:
		return []Date{isDayFirst}
	}
	return []Date{isDayFirst, isMonthFirst}
}

// nearestDay returns the day of the calendar nearest to three numbers; today
// where the year is none to plan for.
func nearestDay(year, month, day string, today Date) Date {
	y, _ := strconv.Atoi(year) // digits all, by the forms
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	if y < firstYear || y > lastYear {
		return today
	}
	m = max(1, min(m, 12))
	last := time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day()
	return Date{y, time.Month(m), max(1, min(d, last))}
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

// blame reports the fault of an instant, with a time of day to type instead:
// the given one, or else the fault's own.
func (s *section) blame(key string, err error, instead string) {
	f := asFault(err)
	s.fault(s.at(key), s.called(key)+": "+f.What, s.instead(key, cmp.Or(instead, f.Hint)))
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
			r.fault(s.at("from"), "the first [[sky]] begins at "+span.From.String()+" and not with the window",
				s.without("from"))
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
	near := cmp.Or(spelling.Nearest(text, words), sky.Clear.String())
	s.fault(s.at("condition"), fmt.Sprintf("there is no condition %s of the sky", quoted(text)),
		s.instead("condition", near)+"; all are "+listed(words))
	return sky.Clear
}

// checkTimes reports instants that the day does not have, changes of the sky
// out of order, and windows that cannot be.
func (r *reader) checkTimes(s *Shoot, day sky.Day, when *section, skies []*section) {
	if !r.checkEnds(s, day, when) {
		return
	}
	from, to, err := s.Window(day)
	if err != nil {
		when.blame("to", err, "")
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
			skies[i].blame("from", err, insteadOf(*one.From, later(from, last).Add(time.Minute)))
		case !start.After(last):
			r.fault(skies[i].at("from"), fmt.Sprintf("this [[sky]] begins at %s, not after the one before it", start.In(s.Place.Zone).Format("15:04")),
				"write them in order of time")
		}
		last = start
	}
}

// checkEnds reports the ends of the window that the day does not have, with
// clock times in their stead that make a window.
func (r *reader) checkEnds(s *Shoot, day sky.Day, when *section) bool {
	from, fromErr := s.moment(s.When.From, day)
	to, toErr := s.moment(s.When.To, day)
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
func insteadOf(i Instant, t time.Time) string {
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

// asFault returns the fault that an error of an instant is.
func asFault(err error) Fault {
	f := Fault{}
	if !errors.As(err, &f) {
		f.What = err.Error()
	}
	return f
}
