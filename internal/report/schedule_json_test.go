package report_test

import (
	"bytes"
	"maps"
	"math"
	"strings"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/scene"
	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/internal/words/windows"
	"evenfall/sky"

	"github.com/emersion/go-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// whole is a count.
func whole(n int) near { return near{float64(n), 0} }

// windowObject is what the document of a window has to hold.
func windowObject(w *season.Window, q *season.Question) object {
	s := w.Plan.Shoot
	runs := w.Plan.RunsOf(0)
	held, softer, worst := len(runs[0].Minutes)+1, 0, 0
	least, flashes := math.Inf(1), false
	for n, r := range runs {
		if r.Held < held {
			held, softer, worst = r.Held, r.Softer, n
		}
		for k := range r.Minutes {
			if m := &r.Minutes[k]; m.Role != plan.None {
				least, flashes = min(least, float64(m.Headroom)), true
			}
		}
	}
	minutes := runs[0].Minutes
	highest, seen := max(w.Start.Altitude, w.End.Altitude), max(w.Start.Apparent, w.End.Apparent)
	for i := range minutes {
		highest, seen = max(highest, minutes[i].Sun.TrueAltitude), max(seen, minutes[i].Sun.Altitude)
	}
	merits := w.Plan.Merits(w.Method)
	first, last := &minutes[0], &minutes[len(minutes)-1]
	sun := func(of *season.Sun) object {
		return object{"altitude_deg": number(of.Apparent.Degrees(), 2),
			"true_altitude_deg": number(of.Altitude.Degrees(), 2), "azimuth_deg": number(of.Azimuth.Degrees(), 2),
			"bearing": of.Bearing, "visible": of.Visible}
	}
	edge := func(e season.Edge) object {
		return object{"wish": windows.WishName(e.Wish), "flash_elsewhere": e.Place, "text": windows.Beyond(e, q)}
	}
	return object{
		"from": instant{w.From, s.Place.Zone}, "to": instant{w.To, s.Place.Zone},
		"minutes": whole(int(w.To.Sub(w.From).Minutes())),
		"verdict": object{"method": w.Method.String(), "text": windows.Take(w)},
		"others":  list(w.Others, func(m *shoot.Method) any { return m.String() }), "condition": w.Sky.String(),
		"sun_at_start": sun(&w.Start), "sun_at_end": sun(&w.End),
		"highest_sun_true_altitude_deg": number(highest.Degrees(), 2), "highest_sun_altitude_deg": number(seen.Degrees(), 2),
		"held_share": number(merits.Held, 4), "comfortable_share": number(merits.Comfortable, 4),
		"burden": number(merits.Burden, 4), "command": windows.Command(w, nil),
		"minutes_held": whole(held), "minutes_softer": whole(softer),
		"least_headroom_stops": when(flashes, number(sky.Stops(least), 3)),
		"flash":                placeOf(&runs[worst].Places[0], &s.Flash), "fill": nil,
		"first": methodOf(&first.Solution, first.Moment, s), "last": methodOf(&last.Solution, last.Moment, s),
		"begins": edge(w.Begins), "ends": edge(w.Ends), "useful": number(w.Useful, 4),
		"skies": list(w.Skies, func(c *season.Chance) any {
			return object{"condition": c.Condition.String(), "odds": number(c.Odds, 4), "holds_share": number(c.Holds, 4),
				"useful": number(c.Useful, 4)}
		}),
		"why": list(windows.Why(w, q), func(s *string) any { return *s }),
	}
}

// wishesOf is what the document says was asked.
func wishesOf(q *season.Question) object {
	w := &q.Wishes
	between := func(r *shoot.AngleRange) any {
		if r == nil {
			return nil
		}
		return object{"low": number(r.Low.Degrees(), 2), "high": number(r.High.Degrees(), 2)}
	}
	o := object{
		"dates": object{"first": w.Dates.First.String(), "last": w.Dates.Last.String()}, "between": nil, "forecast": nil,
		"on":               list(w.On, func(d *time.Weekday) any { return strings.ToLower(d.String()) }),
		"at_least_minutes": number(w.AtLeast.Minutes(), 2), "light": when(w.Light != shoot.AnyLight, w.Light.String()),
		"sun_altitude_deg": between(w.SunAltitude), "sun_azimuth_deg": between(w.SunAzimuth),
		"sun_from": list(w.SunFrom, func(s *string) any { return *s }), "sun_visible": w.SunVisible, "held": w.Held,
		"headroom_stops": number(w.Headroom, 3), "keep_aperture": w.KeepAperture, "most": whole(q.Most),
		"odds": list(w.Odds, func(o *shoot.Odds) any {
			return object{"condition": o.Condition.String(), "share": number(o.Share, 4)}
		}),
	}
	if w.Between != nil {
		o["between"] = object{"from": w.Between.From.String(), "to": w.Between.To.String()}
	}
	if n := len(w.Forecast); n > 0 {
		zone := q.Shoot.Place.Zone
		o["forecast"] = object{"from": instant{w.Forecast[0].Time, zone}, "to": instant{w.Forecast[n-1].Time, zone},
			"entries": whole(n)}
	}
	return o
}

// obstacleOf is what the document says of a wish that is in the way.
func obstacleOf(o *season.Obstacle, q *season.Question) object {
	asks := windows.Instead(o, q)
	minutes := o.Gives
	unit := "degrees"
	switch o.Wish {
	case season.Length:
		unit, minutes = "minutes", q.Wishes.AtLeast.Minutes()-o.Gives
	case season.Hours:
		unit = "minutes"
	case season.Look, season.Headroom, season.Aperture:
		unit = "stops"
	}
	return object{
		"wish": windows.WishName(o.Wish), "fails_share": number(o.Excludes, 4), "windows_without": whole(o.Without),
		"short_deg": when(unit == "degrees", number(o.Gives, 2)), "short_stops": when(unit == "stops", number(o.Gives, 3)),
		"short_minutes": when(unit == "minutes", number(minutes, 1)),
		"when":          when(!o.When.IsZero(), instant{o.When, q.Shoot.Place.Zone}), "text": windows.Obstacle(o, q),
		"ask": when(asks != "", asks),
	}
}

// scheduleOf is what the document of a search has to hold.
func scheduleOf(a *season.Answer, cautions []string) object {
	q := &a.Question
	return headingOf("evenfall/schedule/1", q.Shoot, object{
		"wishes": wishesOf(q), "days": whole(a.Days), "found": whole(a.Found),
		"windows":   list(a.Windows, func(w *season.Window) any { return windowObject(w, q) }),
		"obstacles": list(a.Obstacles, func(o *season.Obstacle) any { return obstacleOf(o, q) }),
		"cautions":  list(cautions, func(s *string) any { return *s }),
	})
}

// wishful asks for one of everything.
func wishful(t testing.TB) *season.Answer {
	a := withOdds(fits(t))
	w := &a.Question.Wishes
	w.Between = &shoot.Hours{From: clockTime(t, "15:00"), To: clockTime(t, "sunset+20m")}
	w.SunAltitude = &shoot.AngleRange{Low: sky.Degrees(-2), High: sky.Degrees(7.5)}
	w.SunAzimuth = &shoot.AngleRange{Low: sky.Degrees(240), High: sky.Degrees(320)}
	w.SunVisible, w.Headroom = true, 1.25
	at := time.Date(2027, 5, 1, 12, 0, 0, 0, time.UTC)
	w.Forecast = shoot.Forecast{{Time: at, Oktas: 3}, {Time: at.Add(3 * time.Hour), Oktas: 7}}
	return a
}

// stirredWindows is a search that no shoot has: every value differs.
func stirredWindows(t testing.TB) *season.Answer {
	a := wishful(t)
	a.Days, a.Found, a.Question.Most = 31, 17, 12
	n := 0
	for i := range a.Windows {
		w := &a.Windows[i]
		for _, s := range []*season.Sun{&w.Start, &w.End} {
			n++
			s.Altitude, s.Azimuth, s.Visible = sky.Degrees(3.17*float64(n)), sky.Degrees(11.3*float64(n)), n%3 == 0
			s.Apparent = s.Altitude + sky.Degrees(0.1)
		}
		w.Begins.Place, w.Ends.Place = i == 0, i == 1
		for k := range w.Plan.Runs {
			r := &w.Plan.Runs[k]
			r.Held, r.Softer, r.Places[0].Side = 11+i, 21+2*i, scene.Right
		}
	}
	return a
}

func TestScheduleJSON(t *testing.T) {
	var wanted []object
	scrim := report.Cautions(fits(t).Windows[0].Plan)
	check := func(name string, a *season.Answer, cautions []string) {
		want := scheduleOf(a, cautions)
		got := decoded(t, report.Schedule{{File: "a.toml", Answer: a}}.Report(asDemonstration))
		if cautions == nil {
			assert.NotEmpty(t, got["cautions"], name)
			want["cautions"] = got["cautions"]
		}
		assert.Empty(t, differences("", want, got), name)
		wanted = append(wanted, want)
	}
	check("fits", fits(t), nil)
	check("odds", withOdds(fits(t)), nil)
	check("wishes", wishful(t), nil)
	check("nothing", tooShort(t), nil)
	check("broken", schedules(t)["broken"][0].Answer, nil)
	check("stirred", stirredWindows(t), nil)
	one := fits(t)
	one.Windows = one.Windows[:1]
	check("one", one, scrim)
	for _, d := range wanted {
		for _, w := range d["windows"].([]any) {
			delete(w.(object), "first") // those of methods are told apart where the timeline is
			delete(w.(object), "last")
		}
	}
	assert.Empty(t, alike(wanted), "these fields could be exchanged unseen")
}

// Of several shoots each has its document, with the file it was read from.
func TestScheduleJSONOfABatch(t *testing.T) {
	l := schedules(t)["batch"]
	got := decoded(t, l.Report(report.Options{}))
	assert.Equal(t, "evenfall/schedules/1", got["schema"])
	list := got["shoots"].([]any)
	require.Len(t, list, 3)
	for i, file := range []any{"a.toml", "b.toml", nil} {
		one := maps.Clone(list[i].(object))
		assert.Equal(t, file, one["file"])
		delete(one, "file")
		alone := decoded(t, report.Schedule{l[i]}.Report(report.Options{}))
		assert.Equal(t, alone, one)
	}
}

// The CSV has a line for each window, with the values of the JSON.
func TestScheduleCSV(t *testing.T) {
	for name, l := range schedules(t) {
		r := l.Report(report.Options{Demonstration: true})
		d := decoded(t, r)
		shoots := []any{d}
		if len(l) > 1 {
			shoots = d["shoots"].([]any)
		}
		var want []map[string]string
		for _, s := range shoots {
			s := s.(object)
			windows := s["windows"].([]any)
			for _, w := range windows {
				one := map[string]string{"name": s["name"].(string)}
				if len(l) > 1 {
					one["file"] = value(s["file"])
				}
				leaves(one, "", w)
				want = append(want, one)
			}
			if len(windows) == 0 && len(l) > 1 {
				want = append(want, map[string]string{"name": s["name"].(string), "file": value(s["file"])})
			}
		}
		got := sheet(t, r)
		if len(want) == 0 {
			assert.Empty(t, got, name)
			continue
		}
		compareSheets(t, name, want, got)
	}
}

// The same windows of the same shoot are the same events in a file that is written
// later; no two windows are one event.
func TestScheduleCalendar(t *testing.T) {
	at := time.Date(2027, time.April, 2, 9, 30, 0, 0, time.FixedZone("", 7200))
	uids := func(l report.Schedule, now time.Time) (list []string) {
		page := as(t, l.Report(report.Options{Now: now}), report.ICalendar, report.Options{})
		c, err := ical.NewDecoder(strings.NewReader(page)).Decode()
		require.NoError(t, err)
		require.NoError(t, ical.NewEncoder(&bytes.Buffer{}).Encode(c), "all that RFC 5545 asks for")
		for i, e := range c.Events() {
			stamp, err := e.Props.DateTime("DTSTAMP", nil)
			require.NoError(t, err)
			assert.True(t, stamp.Equal(now))
			w := &l[0].Windows[i]
			from, err := e.DateTimeStart(nil)
			require.NoError(t, err)
			to, err := e.DateTimeEnd(nil)
			require.NoError(t, err)
			assert.True(t, from.Equal(w.From) && to.Equal(w.To), "%v to %v", from, to)
			says, err := e.Props.Text("DESCRIPTION")
			require.NoError(t, err)
			for _, want := range []string{windows.Take(w), "Start: ", "End: ", "Flash: ", "never through lens or finder",
				"meter on location", windows.Stands(&w.Start)} {
				assert.Contains(t, says, want)
			}
			summary, err := e.Props.Text("SUMMARY")
			require.NoError(t, err)
			assert.Equal(t, "Harbour wall, golden hour, "+w.Method.String(), summary)
			uid, err := e.Props.Text("UID")
			require.NoError(t, err)
			list = append(list, uid)
		}
		return list
	}
	a := fits(t)
	first := uids(report.Schedule{{Answer: a}}, at)
	require.Len(t, first, 3)
	assert.Equal(t, first, uids(report.Schedule{{Answer: a}}, at.Add(24*time.Hour)))
	later := fits(t)
	later.Windows[0].From = later.Windows[0].From.Add(3 * time.Minute)
	assert.Equal(t, first, uids(report.Schedule{{Answer: later}}, at), "a few minutes make it no other window")
	twice := fits(t)
	twice.Windows = append(twice.Windows, twice.Windows...)
	seen := map[string]bool{}
	for _, one := range uids(report.Schedule{{Answer: twice}}, at) {
		assert.False(t, seen[one])
		seen[one] = true
	}
	other := fits(t)
	other.Question.Shoot.Name = "Another"
	for i := range other.Windows {
		one := *other.Windows[i].Plan.Shoot
		one.Name, other.Windows[i].Plan.Shoot = "Another", &one
	}
	page := as(t, report.Schedule{{Answer: other}}.Report(report.Options{Now: at}), report.ICalendar, report.Options{})
	for _, one := range first {
		assert.NotContains(t, page, one, "another shoot's windows are other events")
	}
}

func TestOnlySchedulesAreCalendars(t *testing.T) {
	p := planned(t, shoots(t)["one flash"])
	var b bytes.Buffer
	assert.Error(t, report.Timeline(p, report.Options{}).Write(&b, report.ICalendar, report.Options{}))
	assert.Empty(t, b.String())
	f, err := report.ParseFormat("icalendar")
	require.NoError(t, err)
	assert.Equal(t, report.ICalendar, f)
}

// A name reaches neither terminal, page nor calendar as it is.
func TestNamesAreSafeInSchedules(t *testing.T) {
	s := resolved(t, shoots(t)["broken cloud"])
	s.Name, s.Place.Name = "<b>*A|b*\x1b[31m\u202e", "\u202eB\x1b"
	a := evening(t, s, span{"2027-05-15", "18:00", "18:45", []shoot.Method{shoot.Sync}})
	for _, l := range []report.Schedule{{{Answer: a}}, {{Answer: a}, {Answer: a}}} {
		r := l.Report(report.Options{})
		for _, page := range []string{as(t, r, report.Markdown, report.Options{}), as(t, r, report.CSV, report.Options{}),
			as(t, r, report.JSON, report.Options{}), as(t, r, report.ICalendar, report.Options{}),
			strings.Join(lines(t, r, text.Options{}), "\n")} {
			assert.NotContains(t, page, "\x1b")
			assert.NotContains(t, page, "\u202e")
		}
	}
	page := as(t, report.Schedule{{Answer: a}}.Report(report.Options{ASCII: true}), report.ICalendar, report.Options{})
	assert.NotRegexp(t, `[^\x00-\x7f]`, page)
}
