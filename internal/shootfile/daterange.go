package shootfile

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/shoot"

	"github.com/pelletier/go-toml/v2"
)

// mostYears is the longest range of dates.
const mostYears = 100

// usualDays is how many days are looked at where no dates are given.
const usualDays = 365

// yearFrom returns the dates that are looked at where none are given.
func yearFrom(today shoot.Date) shoot.DateRange {
	return shoot.DateRange{First: today, Last: today.After(usualDays - 1)}
}

// dates reads a range of dates; the zero range where there is none.
func (s *section) dates(key string, today shoot.Date) shoot.DateRange {
	e := s.take(key)
	if e == nil {
		return shoot.DateRange{}
	}
	usual := yearFrom(today)
	text := ""
	switch v := e.value.(type) {
	case string:
		text = v
	case int64: // a year without quotes
		text = strconv.FormatInt(v, 10)
	case toml.LocalDate:
		text = v.String()
	default:
		s.wrong(e, key, "a range of dates in quotes", usual.String())
		return usual
	}
	dates, err := parseDates(text, today)
	if err != nil {
		s.blame(key, err, "")
		return usual
	}
	return s.rangeInYears(key, dates)
}

// rangeInYears reports dates that the sun's position is not stated for, and
// ranges that are too long.
func (s *section) rangeInYears(key string, dates shoot.DateRange) shoot.DateRange {
	e := s.at(key)
	for _, end := range [...]shoot.Date{dates.First, dates.Last} {
		if !hasYear(end.Year) {
			near := shoot.DateRange{First: yearWithin(dates.First), Last: yearWithin(dates.Last)}
			if near.First == near.Last && dates.First != dates.Last {
				near = wholeYear(near.First.Year)
			}
			s.fault(e, outsideYears(s.said(key, dates.String())), s.instead(key, near.String()))
			return near
		}
	}
	most := shoot.Date{Year: dates.First.Year + mostYears, Month: dates.First.Month, Day: dates.First.Day}
	if dates.Last.Compare(most) < 0 {
		return dates
	}
	near := shoot.DateRange{First: dates.First, Last: most.After(-1)}
	s.fault(e, fmt.Sprintf("%s is longer than %d years", s.said(key, dates.String()), mostYears),
		s.instead(key, near.String()))
	return near
}

// yearWithin returns the date nearest to one in the years that can be planned
// for.
func yearWithin(d shoot.Date) shoot.Date {
	switch {
	case d.Year < firstYear:
		return shoot.Date{Year: firstYear, Month: time.January, Day: 1}
	case d.Year > lastYear:
		return shoot.Date{Year: lastYear, Month: time.December, Day: 31}
	}
	return d
}

func wholeYear(year int) shoot.DateRange {
	return shoot.DateRange{First: shoot.Date{Year: year, Month: time.January, Day: 1},
		Last: shoot.Date{Year: year, Month: time.December, Day: 31}}
}

func wholeMonth(year, month int) shoot.DateRange {
	return shoot.DateRange{First: shoot.Date{Year: year, Month: time.Month(month), Day: 1},
		Last: shoot.Date{Year: year, Month: time.Month(month), Day: daysIn(year, month)}}
}

// parseDates reads a range of dates as people write it: "2027-05-01..2027-05-31",
// "1 to 15 May 2027", "May..July 2027", a month "2027-05" or "May 2027", a year, or
// one day. What leaves its year out is the next from today on. The error is a
// Fault that lies nowhere, its hint another range.
func parseDates(text string, today shoot.Date) (shoot.DateRange, error) {
	clean := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	if spans := spansOf(clean, today); len(spans) > 0 {
		return oneOf(text, spans)
	}
	from, to, parted := cutRange(clean)
	if !parted {
		return shoot.DateRange{},
			Fault{What: quoted(text) + " is neither a range of dates nor a month, a year or a date",
				Hint: nearestSpan(clean, today).String()}
	}
	if from == "" || to == "" {
		return shoot.DateRange{}, Fault{What: quoted(text) + " has " + noEnd(from),
			Hint: between(nearestSpan(from+to, today), nil, today)}
	}
	firsts := firstSpans(from, to, today)
	if len(firsts) == 0 {
		return shoot.DateRange{}, Fault{What: quoted(from) + " is neither a date nor a month or a year",
			Hint: between(nearestSpan(from, today), lastSpans(to, from, today), today)}
	}
	first, err := oneOf(from, firsts)
	if err != nil {
		f := asFault(err)
		f.Hint = between(first, lastSpans(to, from, first.First), today)
		return first, f
	}
	lasts := lastSpans(to, from, first.First)
	if len(lasts) == 0 {
		return shoot.DateRange{}, Fault{What: quoted(to) + " is neither a date nor a month or a year",
			Hint: between(first, []shoot.DateRange{nearestSpan(to, first.Last)}, today)}
	}
	last, err := oneOf(to, lasts)
	if err != nil {
		f := asFault(err)
		f.Hint = between(first, lasts, today)
		return last, f
	}
	dates := shoot.DateRange{First: first.First, Last: last.Last}
	if dates.Last.Compare(dates.First) < 0 {
		swapped := shoot.DateRange{First: last.First, Last: first.Last}
		return dates, Fault{What: quoted(text) + " ends before it begins", Hint: swapped.String()}
	}
	return dates, nil
}

// noEnd says which end of a range is missing, by its beginning.
func noEnd(from string) string {
	if from == "" {
		return "no beginning"
	}
	return "no end"
}

// between writes a range from the beginning of one span to the end of the first
// of others, which are a month from it where there is none behind it.
func between(first shoot.DateRange, lasts []shoot.DateRange, today shoot.Date) string {
	dates := shoot.DateRange{First: first.First, Last: first.First.After(30)}
	if len(lasts) > 0 && lasts[0].Last.Compare(dates.First) >= 0 {
		dates.Last = lasts[0].Last
	}
	if dates.First.Year < firstYear || dates.Last.Year > lastYear {
		dates = shoot.DateRange{First: today, Last: today.After(30)}
	}
	return dates.String()
}

// oneOf returns the only span that a text can mean.
func oneOf(text string, spans []shoot.DateRange) (shoot.DateRange, error) {
	if len(spans) == 1 {
		return spans[0], nil
	}
	return spans[0], Fault{What: fmt.Sprintf("%s may be %v or %v", quoted(text), spans[0], spans[1]),
		Hint: spans[0].String()}
}

// separators part a range of dates, hours or angles.
var separators = [...]string{"...", "..", "…", "–", "—", " to ", " until ", " till ", " - "}

// cutRange takes a range apart.
func cutRange(text string) (from, to string, ok bool) {
	for _, separator := range separators {
		if from, to, ok = strings.Cut(text, separator); ok {
			return strings.TrimSpace(from), strings.TrimSpace(to), true
		}
	}
	return text, "", false
}

// Months with their year, as they are written.
var monthForms = [...]struct {
	form        *regexp.Regexp
	year, month int
}{
	{regexp.MustCompile(`^(\d{4})[-./ ](\d{1,2})$`), 1, 2},
	{regexp.MustCompile(`^(\d{1,2})[-./ ](\d{4})$`), 2, 1},
	{regexp.MustCompile(`^([a-z]{3,9})\.?,?[- ]?(\d{4})$`), 2, 1},
	{regexp.MustCompile(`^(\d{4})[- ]?([a-z]{3,9})\.?$`), 1, 2},
}

// yearForm is a year alone.
var yearForm = regexp.MustCompile(`^\d{4}$`)

// spansOf returns the spans of days that a text in lower case may mean: a year, a
// month, or one day. There are none, one, or two where the month of a day may
// come first or second.
func spansOf(text string, today shoot.Date) []shoot.DateRange {
	if yearForm.MatchString(text) {
		year, _ := strconv.Atoi(text) // digits, by the form
		return []shoot.DateRange{wholeYear(year)}
	}
	for _, f := range monthForms {
		m := f.form.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		year, _ := strconv.Atoi(m[f.year])
		month, err := strconv.Atoi(m[f.month])
		if err != nil {
			month = monthNamed(m[f.month])
		}
		if month < 1 || month > 12 {
			return nil
		}
		return []shoot.DateRange{wholeMonth(year, month)}
	}
	if day, ok := nextDate(text, today); ok {
		return []shoot.DateRange{{First: day, Last: day}}
	}
	if len(text) >= 3 && monthNamed(text) > 0 {
		return []shoot.DateRange{nextMonth(monthNamed(text), today)}
	}
	var spans []shoot.DateRange
	for _, day := range datesOf(text) {
		spans = append(spans, shoot.DateRange{First: day, Last: day})
	}
	return spans
}

// nextMonth returns the days of the next month of a number that is not over
// today, of this one the rest.
func nextMonth(month int, today shoot.Date) shoot.DateRange {
	year := today.Year
	if month < int(today.Month) {
		year++
	}
	span := wholeMonth(year, month)
	if span.First.Compare(today) < 0 {
		span.First = today
	}
	return span
}

// withYear is a year within a text.
var withYear = regexp.MustCompile(`\d{4}`)

// firstSpans are what the beginning of a range may mean. What it leaves out is
// as at the range's end: 1..15 May 2027.
func firstSpans(from, to string, today shoot.Date) []shoot.DateRange {
	if !withYear.MatchString(from) && withYear.MatchString(to) {
		words := strings.Fields(to)
		for i := 1; i < len(words); i++ {
			tail := strings.Join(words[i:], " ")
			if spans := spansOf(from+" "+tail, today); len(spans) > 0 {
				return spans
			}
		}
	}
	return spansOf(from, today)
}

// lastSpans are what the end of a range may mean. What it leaves out is as at
// the range's beginning, 2027-05-01..31, or the next from there on.
func lastSpans(to, from string, first shoot.Date) []shoot.DateRange {
	if withYear.MatchString(to) || !withYear.MatchString(from) {
		return spansOf(to, first)
	}
	if cut := len(from) - len(to); cut > 0 && strings.Trim(to, "0123456789-") == "" {
		if spans := spansOf(from[:cut]+to, first); len(spans) > 0 {
			return spans
		}
	}
	return spansOf(to, first)
}

// nearestSpan returns the span nearest to what a text says; a month from today
// on where it says nothing of the kind.
func nearestSpan(text string, today shoot.Date) shoot.DateRange {
	for _, f := range monthForms {
		m := f.form.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		year, _ := strconv.Atoi(m[f.year])
		month, err := strconv.Atoi(m[f.month])
		if err == nil && hasYear(year) {
			return wholeMonth(year, max(1, min(month, 12)))
		}
	}
	if day := nearestDate(text, today); day != today {
		return shoot.DateRange{First: day, Last: day}
	}
	return shoot.DateRange{First: today, Last: today.After(30)}
}
