package shootfile

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/shoot"

	"github.com/pelletier/go-toml/v2"
)

// The years that the sun's position is stated for.
const (
	firstYear = 1950
	lastYear  = 2100
)

// date reads a day as people write it where that can mean one day only, also
// today, tomorrow, a day of the week or a day without its year, the next such
// day from today on; today where there is none.
func (s *section) date(key string, today shoot.Date) shoot.Date {
	e := s.take(key)
	if e == nil {
		return s.inYears(s.at(key), key, "today, "+today.String(), today, today)
	}
	date := today
	switch v := e.value.(type) {
	case toml.LocalDate:
		date = shoot.Date{Year: v.Year, Month: time.Month(v.Month), Day: v.Day}
	case toml.LocalDateTime:
		day := shoot.Date{Year: v.Year, Month: time.Month(v.Month), Day: v.Day}
		s.fault(e, s.said(key, v.String())+" is a date with a time of day", s.instead(key, within(day).String()))
		return today
	case string:
		next, ok := nextDate(v, today)
		dates := datesOf(v)
		switch {
		case ok:
			date = next
		case len(dates) == 1:
			date = dates[0]
		default:
			s.notADate(e, key, v, today)
			return today
		}
	default:
		s.wrong(e, key, "a date", within(today).String())
		return today
	}
	return s.inYears(e, key, s.said(key, date.String()), date, today)
}

// nextDate reads a day that is counted from today, which may be meant itself:
// today, tomorrow, Saturday, 12 June. Its ok is false where the text is none.
func nextDate(text string, today shoot.Date) (date shoot.Date, ok bool) {
	text = strings.Join(strings.Fields(strings.ToLower(text)), " ")
	switch text {
	case "today":
		return today, true
	case "tomorrow":
		return today.After(1), true
	}
	fits := weekdayNamed(text)
	if fits == nil {
		fits = yearlyNamed(text)
	}
	const most = 8 * 366 // days: from one 29 February to the next may be eight years
	for days := 0; fits != nil && days <= most; days++ {
		if day := today.After(days); fits(day) {
			return day, true
		}
	}
	return today, false
}

// isCounted reports whether a text is a day that is counted from today,
// whichever that is.
func isCounted(text string) bool {
	_, ok := nextDate(text, anyDay)
	return ok
}

// weekdayNamed returns which days bear the English name of a day of the week or
// its first letters, at least three; nil for none.
func weekdayNamed(name string) func(shoot.Date) bool {
	name = strings.TrimSuffix(name, ".")
	for weekday := time.Sunday; weekday <= time.Saturday; weekday++ {
		if len(name) >= 3 && strings.HasPrefix(strings.ToLower(weekday.String()), name) {
			return func(d shoot.Date) bool {
				return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Weekday() == weekday
			}
		}
	}
	return nil
}

// yearlyNamed returns which days are that of a month which comes every year;
// nil where the text names none.
func yearlyNamed(text string) func(shoot.Date) bool {
	for _, f := range yearlyForms {
		m := f.form.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		day, _ := strconv.Atoi(m[f.day]) // digits, by the forms
		month, err := strconv.Atoi(m[f.month])
		if err != nil {
			month = monthNamed(m[f.month])
		}
		const leap = 2028
		if month < 1 || month > 12 || day < 1 || day > daysIn(leap, month) {
			return nil
		}
		return func(d shoot.Date) bool { return int(d.Month) == month && d.Day == day }
	}
	return nil
}

// How days without their year are written.
var yearlyForms = [...]struct {
	form       *regexp.Regexp
	month, day int
}{
	{regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|\.)?(?: of)?[- ]?([a-z]{3,9})\.?$`), 2, 1},
	{regexp.MustCompile(`^([a-z]{3,9})\.?[- ]?(\d{1,2})(?:st|nd|rd|th)?$`), 1, 2},
	{regexp.MustCompile(`^(\d{1,2})\. ?(\d{1,2})\.$`), 2, 1},
}

// inYears reports a date that the sun's position is not stated for, and
// returns one that it is.
func (s *section) inYears(e *entry, key, said string, date, today shoot.Date) shoot.Date {
	if within(date) == date {
		return date
	}
	near := within(today)
	s.fault(e, outsideYears(said), s.instead(key, near.String()))
	return near
}

// outsideYears says of a date, as it was written, that the sun's position is not
// stated for it.
func outsideYears(said string) string {
	return fmt.Sprintf("%s: must be %d to %d, the years that the sun's position is stated for", said, firstYear, lastYear)
}

// hasYear reports whether a year is one that the sun's position is stated for.
func hasYear(year int) bool { return year >= firstYear && year <= lastYear }

// within returns the day, or where its year is none of those that the sun's
// position is stated for, the same of the nearest that is.
func within(date shoot.Date) shoot.Date {
	date.Year = max(firstYear, min(date.Year, lastYear))
	date.Day = min(date.Day, daysIn(date.Year, int(date.Month)))
	return date
}

// notADate reports what is not a date, or may be one of two.
func (s *section) notADate(e *entry, key, text string, today shoot.Date) {
	what := s.said(key, quoted(text)) + " is not a date"
	if m := withTime.FindStringSubmatch(text); m != nil && len(datesOf(m[1])) == 1 {
		hint := s.instead(key, within(datesOf(m[1])[0]).String())
		if s.flag(key) != "" {
			hint += " --from " + m[2]
		} else {
			hint += fmt.Sprintf(", and from = %q", m[2])
		}
		s.fault(e, what+" alone", hint)
		return
	}
	dates := datesOf(text)
	for i, date := range dates {
		dates[i] = within(date)
	}
	if len(dates) == 0 {
		dates = []shoot.Date{nearestDate(text, within(today))}
	} else {
		what = s.said(key, quoted(text)) + " may be either of two dates"
	}
	hint := s.instead(key, dates[0].String())
	for _, other := range dates[1:] {
		if s.flag(key) != "" {
			hint += " or " + other.String()
		} else {
			hint += " or " + strconv.Quote(other.String())
		}
	}
	s.fault(e, what, hint)
}

// How dates are written: which part stands where.
var dateForms = [...]struct {
	form             *regexp.Regexp
	year, month, day int
}{
	{regexp.MustCompile(`^(\d{4})[-./ ](\d{1,2})[-./ ](\d{1,2})\.?$`), 1, 2, 3},
	{regexp.MustCompile(`^(\d{4})(\d{2})(\d{2})$`), 1, 2, 3},
	{regexp.MustCompile(`^(\d{4})[- ]([a-z]{3,9})[- ](\d{1,2})$`), 1, 2, 3},
	{regexp.MustCompile(`^(\d{1,2})\. ?(\d{1,2})\. ?(\d{4}|\d{2})$`), 3, 2, 1},
	{regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|\.)?(?: of)?[- ]?([a-z]{3,9})\.?,?[- ]?(\d{4}|\d{2})$`), 3, 2, 1},
	{regexp.MustCompile(`^([a-z]{3,9})\.? ?(\d{1,2})(?:st|nd|rd|th)?,? (\d{4}|\d{2})$`), 3, 1, 2},
	// Of these nobody can tell which of the two it is, but by their numbers.
	{regexp.MustCompile(`^(\d{1,2})[-/](\d{1,2})[-/](\d{4})$`), 3, 2, 1},
	{regexp.MustCompile(`^(\d{1,2})[-/](\d{1,2})[-/](\d{4})$`), 3, 1, 2},
	{regexp.MustCompile(`^(\d{1,2})/(\d{1,2})/(\d{2})$`), 3, 2, 1},
	{regexp.MustCompile(`^(\d{1,2})/(\d{1,2})/(\d{2})$`), 3, 1, 2},
}

// century is that of years written with two digits.
const century = 2000

// withTime is a date with a time of day behind it.
var withTime = regexp.MustCompile(`^\s*(\d{4}-\d{2}-\d{2})[Tt ]\s*(\d{1,2}:\d{2})(?::\d{2})?`)

// datesOf returns the days of the calendar that a text may mean: none, one,
// or two where the month may come first or second.
func datesOf(text string) []shoot.Date {
	var dates []shoot.Date
	readAsDates(text, func(year, month, day int) {
		d := shoot.Date{Year: year, Month: time.Month(month), Day: day}
		if month >= 1 && month <= 12 && day >= 1 && day <= daysIn(year, month) && !slices.Contains(dates, d) {
			dates = append(dates, d)
		}
	})
	return dates
}

// readAsDates calls found with the numbers of every form that a text has.
func readAsDates(text string, found func(year, month, day int)) {
	text = strings.Join(strings.Fields(strings.ToLower(text)), " ")
	for _, f := range dateForms {
		m := f.form.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		year, _ := strconv.Atoi(m[f.year]) // digits, by the forms
		if len(m[f.year]) == 2 {
			year += century
		}
		day, _ := strconv.Atoi(m[f.day])
		month, err := strconv.Atoi(m[f.month])
		if err != nil {
			month = monthNamed(m[f.month])
		}
		if month != 0 || err == nil {
			found(year, month, day)
		}
	}
}

// monthNamed returns the month of an English name or of its first letters; 0
// for none.
func monthNamed(name string) int {
	for month := time.January; month <= time.December; month++ {
		if strings.HasPrefix(strings.ToLower(month.String()), name) || name == "sept" && month == time.September {
			return int(month)
		}
	}
	return 0
}

// nearestDate returns the day of the calendar nearest to what a text says;
// where it names no year of those that can be planned for, today.
func nearestDate(text string, today shoot.Date) shoot.Date {
	nearest := today
	for _, one := range [...]string{text + fmt.Sprintf(" %d", today.Year), text} { // the year left out, or not
		readAsDates(one, func(year, month, day int) {
			if !hasYear(year) {
				return
			}
			month = max(1, min(month, 12))
			nearest = shoot.Date{Year: year, Month: time.Month(month), Day: max(1, min(day, daysIn(year, month)))}
		})
	}
	return nearest
}

// daysIn returns how many days a month has.
func daysIn(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}
