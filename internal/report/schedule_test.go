package report_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"
	"evenfall/internal/words/windows"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// span is a window as the tests ask for it: a day, and from when to when, of one
// method and others that would do.
type span struct {
	date, from, to string
	methods        []shoot.Method
}

// clockTime is a time of day as an instant.
func clockTime(t testing.TB, text string) shoot.Instant {
	i, err := shootfile.ParseInstant(text)
	require.NoError(t, err)
	return i
}

// windowOf plans a window as a search does.
func windowOf(t testing.TB, s *shoot.Shoot, of span) season.Window {
	day, err := time.Parse("2006-01-02", of.date)
	require.NoError(t, err)
	one := *s
	one.When = shoot.When{Date: shoot.Date{Year: day.Year(), Month: day.Month(), Day: day.Day()},
		From: clockTime(t, of.from), To: clockTime(t, of.to), Step: 15 * time.Minute}
	one.Methods = of.methods
	p, err := plan.Make(context.Background(), &one)
	require.NoError(t, err)
	from, to := p.Window()
	at := func(m *plan.Moment) season.Sun {
		return season.Sun{Altitude: m.Sun.TrueAltitude, Apparent: m.Sun.Altitude, Azimuth: m.Sun.Azimuth,
			Bearing: m.Bearing, Visible: m.Visible}
	}
	minutes := p.RunsOf(0)[0].Minutes
	return season.Window{From: from, To: to, Method: of.methods[0], Others: of.methods[1:], Plan: p, Merits: p.Merits(of.methods[0]),
		Sky: minutes[0].Condition, Start: at(minutes[0].Moment), End: at(minutes[len(minutes)-1].Moment), Useful: 1}
}

// evening is a search that finds some windows for a shoot.
func evening(t testing.TB, s *shoot.Shoot, spans ...span) *season.Answer {
	a := &season.Answer{Days: 10, Found: len(spans), Question: season.Question{Shoot: s, Most: 10, Wishes: shoot.Wishes{
		Dates: shoot.DateRange{First: shoot.Date{Year: 2027, Month: time.May, Day: 1},
			Last: shoot.Date{Year: 2027, Month: time.May, Day: 31}},
		On: []time.Weekday{time.Saturday, time.Sunday}, AtLeast: 45 * time.Minute, Light: shoot.GoldenHour,
		SunFrom: []string{"back-left", "back", "back-right"}, KeepAperture: true,
	}}}
	for _, one := range spans {
		w := windowOf(t, s, one)
		w.Begins, w.Ends = season.Edge{Wish: season.Light}, season.Edge{Wish: season.SunSide}
		a.Windows = append(a.Windows, w)
	}
	return a
}

// fits is one that finds windows of the demonstration, for some skies.
func fits(t testing.TB) *season.Answer {
	a := evening(t, resolved(t, shoots(t)["demonstration"]),
		span{"2027-05-15", "20:40", "21:25", []shoot.Method{shoot.ND, shoot.Sync}},
		span{"2027-05-29", "21:00", "21:50", []shoot.Method{shoot.Sync}},
		span{"2027-05-02", "20:40", "21:30", []shoot.Method{shoot.HSS}})
	a.Found = 7
	return a
}

// withOdds counts with several skies.
func withOdds(a *season.Answer) *season.Answer {
	clear, overcast, hazy := sky.Described(sky.Clear), sky.Described(sky.Overcast), sky.Described(sky.Hazy)
	a.Question.Wishes.Odds = []shoot.Odds{{Condition: clear, Share: 0.4}, {Condition: hazy, Share: 0.35},
		{Condition: overcast, Share: 0.25}}
	for i := range a.Windows {
		w := &a.Windows[i]
		w.Useful = 0.72 - 0.1*float64(i)
		w.Skies = []season.Chance{{Condition: clear, Odds: 0.4, Holds: 1, Useful: 0.4},
			{Condition: hazy, Odds: 0.35, Holds: 0.9, Useful: 0.32},
			{Condition: overcast, Odds: 0.25, Holds: 0}}
	}
	return a
}

// tooShort is a search that finds nothing.
func tooShort(t testing.TB) *season.Answer {
	a := evening(t, resolved(t, shoots(t)["demonstration"]))
	a.Question.Wishes.AtLeast = 2 * time.Hour
	a.Question.Wishes.Headroom = 1
	when := time.Date(2027, 5, 29, 19, 59, 0, 0, a.Question.Shoot.Place.Zone)
	nan := math.NaN()
	a.Obstacles = []season.Obstacle{
		{Wish: season.Light, Excludes: 0.94, Without: 3, Gives: nan},
		{Wish: season.SunSide, Excludes: 0.61, Gives: nan},
		{Wish: season.Look, Excludes: 0.31, Gives: 0.42, When: when},
		{Wish: season.Headroom, Excludes: 0.1, Gives: 0.3, When: when, Without: 2},
		{Wish: season.Length, Without: 10, Gives: 93, When: when},
	}
	return a
}

// schedules are searches of every kind that the report has to tell.
func schedules(t testing.TB) map[string]report.Schedule {
	broken := evening(t, resolved(t, shoots(t)["broken cloud"]),
		span{"2027-05-15", "18:00", "18:45", []shoot.Method{shoot.Sync}})
	return map[string]report.Schedule{
		"fits": {{Answer: fits(t)}}, "odds": {{Answer: withOdds(fits(t))}}, "nothing": {{Answer: tooShort(t)}},
		"broken": {{Answer: broken}},
		"batch":  {{File: "a.toml", Answer: fits(t)}, {File: "b.toml", Answer: tooShort(t)}, {Answer: broken}},
	}
}

// The answer stands first: the best window with its way of working, how it is set
// and what was asked, or by how little nothing fits.
func TestTheBestWindowIsFirst(t *testing.T) {
	for name, l := range schedules(t) {
		r := l.Report(report.Options{Demonstration: true, Full: true, Why: true})
		for _, width := range []int{60, 80, 120} {
			page := lines(t, r, text.Options{Width: width, Full: true})
			first := oneLine(head(page, 24))
			for i := range l {
				want := []string{windows.NothingFits(l[i].Answer)}
				if len(l[i].Windows) > 0 {
					w := &l[i].Windows[0]
					want = []string{windows.Best(w)}
					if len(l) == 1 {
						m := &w.Plan.RunsOf(0)[0].Minutes[0]
						want = append(want, m.Settings.Aperture.String()+", "+m.Settings.Shutter.String()+", ISO "+
							m.Settings.ISO.String(),
							windows.Stands(&w.Start), "Flash ")
					}
				}
				for _, one := range want {
					assert.Contains(t, first, one, "%s at %d", name, width)
				}
			}
			if len(l) == 1 {
				assert.Contains(t, oneLine(head(page, 7)), leadOf(&l[0]), name)
			}
			all := oneLine(page)
			for i := range l {
				assert.Contains(t, all, "at least "+words.Length(l[i].Question.Wishes.AtLeast), "%s: what was asked", name)
			}
			assert.Contains(t, all, "never through lens or finder", "%s: the cautions", name)
		}
	}
}

func leadOf(l *report.Scheduled) string {
	if len(l.Windows) == 0 {
		return windows.NothingFits(l.Answer)
	}
	return windows.Best(&l.Windows[0])
}

func TestSchedulesKeepTheirForm(t *testing.T) {
	for name, l := range schedules(t) {
		for _, o := range []report.Options{{Demonstration: true}, {Full: true, Why: true}} {
			r := l.Report(o)
			for _, form := range []text.Options{{Width: 60}, {}, {Width: 120}, {Plain: true}, {ASCII: true}, {Colour: true},
				{Width: 60, Plain: true, ASCII: true}} {
				form.Full = o.Full
				checkForm(t, name, lines(t, r, form), form)
			}
			page := as(t, r, report.Markdown, report.Options{ASCII: true, Full: o.Full})
			require.NotRegexp(t, `[^\x00-\x7f]`, page, name)
			for _, l := range strings.Split(page, "\n") {
				assert.NotRegexp(t, quaint, l, name)
				assert.NotRegexp(t, `,,|\(\)|NaN|\bInf\b|%!|^1 windows`, l, name)
			}
		}
	}
}

// The table's cells are those of the plans.
func TestTheTableOfWindows(t *testing.T) {
	for name, l := range map[string]*season.Answer{"fits": fits(t), "odds": withOdds(fits(t))} {
		r := report.Schedule{{Answer: l}}.Report(report.Options{})
		table := section(t, &r.Document, "The best 3 of 7 windows")
		require.Len(t, table.Rows, 3, name)
		check(t, name, table, 0, map[string]string{"Window": "Sat 15 May, 20:40–21:25, 45 min"})
		for i := range l.Windows {
			w := &l.Windows[i]
			run := w.Plan.RunsOf(0)[0]
			first, last := &run.Minutes[0], &run.Minutes[len(run.Minutes)-1]
			least := math.Inf(1)
			for k := range run.Minutes {
				if run.Minutes[k].Role != plan.None {
					least = min(least, float64(run.Minutes[k].Headroom))
				}
			}
			set := func(m *plan.Minute) string {
				text := m.Settings.Aperture.String() + " " + m.Settings.Shutter.String() + ", ISO " + m.Settings.ISO.String()
				if m.Settings.ND > 0 {
					text += ", " + words.Filter(m.Settings.ND)
				}
				return text + ", " + words.Flash(&m.Solution)
			}
			tight := ""
			switch {
			case least < 0.05:
				tight = ", full power"
			case least < float64(plan.Comfortable):
				tight = ", under 0.7"
			}
			want := map[string]string{
				"Start": set(first), "End": set(last),
				"Method": w.Method.String() + ", " + words.OffsetStops(sky.Stops(least)) + tight,
				"Sun": words.Degrees(first.Sun.Altitude, 1) + " to " + words.Degrees(last.Sun.Altitude, 1) + ", " +
					first.Bearing + " " + words.Azimuth(first.Sun.Azimuth) + " to " + words.Azimuth(last.Sun.Azimuth),
			}
			if name == "odds" {
				want["Useful"] = []string{"72 %", "62 %", "52 %"}[i]
			}
			check(t, name, table, i, want)
		}
	}
}

// The sun's height at noon is told where a window goes over it.
func TestWindowsOverNoon(t *testing.T) {
	s := resolved(t, shoots(t)["broken cloud"])
	a := evening(t, s, span{"2027-06-12", "11:00", "16:00", []shoot.Method{shoot.Sync}})
	r := report.Schedule{{Answer: a}}.Report(report.Options{})
	w := &a.Windows[0]
	noon, ok := w.Plan.Day.First(sky.SolarNoon)
	require.True(t, ok)
	top := s.Observer().Sun(noon.Time).Altitude
	want := words.Degrees(w.Start.Apparent, 1) + " to " + words.Degrees(top, 1) + " to " + words.Degrees(w.End.Apparent, 1)
	assert.Contains(t, under(t, section(t, &r.Document, "1 window"), 0, "Sun"), want)
}

// A window with too little to spare, or that comes out softer, says so by a sign.
func TestTightWindowsAreMarked(t *testing.T) {
	a := fits(t)
	r := report.Schedule{{Answer: a}}.Report(report.Options{})
	table := section(t, &r.Document, "The best")
	for i := range a.Windows {
		run := a.Windows[i].Plan.RunsOf(0)[0]
		want := report.Neutral
		if run.LeastHeadroom < plan.Comfortable || run.Softer > 0 {
			want = report.Warn
		}
		assert.Equal(t, want, table.Rows[i].Cells[2].Tone, "window %d", i)
	}
}

// Why has the reasons of every window, and without it they are not told.
func TestWhyOfWindows(t *testing.T) {
	a := withOdds(fits(t))
	l := report.Schedule{{Answer: a}}
	short := oneLine(lines(t, l.Report(report.Options{}), text.Options{}))
	long := oneLine(lines(t, l.Report(report.Options{Why: true}), text.Options{}))
	for i := range a.Windows {
		for _, one := range windows.Why(&a.Windows[i], &a.Question) {
			assert.Contains(t, long, one)
			if i > 0 {
				assert.NotContains(t, short, one)
			}
		}
	}
	assert.Contains(t, long, "Also possible: sync, which the verdict ranks lower.")
	assert.Contains(t, long, "Useful in about 7 of 10 skies: clear, hazy (90 % of it); not overcast.")
}
