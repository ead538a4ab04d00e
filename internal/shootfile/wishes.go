package shootfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// usualLength is how long a window has to be where it is not said.
const usualLength = 30 * time.Minute

// ResolveSearch checks the whole document as Resolve does, and what a search over
// dates is asked. The shoot's own day and hours do not count there: its date is
// the first of the search, and its window may be one that the day does not have.
// The error is a Faults with everything that is wrong.
func (d *Document) ResolveSearch(env Environment) (*shoot.Shoot, shoot.Wishes, error) {
	var w shoot.Wishes
	s, err := d.resolve(env, func(r *reader, wishes *section, of *shoot.Shoot) shoot.Date {
		w = r.wishes(wishes, env.Today, of.Place.Zone)
		if d.forecast != nil {
			forecast, faults := d.forecast.read(of.Place.Zone)
			w.Forecast, r.faults = forecast, append(r.faults, faults...)
		}
		if w.Dates == (shoot.DateRange{}) {
			w.Dates = r.yearFrom(env.Today)
		}
		return w.Dates.First
	})
	if err != nil {
		return nil, shoot.Wishes{}, err
	}
	return s, w, nil
}

// SetForecast puts a forecast of cloud, the text of a file called name, in the
// place of what the shoot says of it.
func (d *Document) SetForecast(name string, text []byte) {
	d.forecast = &forecastFile{name: name, text: text}
}

// forecastFile is a file that a forecast is read from.
type forecastFile struct {
	name string
	text []byte
}

// read returns the forecast for a place in a zone, which may not be known, and
// what is wrong with it.
func (f *forecastFile) read(zone *time.Location) (shoot.Forecast, Faults) {
	if zone == nil {
		zone = time.UTC
	}
	return parseForecast(f.name, f.text, zone)
}

// wishes reads the section of that name, for a place in a zone. Dates that are
// not given stay zero.
func (r *reader) wishes(s *section, today shoot.Date, zone *time.Location) shoot.Wishes {
	return shoot.Wishes{
		Dates:       s.dates("dates", today),
		On:          s.weekdays("on"),
		Between:     s.hours("between"),
		AtLeast:     s.atLeast("at_least_minutes"),
		Light:       s.light("light"),
		SunAltitude: s.altitudes("sun_altitude_deg"),
		SunAzimuth:  s.azimuths("sun_azimuth_deg"),
		SunFrom:     s.sides("sun_from"),
		SunVisible:  s.truth("sun_visible", false),
		Held:        s.truth("held", false),
		Headroom:    sky.Stops(s.quantity("headroom_stops", 0)),

		KeepAperture: s.truth("keep_aperture", false),
		Odds:         s.odds("odds"),
		Forecast:     s.forecast("forecast", zone),
	}
}

// atLeast reads how long a window has to be, in the range that the table of keys
// has for it.
func (s *section) atLeast(key string) time.Duration {
	k := s.described(key)
	return s.duration(key, usualLength, time.Minute, k.low, k.high)
}

// yearFrom returns the dates that are looked at where none are given.
func (r *reader) yearFrom(today shoot.Date) shoot.DateRange {
	usual := yearFrom(today)
	near := shoot.DateRange{First: yearWithin(usual.First), Last: yearWithin(usual.Last)}
	if near != usual {
		r.faults = append(r.faults, Fault{Flag: "dates", What: fmt.Sprintf("--dates is not given, and today, %v, "+
			"is not in %d to %d, the years that the sun's position is stated for", today, firstYear, lastYear),
			Hint: "--dates " + fmt.Sprint(near.First.Year)})
	}
	return near
}

// wordList reads words of a list, or of a text with commas between.
func (s *section) wordList(key, example string) []string {
	e := s.take(key)
	if e == nil {
		return nil
	}
	if text, ok := e.value.(string); ok {
		return strings.Split(text, ",")
	}
	if e.list == nil {
		s.wrong(e, key, "a list of words", example)
		return nil
	}
	var words []string
	for _, one := range e.list {
		text, ok := one.value.(string)
		switch {
		case one.spoiled:
		case !ok:
			s.fault(one, fmt.Sprintf("%s holds %s; it must hold words", s.called(key), one.kind()),
				s.instead(key, example))
		default:
			words = append(words, text)
		}
	}
	return words
}

// meanings reads a list of words, each of which means some of all that there
// are, and returns those in the order of all. The fault of words that mean
// nothing has the whole list as its hint, with what is most likely meant.
func (s *section) meanings(key, example string, all, also []string, meaning func(string) []string) []string {
	words := s.wordList(key, example)
	meant := map[string]bool{}
	var unknown, right []string
	for _, word := range words {
		word = strings.TrimSpace(word)
		near := word
		if len(meaning(word)) == 0 {
			unknown = append(unknown, word)
			near = Nearest(word, slices.Concat(all, also))
		}
		if near != "" && !slices.Contains(right, near) {
			right = append(right, near)
		}
		for _, one := range meaning(word) {
			meant[one] = true
		}
	}
	if len(unknown) > 0 || words != nil && len(words) == 0 {
		what := s.called(key) + " is empty"
		if len(unknown) > 0 {
			what = fmt.Sprintf("%s: %s is not known; there are %s", s.called(key), quoted(unknown[0]),
				listed(slices.Concat(all, also)))
		}
		s.fault(s.at(key), what, s.instead(key, cmp.Or(strings.Join(right, ","), example)))
		return nil
	}
	return slices.DeleteFunc(slices.Clone(all), func(one string) bool { return !meant[one] })
}

// Days of the week together.
const (
	weekend  = "weekend"
	weekdays = "weekdays"
)

// weekNames lists the days of the week from Monday on.
func weekNames() []string {
	var names []string
	for i := range 7 {
		names = append(names, strings.ToLower(time.Weekday((i+1)%7).String()))
	}
	return names
}

// daysMeant returns the days of the week that a word means: sat, Saturdays,
// weekend, weekdays, fri-sun.
func daysMeant(word string) []string {
	names := weekNames()
	word = strings.ToLower(strings.TrimSpace(word))
	switch strings.TrimSuffix(word, "s") {
	case weekend:
		return names[5:]
	case strings.TrimSuffix(weekdays, "s"):
		return names[:5]
	}
	first, last, parted := cutRange(word)
	if !parted {
		first, last, parted = strings.Cut(word, "-")
	}
	from, to := dayMeant(first), dayMeant(last)
	switch {
	case from < 0 || parted && to < 0:
		return nil
	case !parted:
		return names[from : from+1]
	case to < from:
		return slices.Concat(names[:to+1], names[from:])
	}
	return names[from : to+1]
}

// dayMeant returns which day of the week from Monday on a name or its first
// letters mean, at least two; -1 for none.
func dayMeant(name string) int {
	name = strings.TrimSuffix(strings.TrimSpace(name), ".")
	return slices.IndexFunc(weekNames(), func(day string) bool {
		return len(name) >= 2 && (strings.HasPrefix(day, name) || name == day+"s")
	})
}

// weekdays reads days of the week; all of them are none that is wished for.
func (s *section) weekdays(key string) []time.Weekday {
	names := weekNames()
	meant := s.meanings(key, "sat,sun", names, []string{weekend, weekdays}, daysMeant)
	if len(meant) == len(names) {
		return nil
	}
	var days []time.Weekday
	for _, name := range meant {
		days = append(days, time.Weekday((slices.Index(names, name)+1)%7))
	}
	return days
}

// backlit stands for the sides with the sun behind the sitter.
const backlit = "backlit"

// sunSides lists the sides that the sun may come from, clockwise as the sitter
// sees them turned.
func sunSides() []string {
	var sides []string
	for eighth := range 8 {
		sides = append(sides, scene.Bearing(0, sky.Degrees(45*float64(eighth))))
	}
	return sides
}

// sidesMeant returns the sides of the sun that a word means: the side itself,
// or backlit for all three with the sun behind the sitter.
func sidesMeant(word string) []string {
	word = strings.ReplaceAll(normal(word), " ", "-")
	var sides []string
	for _, side := range sunSides() {
		if side == word || word == backlit && strings.HasPrefix(side, "back") {
			sides = append(sides, side)
		}
	}
	return sides
}

// sides reads where the sun is to come from, as seen from the camera.
func (s *section) sides(key string) []string {
	return s.meanings(key, "back-left,back", sunSides(), []string{backlit}, sidesMeant)
}

// exampleHours are hours to type.
const exampleHours = "15:00..21:30"

// hours reads a range of times of day.
func (s *section) hours(key string) *shoot.Hours {
	if s.take(key) == nil {
		return nil
	}
	text := s.text(key, exampleHours)
	if _, isText := s.entryOf(key).value.(string); !isText || text == "" {
		return nil
	}
	hours, err := parseHours(text)
	if err != nil {
		s.blame(key, err, "")
		return nil
	}
	return &hours
}

// parseHours reads two times of day with dots between, as in
// sunset-2h..sunset+20m. The error is a Fault that lies nowhere, its hint other
// hours.
func parseHours(text string) (shoot.Hours, error) {
	from, to, parted := cutRange(strings.ToLower(text))
	if !parted {
		from, to, parted = cutHours(text)
	}
	if !parted {
		return shoot.Hours{}, Fault{What: quoted(text) + " has no beginning and end", Hint: hoursAround(text)}
	}
	if from == "" || to == "" {
		return shoot.Hours{}, Fault{What: quoted(text) + " has " + noEnd(from), Hint: hoursAround(from + to)}
	}
	first, firstErr := ParseInstant(from)
	last, lastErr := ParseInstant(to)
	if err := cmp.Or(firstErr, lastErr); err != nil {
		f := asFault(err)
		begin, end := first.String(), last.String()
		if firstErr != nil {
			begin = cmp.Or(asFault(firstErr).Hint, "15:00")
		}
		if lastErr != nil {
			end = cmp.Or(asFault(lastErr).Hint, "21:30")
		}
		f.Hint = begin + ".." + end
		if h, err := parseHours(f.Hint); err != nil || h.Backwards() {
			f.Hint = exampleHours
		}
		return shoot.Hours{}, f
	}
	hours := shoot.Hours{From: first, To: last}
	switch {
	case first == last:
		return hours, Fault{What: quoted(text) + " ends when it begins", Hint: hoursAround(from)}
	case hours.Backwards():
		return hours, Fault{What: quoted(text) + " ends before it begins",
			Hint: shoot.Hours{From: last, To: first}.String()}
	}
	return hours, nil
}

// cutHours takes hours of the clock with a hyphen between apart.
func cutHours(text string) (from, to string, ok bool) {
	from, to, ok = strings.Cut(text, "-")
	_, fromErr := ParseInstant(from)
	_, toErr := ParseInstant(to)
	return from, to, ok && fromErr == nil && toErr == nil
}

// hoursAround are the two hours from a single time of day on, to type in its
// place.
func hoursAround(text string) string {
	i, err := ParseInstant(text)
	if err != nil {
		return exampleHours
	}
	end := i
	end.Offset += 2 * time.Hour
	switch {
	case i.Event == "":
		end.Offset %= 24 * time.Hour
	case end.Offset > largestOffset:
		end, i.Offset = i, i.Offset-2*time.Hour
	}
	return shoot.Hours{From: i, To: end}.String()
}

// lights lists the kinds of light that have a name.
func lights() []string {
	var names []string
	for light := shoot.GoldenHour; light <= shoot.BlueHour; light++ {
		names = append(names, light.String())
	}
	return names
}

// light reads a kind of light by its name.
func (s *section) light(key string) shoot.NamedLight {
	names := lights()
	word := s.text(key, names[0])
	if !s.has(key) {
		return shoot.AnyLight
	}
	for i, name := range names {
		if normal(word) == normal(name) {
			return shoot.GoldenHour + shoot.NamedLight(i)
		}
	}
	if _, isText := s.entryOf(key).value.(string); isText && word != "" {
		s.fault(s.at(key), fmt.Sprintf("%s: %s is no light with a name; there are %s", s.called(key), quoted(word),
			listed(names)), s.instead(key, cmp.Or(Nearest(word, names), names[0])))
	}
	return shoot.AnyLight
}
