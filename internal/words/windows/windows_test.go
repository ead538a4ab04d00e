package windows

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"path/filepath"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func date(year int, month time.Month, day int) shoot.Date {
	return shoot.Date{Year: year, Month: month, Day: day}
}

func TestDates(t *testing.T) {
	for _, c := range []struct {
		first, last shoot.Date
		want        string
	}{
		{date(2027, 5, 15), date(2027, 5, 15), "Sat 15 May 2027"},
		{date(2027, 5, 1), date(2027, 5, 31), "May 2027"},
		{date(2028, 2, 1), date(2028, 2, 29), "February 2028"},
		{date(2027, 2, 1), date(2027, 2, 27), "1 February to 27 February 2027"},
		{date(2027, 1, 1), date(2027, 12, 31), "2027"},
		{date(2026, 1, 1), date(2027, 12, 31), "1 January 2026 to 31 December 2027"},
		{date(2027, 5, 1), date(2027, 6, 30), "1 May to 30 June 2027"},
		{date(2027, 5, 2), date(2027, 5, 31), "2 May to 31 May 2027"},
	} {
		assert.Equal(t, c.want, Dates(shoot.DateRange{First: c.first, Last: c.last}))
	}
	assert.Equal(t, "Saturdays and Sundays", Weekdays([]time.Weekday{time.Saturday, time.Sunday}))
}

// question asks for one of everything.
func question() *season.Question {
	low, high := sky.Degrees(2), sky.Degrees(10.5)
	s := &shoot.Shoot{Lens: exposure.Lens{Wanted: 18}}
	return &season.Question{Shoot: s, Wishes: shoot.Wishes{
		Dates: shoot.DateRange{First: date(2027, 5, 1), Last: date(2027, 5, 31)}, On: []time.Weekday{time.Saturday},
		Between: &shoot.Hours{From: shoot.Instant{Offset: 15 * time.Hour},
			To: shoot.Instant{Event: sky.Sunset, Offset: time.Hour}},
		AtLeast: 2 * time.Hour, Light: shoot.GoldenHour, SunAltitude: &shoot.AngleRange{Low: low, High: high},
		SunAzimuth: &shoot.AngleRange{Low: sky.Degrees(240), High: sky.Degrees(300)},
		SunFrom:    []string{"left", "back-left"},
		SunVisible: true, Held: true, Headroom: 1, KeepAperture: true,
	}}
}

const lastWish = season.Length

// Every wish has words and a name, and one added there has to be worded here.
func TestWishesHaveWords(t *testing.T) {
	n := 0
	names, err := filepath.Glob("../../season/*.go")
	require.NoError(t, err)
	for _, name := range names {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		for _, d := range file.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || len(g.Specs) == 0 {
				continue
			}
			first, ok := g.Specs[0].(*ast.ValueSpec)
			if !ok {
				continue
			}
			if name, ok := first.Type.(*ast.Ident); ok && name.Name == "Wish" {
				n += len(g.Specs)
			}
		}
	}
	assert.Equal(t, int(lastWish)+1, n)
	q := question()
	seen := map[string]bool{}
	for w := season.Wish(0); w <= lastWish; w++ {
		for _, text := range []string{
			"asks " + Wish(w, q), "beyond " + Beyond(season.Edge{Wish: w}, q), "name " + WishName(w),
		} {
			assert.NotRegexp(t, `^\w+ $`, text)
			assert.False(t, seen[text], text)
			seen[text] = true
		}
		assert.Contains(t, Beyond(season.Edge{Wish: w, Place: true}, q), "flash")
	}
	assert.Equal(t, []string{"15:00 to sunset+1h", "golden hour", "sun 2° to 10.5° high", "sun at 240° to 300°",
		"sun from the left or back-left", "sun in sight", "look held, nothing softer", "headroom of 1.0 stop",
		"aperture within 1/3 stop of f/2.8", "at least 2 h"}, Wished(q))
	assert.Equal(t, "Saturdays", Wish(season.Day, q))
	assert.Equal(t, "May 2027, Saturdays", Days(&q.Wishes))
	assert.Equal(t, "May 2027", Days(&shoot.Wishes{Dates: q.Wishes.Dates}))
	assert.Equal(t, []string{"look held or softer", "at least 30 min"},
		Wished(&season.Question{Shoot: q.Shoot, Wishes: shoot.Wishes{AtLeast: 30 * time.Minute}}),
		"what is not asked is not told")
}

func TestBeyond(t *testing.T) {
	q := question()
	for wish, want := range map[season.Wish]string{
		season.Hours: "it is not 15:00 to sunset+1h", season.Light: "there is no golden hour",
		season.SunHeight: "the sun is not 2° to 10.5° high", season.SunAzimuth: "the sun is not at 240° to 300°",
		season.SunSide: "the sun does not come from the left or back-left", season.SunVisible: "the sun is not in sight",
		season.Look: "no method asked for holds the look", season.Headroom: "headroom is less than 1.0 stop",
		season.Aperture: "the aperture moves away from f/2.8",
	} {
		assert.Equal(t, want, Beyond(season.Edge{Wish: wish}, q))
	}
	assert.Equal(t, "the sun is more than 6° under the horizon", Beyond(season.Edge{Wish: season.SunHeight},
		&season.Question{}), "where nothing is asked, nights are not looked at")
}

func TestStands(t *testing.T) {
	at := func(altitude float64, visible bool) string {
		return Stands(&season.Sun{Apparent: sky.Degrees(altitude), Azimuth: sky.Degrees(284.6), Bearing: "back-left",
			Visible: visible})
	}
	assert.Equal(t, "5.9° high from the back-left (285°)", at(5.9, true))
	assert.Equal(t, "5.9° high, behind the skyline, from the back-left (285°)", at(5.9, false))
	assert.Equal(t, "3.9° under the horizon from the back-left (285°)", at(-3.9, false))
}

func TestFromBothEnds(t *testing.T) {
	from := func(a, b season.Sun) string { return From(&season.Window{Start: a, End: b}) }
	sun := func(azimuth float64, bearing string) season.Sun {
		return season.Sun{Azimuth: sky.Degrees(azimuth), Bearing: bearing}
	}
	assert.Equal(t, "left 262° to back-left 285°", from(sun(262, "left"), sun(285, "back-left")))
	assert.Equal(t, "back 262° to 285°", from(sun(262, "back"), sun(285, "back")))
	assert.Equal(t, "back 262°", from(sun(262, "back"), sun(262.2, "back")))
	assert.Equal(t, "back 359° to 1°", from(sun(-1, "back"), sun(361, "back")))
}

func TestUseful(t *testing.T) {
	chance := func(w sky.Word, holds float64) season.Chance {
		return season.Chance{Condition: sky.Described(w), Holds: holds}
	}
	for _, c := range []struct {
		useful float64
		skies  []season.Chance
		want   string
	}{
		{0.7, []season.Chance{chance(sky.Clear, 1), chance(sky.Hazy, 0.96), chance(sky.Overcast, 0)},
			"useful in about 7 of 10 skies: clear, hazy; not overcast"},
		{0.45, []season.Chance{chance(sky.Thin, 1), chance(sky.Broken, 0.5), chance(sky.Heavy, 0.04)},
			"useful in about 5 of 10 skies: thin cloud, broken cloud (50 % of it); not heavy overcast"},
		{1, []season.Chance{chance(sky.Clear, 1)}, "useful in all skies: clear"},
		{0.97, []season.Chance{chance(sky.Clear, 0.97)}, "useful in nearly all skies: clear"},
		{0.8, []season.Chance{{Condition: sky.Described(sky.Clear), Odds: 0.6, Holds: 1}, chance(sky.Overcast, 1),
			{Condition: sky.Described(sky.Clear), Odds: 0.2, Holds: 0.2}},
			"useful in about 8 of 10 skies: clear (80 % of it), overcast"},
		{0.02, []season.Chance{chance(sky.Clear, 0.02)}, "useful in fewer than 1 of 10 skies; not clear"},
	} {
		assert.Equal(t, c.want, Useful(&season.Window{Useful: c.useful, Skies: c.skies}))
	}
}

func TestSkyFlags(t *testing.T) {
	for want, c := range map[string]sky.Condition{"--sky thin": sky.Described(sky.Thin), "--okta 3.5": sky.Oktas(3.5),
		"--turbidity 4": sky.WithTurbidity(4)} {
		assert.Equal(t, want, skyFlag(c))
	}
}

// A window that ends on another day says on which.
func TestHours(t *testing.T) {
	at := func(day, hour, minute int) time.Time { return time.Date(2027, 6, day, hour, minute, 0, 0, time.UTC) }
	w := season.Window{From: at(12, 0, 45), To: at(13, 14, 0)}
	assert.Equal(t, "00:45–14:00 on Sun 13 (37 h 15 min)", Times(&w))
	w.To = at(12, 14, 0)
	assert.Equal(t, "00:45–14:00 (13 h 15 min)", Times(&w))
	w.To = at(13, 0, 45)
	assert.Equal(t, "00:45–00:45 on Sun 13", Hours(&w))
}

// Clocks in Berlin go back on 31 October 2027, from 03:00 to 02:00 (Directive
// 2000/84/EC).
func TestClocksShowSomeTimesTwice(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	require.NoError(t, err)
	change := time.Date(2027, 10, 31, 1, 0, 0, 0, time.UTC).In(zone)
	for after, want := range map[time.Duration]bool{-61 * time.Minute: false, -time.Hour: true, -time.Minute: true,
		0: true, 59 * time.Minute: true, time.Hour: false} {
		assert.Equal(t, want, twice(change.Add(after)), after)
	}
	assert.Equal(t, "UTC+02:00", fixed(change.Add(-time.Minute)).String())
	assert.Equal(t, "UTC+01:00", fixed(change).String())
	assert.False(t, twice(time.Date(2027, 3, 28, 3, 30, 0, 0, zone)), "clocks go forward")
}

// A window that the forecast does not reach is told as such.
func TestBeyondTheForecast(t *testing.T) {
	from := time.Date(2027, 5, 1, 18, 0, 0, 0, time.UTC)
	w := season.Window{From: from, To: from.Add(time.Hour), Sky: sky.Described(sky.Hazy), Useful: 1,
		Skies: []season.Chance{{Condition: sky.Described(sky.Hazy), Odds: 1, Holds: 1, Useful: 1}}}
	q := &season.Question{}
	says := func(hours int) string {
		q.Wishes.Forecast = shoot.Forecast{{Time: from.Add(time.Duration(hours) * time.Hour), Oktas: 3}}
		return Skies(&w, q)
	}
	assert.Equal(t, "beyond the forecast: taken for hazy, as the shoot has it", says(2))
	assert.Equal(t, "useful in all skies: hazy", says(0))
	q.Wishes.Odds = []shoot.Odds{{Condition: sky.Described(sky.Hazy), Share: 1}}
	assert.Equal(t, "beyond the forecast, by the odds: useful in all skies: hazy", says(-4))
}

// None of some dates may be a day of the week that is asked for.
func TestNoDay(t *testing.T) {
	q := *question()
	q.Wishes.Dates = shoot.DateRange{First: date(2027, 5, 3), Last: date(2027, 5, 5)}
	q.Wishes.On = []time.Weekday{time.Saturday, time.Sunday}
	a := &season.Answer{Question: q, Obstacles: []season.Obstacle{{Wish: season.Day, Excludes: 1, Without: 2, Gives: nan},
		{Wish: season.Look, Gives: nan}}}
	assert.Equal(t, "None of the dates is a Saturday or Sunday: there is no day to look at.", NothingFits(a))
	assert.Equal(t, "leaves out 100 % of the days; without it 2 windows", Obstacle(&a.Obstacles[0], &q))
	assert.NotContains(t, Obstacle(&a.Obstacles[1], &q), "minutes")
	a.Question.Wishes.Dates.Last.Day = 8
	assert.Contains(t, NothingFits(a), "Nothing fits")
}

// Of the sun is spoken where something is asked of it.
func TestSuchASun(t *testing.T) {
	o := season.Obstacle{Wish: season.Look, Excludes: 1, Gives: nan}
	assert.Equal(t, "fails for 100 % of the minutes; without it nothing fits either", Obstacle(&o, &season.Question{}))
	q := season.Question{Wishes: shoot.Wishes{SunFrom: []string{"back"}}}
	assert.Contains(t, Obstacle(&o, &q), " with such a sun; ")
}

var nan = math.NaN()

func TestObstacles(t *testing.T) {
	q := question()
	when := time.Date(2027, 5, 29, 19, 40, 0, 0, time.UTC)
	const at = " on Sat 29 May 2027 from 19:40"
	for _, c := range []struct {
		obstacle   season.Obstacle
		says, asks string
	}{
		{season.Obstacle{Wish: season.Length, Without: 4, Gives: 93, When: when},
			"longest 1 h 33 min" + at + ", 27 min short of 2 h", "--at-least 1h33m"},
		{season.Obstacle{Wish: season.Headroom, Excludes: 0.2, Without: 4, Gives: 0.32, When: when},
			"fails for 20 % of the minutes with such a sun; without it 4 windows; headroom 0.3 stop short of 1.0 stop" + at,
			"--headroom 0.6"},
		{season.Obstacle{Wish: season.Headroom, Excludes: 0.2, Without: 4, Gives: 1, When: when},
			"fails for 20 % of the minutes with such a sun; without it 4 windows", "leave --headroom out"},
		{season.Obstacle{Wish: season.SunHeight, Excludes: 0.9, Without: 1, Gives: 2.3, When: when},
			"fails for 90 % of the minutes; without it 1 window; the sun misses 2° to 10.5° by 2.3°" + at,
			"--sun-altitude -1..13"},
		{season.Obstacle{Wish: season.SunHeight, Excludes: 0.9, Without: 1, Gives: 34, When: when},
			"fails for 90 % of the minutes; without it 1 window", "leave --sun-altitude out"},
		{season.Obstacle{Wish: season.SunAzimuth, Excludes: 0.9, Without: 1, Gives: 5, When: when},
			"fails for 90 % of the minutes; without it 1 window; the sun misses an azimuth of 240° to 300° by 5.0°" + at,
			"--sun-azimuth 235..305"},
		{season.Obstacle{Wish: season.Aperture, Gives: nan},
			"fails for none of the minutes with such a sun; without it nothing fits either", ""},
		{season.Obstacle{Wish: season.Aperture, Excludes: 0.004, Gives: nan},
			"fails for less than 1 % of the minutes with such a sun; without it nothing fits either", ""},
		{season.Obstacle{Wish: season.Look, Excludes: 0.5, Gives: nan},
			"fails for 50 % of the minutes with such a sun; without it nothing fits either", ""},
		{season.Obstacle{Wish: season.Look, Excludes: 0.5, Without: 2, Gives: nan},
			"fails for 50 % of the minutes with such a sun; without it 2 windows", ""},
		{season.Obstacle{Wish: season.Aperture, Excludes: 0.5, Without: 2, Gives: nan},
			"fails for 50 % of the minutes with such a sun; without it 2 windows", "leave --keep-aperture out"},
		{season.Obstacle{Wish: season.Light, Excludes: 0.94, Without: 3, Gives: 0.5, When: when},
			"fails for 94 % of the minutes; without it 3 windows; the sun misses golden hour by 0.5°" + at,
			"leave --light out"},
		{season.Obstacle{Wish: season.SunVisible, Excludes: 0.94, Gives: nan},
			"fails for 94 % of the minutes; without it nothing fits either", ""},
		{season.Obstacle{Wish: season.SunVisible, Excludes: 0.94, Without: 1, Gives: 0.34, When: when},
			"fails for 94 % of the minutes; without it 1 window; the sun misses the skyline by 0.3°" + at,
			"leave --sun-visible out"},
		{season.Obstacle{Wish: season.SunSide, Excludes: 0.94, Without: 1, Gives: nan},
			"fails for 94 % of the minutes; without it 1 window", "leave --sun-from out"},
		{season.Obstacle{Wish: season.Hours, Excludes: 0.7, Without: 2, Gives: 25, When: when},
			"fails for 70 % of the minutes; without it 2 windows; 25 min outside 15:00 to sunset+1h" + at,
			"leave --between out"},
		{season.Obstacle{Wish: season.Hours, Excludes: 0.7, Without: 2, Gives: math.Inf(1)},
			"fails for 70 % of the minutes; without it 2 windows", "leave --between out"},
		{season.Obstacle{Wish: season.Day, Excludes: 0.7, Without: 2, Gives: nan},
			"leaves out 70 % of the days; without it 2 windows", "leave --on out"},
		{season.Obstacle{Wish: season.Length, Gives: nan}, "nothing fits, however short", ""},
	} {
		assert.Equal(t, c.says, Obstacle(&c.obstacle, q))
		assert.Equal(t, c.asks, Instead(&c.obstacle, q))
	}
}

// Of the wishes that stand alone in the way the one is told that has the least to
// give.
func TestNothingFits(t *testing.T) {
	light := season.Obstacle{Wish: season.Light, Excludes: 0.9, Without: 3, Gives: nan}
	low := season.Obstacle{Wish: season.Light, Excludes: 0.9, Without: 3, Gives: 34}
	side := season.Obstacle{Wish: season.SunSide, Excludes: 0.8, Without: 1, Gives: nan}
	visible := season.Obstacle{Wish: season.SunVisible, Excludes: 0.5, Gives: 0.1}
	length := season.Obstacle{Wish: season.Length, Without: 1, Gives: 93}
	headroom := season.Obstacle{Wish: season.Headroom, Without: 2, Gives: 0.2}
	hours := season.Obstacle{Wish: season.Hours, Without: 2, Gives: 6}
	says := func(list ...season.Obstacle) string {
		return NothingFits(&season.Answer{Question: *question(), Days: 10, Obstacles: list})
	}
	assert.Equal(t, "Nothing fits in 10 days: longest 1 h 33 min, 27 min short of 2 h.", says(light, low, length, visible))
	assert.Equal(t, `Nothing fits in 10 days: 3 windows without "golden hour".`, says(light, side, low, visible))
	assert.Equal(t, "Nothing fits in 10 days: headroom 0.2 stop short of 1.0 stop.", says(low, headroom, length))
	assert.Equal(t, "Nothing fits in 10 days: 6 min outside 15:00 to sunset+1h.", says(low, headroom, hours, length))
	assert.Equal(t, "Nothing fits in 10 days, whichever wish is left out.", says(visible))
	assert.Equal(t, "Nothing fits in no days, whichever wish is left out.", NothingFits(&season.Answer{}))
}

// In the place of a light by name a range of the sun's altitude finds a window.
func TestWiderLight(t *testing.T) {
	o := season.Obstacle{Wish: season.Light, Excludes: 0.94, Without: 3, Gives: 4.2}
	ask := func(w shoot.Wishes) string { return Instead(&o, &season.Question{Wishes: w}) }
	low := &shoot.AngleRange{High: 1}
	assert.Equal(t, "--sun-altitude -9..11 in place of --light golden-hour", ask(shoot.Wishes{Light: shoot.GoldenHour}))
	assert.Equal(t, "--sun-altitude -11..1 in place of --light blue-hour", ask(shoot.Wishes{Light: shoot.BlueHour}))
	assert.Equal(t, "leave --light out", ask(shoot.Wishes{Light: shoot.LastLight}))
	o.Gives = 34
	assert.Equal(t, "leave --light out", ask(shoot.Wishes{Light: shoot.GoldenHour}), "that would be no golden hour")
	o.Gives = 4.2
	assert.Equal(t, "leave --light out", ask(shoot.Wishes{Light: shoot.GoldenHour, SunAltitude: low}))
}

// What there is to find is counted where a wish is left out, and told by its day
// where it gives way.
func TestFinds(t *testing.T) {
	when := time.Date(2027, 5, 29, 19, 40, 0, 0, time.UTC)
	q := question()
	for want, o := range map[string]season.Obstacle{
		"Sat 29 May 2027 from 19:40":            {Wish: season.Length, Without: 10, Gives: 93, When: when},
		"3 windows":                             {Wish: season.SunSide, Without: 3, Gives: nan},
		"2 windows, Sat 29 May 2027 from 19:40": {Wish: season.SunVisible, Without: 2, Gives: 0.3, When: when},
		"1 window":                              {Wish: season.SunHeight, Without: 1, Gives: 34, When: when},
	} {
		assert.Equal(t, want, Finds(&o, q))
	}
}

// What is advised goes for the obstacle that is told first, where it can.
func TestAdvice(t *testing.T) {
	q := *question()
	light := season.Obstacle{Wish: season.Light, Without: 3, Gives: nan}
	look := season.Obstacle{Wish: season.Look, Without: 1, Gives: nan}
	length := season.Obstacle{Wish: season.Length, Without: 1, Gives: 93}
	advice := func(list ...season.Obstacle) string { return Advice(&season.Answer{Question: q, Obstacles: list}) }
	assert.Equal(t, "--at-least 1h33m", advice(light, length))
	assert.Equal(t, "leave --light out", advice(look, light))
	assert.Empty(t, advice(look))
	assert.Empty(t, advice())
}
