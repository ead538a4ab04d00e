package shootfile

import (
	"bytes"
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"
	"time"

	"evenfall/internal/shoot"
	"evenfall/internal/words"

	"github.com/pelletier/go-toml/v2"
)

// exampleForecast is a line of a forecast.
const exampleForecast = "2027-05-01 15:00,3"

// forecastColumns are what a forecast has of each time.
var forecastColumns = [...]string{"time", "oktas"}

// clouded is the cloud of one line, and where it is written.
type clouded struct {
	shoot.CloudFrom
	line int
}

// parseForecast reads a forecast of cloud, the text of a file called name: a line
// for each time, the time and a comma and the oktas, 0 to 8. Times are as RFC 3339
// has them, or 2027-05-01 15:00 in the zone. A first line may name the columns, of
// which time and oktas count. Semicolons and tabs part columns too; empty lines
// and those that begin with # are left out. The forecast is in order of time.
func parseForecast(name string, text []byte, zone *time.Location) (shoot.Forecast, Faults) {
	switch {
	case len(text) > LargestFile:
		return nil, Faults{{File: name, Hint: "fewer lines: a line an hour for a fortnight takes ten kilobytes",
			What: fmt.Sprintf("is longer than %d bytes, the most that a forecast may be", LargestFile)}}
	case isUTF16(text):
		return nil, Faults{{File: name, What: "is saved as UTF-16", Hint: "save it as UTF-8"}}
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	var faults Faults
	var list []clouded
	columns := [2]int{0, 1}
	begun := false
	for i, line := range strings.Split(string(text), "\n") {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		fields := fieldsOf(line)
		if named, is := columnsOf(fields); is && !begun {
			columns, begun = named, true
			continue
		}
		begun = true
		one, f := readCloud(fields, columns, zone)
		if f != nil {
			f.File, f.Line, f.Column = name, i+1, 1
			faults = append(faults, *f)
			continue
		}
		list = append(list, clouded{one, i + 1})
	}
	if !begun || len(list) == 0 && len(faults) == 0 {
		return nil, Faults{{File: name, What: "has no forecast in it", Hint: exampleForecast}}
	}
	forecast, again := inTime(list)
	for _, twice := range again {
		faults = append(faults, Fault{File: name, Line: twice[1].line, Column: 1, What: fmt.Sprintf(
			"%s is on line %d already", twice[1].Time.Format("2006-01-02 15:04"), twice[0].line),
			Hint: "leave one of the two lines out"})
	}
	return forecast, faults
}

// inTime sorts the lines of a forecast, and returns those of a time that
// another has too, behind the other.
func inTime(list []clouded) (forecast shoot.Forecast, again [][2]clouded) {
	sort.SliceStable(list, func(i, j int) bool { return list[i].Time.Before(list[j].Time) })
	for i, one := range list {
		if i > 0 && one.Time.Equal(list[i-1].Time) {
			again = append(again, [2]clouded{list[i-1], one})
		}
		forecast = append(forecast, one.CloudFrom)
	}
	return forecast, again
}

// fieldsOf takes a line apart where its columns are parted, without quotes about
// them.
func fieldsOf(line string) []string {
	separator := ","
	for _, other := range [...]string{";", "\t"} {
		if !strings.Contains(line, ",") && strings.Contains(line, other) {
			separator = other
		}
	}
	fields := strings.Split(line, separator)
	for i := range fields {
		fields[i] = strings.Trim(strings.TrimSpace(fields[i]), `"`)
	}
	return fields
}

// columnsOf returns where the columns of a forecast are, by a line that names
// them.
func columnsOf(fields []string) (columns [2]int, ok bool) {
	for i, name := range forecastColumns {
		columns[i] = slices.IndexFunc(fields, func(field string) bool { return strings.EqualFold(field, name) })
		if columns[i] < 0 {
			return columns, false
		}
	}
	return columns, true
}

// readCloud reads the cloud of a line. The fault lies nowhere yet, its hint the
// line to write instead.
func readCloud(fields []string, columns [2]int, zone *time.Location) (shoot.CloudFrom, *Fault) {
	field := func(i int) string {
		if columns[i] < len(fields) {
			return fields[columns[i]]
		}
		return ""
	}
	line := strings.Join(fields, ",")
	if c, is := words.Unsafe(line); is { // broken UTF-8 too
		return shoot.CloudFrom{}, &Fault{What: fmt.Sprintf("the line holds the control character %U", c),
			Hint: exampleForecast}
	}
	oktas, near, what := readOktas(field(1))
	t, f := readForecastTime(field(0), zone)
	instead := func(t, oktas string) string {
		better := slices.Clone(fields)
		for len(better) <= max(columns[0], columns[1]) {
			better = append(better, "")
		}
		better[columns[0]], better[columns[1]] = t, oktas
		return strings.Join(better, ",")
	}
	switch {
	case f != nil:
		f.Hint = instead(f.Hint, near)
		return shoot.CloudFrom{}, f
	case what != "":
		return shoot.CloudFrom{}, &Fault{What: what, Hint: instead(field(0), near)}
	}
	return shoot.CloudFrom{Time: t, Oktas: oktas}, nil
}

// readOktas reads a number of oktas, and returns what is most likely meant and
// what is wrong with it; nothing of a good one.
func readOktas(text string) (oktas float64, near, what string) {
	v, ok := readNumber(text)
	oktas, _ = v.(float64)
	switch {
	case text == "":
		return 0, "3", "the oktas are missing"
	case !ok:
		near = "3"
		if m := almost.FindStringSubmatch(text); m != nil {
			v, _ := readNumber(strings.ReplaceAll(m[1], ",", "."))
			oktas, _ = v.(float64)
			near = plain(clamp(oktas, 0, 8))
		}
		return 0, near, quoted(text) + " is no number of oktas, 0 to 8"
	case oktas > 9 && oktas <= 100: // percent
		near = written(float64(int(oktas*8/100 + 0.5)))
		return 0, near, fmt.Sprintf("%s oktas: must be 0 to 8, eighths of the sky", plain(oktas))
	case oktas < 0 || oktas > 8:
		return 0, plain(clamp(oktas, 0, 8)), fmt.Sprintf("%s oktas: must be 0 to 8, eighths of the sky", plain(oktas))
	}
	return oktas, plain(oktas), ""
}

// Times of a forecast, with their offset and without one.
var (
	zonedTimes = [...]string{time.RFC3339, "2006-01-02 15:04:05Z07:00", "2006-01-02T15:04Z07:00",
		"2006-01-02 15:04Z07:00"}
	localTimes = [...]string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05"}
)

// readForecastTime reads a time of a forecast, in a zone where it has no offset
// of its own. The fault lies nowhere, its hint another time.
func readForecastTime(text string, zone *time.Location) (time.Time, *Fault) {
	clean := strings.Join(strings.Fields(text), " ")
	for _, layout := range zonedTimes {
		if t, err := time.Parse(layout, clean); err == nil {
			return inForecastYears(t, text)
		}
	}
	for _, layout := range localTimes {
		as, err := time.Parse(layout, clean)
		if err != nil {
			continue
		}
		t := time.Date(as.Year(), as.Month(), as.Day(), as.Hour(), as.Minute(), as.Second(), 0, zone)
		if shown := t.Format(localTimes[0]); shown != as.Format(localTimes[0]) {
			later := t
			if shown < as.Format(localTimes[0]) {
				later = t.Add(time.Hour)
			}
			return t, &Fault{What: fmt.Sprintf("%s does not exist in %v: clocks skip it", quoted(text), zone),
				Hint: later.Format(localTimes[0])}
		}
		return inForecastYears(t, text)
	}
	f := &Fault{What: quoted(text) + " is not a time such as 2027-05-01 15:00", Hint: nearestTime(clean)}
	if text == "" {
		f.What = "the time is missing"
	}
	return time.Time{}, f
}

// inForecastYears refuses times that no day that can be planned has.
func inForecastYears(t time.Time, text string) (time.Time, *Fault) {
	if hasYear(t.Year()) {
		return t, nil
	}
	near := time.Date(max(firstYear, min(t.Year(), lastYear)), t.Month(), min(t.Day(), 28), t.Hour(),
		t.Minute(), 0, 0, time.UTC)
	return t, &Fault{What: outsideYears(quoted(text)), Hint: near.Format(localTimes[0])}
}

// clockBehind is a day with a time of day behind it.
var clockBehind = regexp.MustCompile(`^(.*?)[T ](\d{1,2}[:.]\d{2}|\d{1,2} ?[ap]m)\b`)

// nearestTime returns the time of a forecast nearest to what a text says, at
// noon where it names the day alone.
func nearestTime(text string) string {
	day, clock := text, ""
	if m := clockBehind.FindStringSubmatch(text); m != nil {
		day, clock = m[1], m[2]
	}
	dates := datesOf(day)
	if len(dates) == 0 || !hasYear(dates[0].Year) {
		date, _, _ := strings.Cut(exampleForecast, ",")
		return date
	}
	i, err := ParseInstant(cmp.Or(clock, "12:00"))
	if err != nil || i.Event != "" {
		i = shoot.Instant{Offset: 12 * time.Hour}
	}
	return dates[0].String() + " " + time.Time{}.Add(i.Offset).Format("15:04")
}

// forecast reads a list of tables, in a zone that may not be known.
func (s *section) forecast(key string, zone *time.Location) shoot.Forecast {
	if zone == nil {
		zone = time.UTC
	}
	if e := s.entryOf(key); e != nil && e.list == nil {
		s.take(key)
		s.fault(e,
			s.called(key)+" is "+e.kind()+"; it must be a list of tables, and other files are read by flag only",
			`forecast = [{time = "2027-05-01 15:00", oktas = 3}], or --forecast FILE`)
		return nil
	}
	var list []clouded
	var at []*section
	for _, one := range s.tables(key) {
		t, ok := one.forecastTime("time", zone)
		oktas := one.number("oktas", 0, 0, 8)
		if one.entry.table["oktas"] == nil {
			s.fault(one.entry, "a forecast has no oktas", "oktas = 3")
		}
		one.done()
		if ok {
			list = append(list, clouded{shoot.CloudFrom{Time: t, Oktas: oktas}, len(at)})
			at = append(at, one)
		}
	}
	forecast, again := inTime(list)
	for _, twice := range again {
		s.fault(at[twice[1].line].at("time"), twice[1].Time.Format("2006-01-02 15:04")+" is there twice",
			"leave one of the two out")
	}
	return forecast
}

// forecastTime reads the time of a forecast.
func (s *section) forecastTime(key string, zone *time.Location) (time.Time, bool) {
	e := s.take(key)
	if e == nil {
		if s.entry.table[key] == nil {
			s.fault(s.entry, "a forecast has no time", `time = "2027-05-01 15:00"`)
		}
		return time.Time{}, false
	}
	text := ""
	switch v := e.value.(type) {
	case string:
		text = v
	case time.Time:
		text = v.Format(time.RFC3339)
	case toml.LocalDateTime:
		text = fmt.Sprintf("%s %02d:%02d:%02d", v.LocalDate, v.Hour, v.Minute, v.Second)
	default:
		s.wrong(e, key, "a time in quotes", "2027-05-01 15:00")
		return time.Time{}, false
	}
	t, f := readForecastTime(text, zone)
	if f != nil {
		s.fault(e, s.called(key)+": "+f.What, s.instead(key, f.Hint))
		return t, false
	}
	return t, true
}
