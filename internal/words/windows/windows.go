// Package windows words what a search over dates finds: the sentences and numbers
// that people read of it.
package windows

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// Dates names a range of days, as shortly as it can be: May 2027, 2027,
// 1 May to 14 June 2027.
func Dates(r shoot.DateRange) string {
	first, last := dayOf(r.First), dayOf(r.Last)
	ends := last.AddDate(0, 0, 1) // the day after
	switch begins := first.Day() == 1 && ends.Day() == 1; {
	case first.Equal(last):
		return words.Date(first)
	case begins && first.Month() == time.January && ends.Month() == time.January && first.Year() == last.Year():
		return first.Format("2006")
	case begins && first.Month() == last.Month() && first.Year() == last.Year():
		return first.Format("January 2006")
	case first.Year() == last.Year():
		return first.Format("2 January") + " to " + last.Format("2 January 2006")
	}
	return first.Format("2 January 2006") + " to " + last.Format("2 January 2006")
}

func dayOf(d shoot.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// Weekdays names days of the week: Saturdays and Sundays.
func Weekdays(days []time.Weekday) string {
	var names []string
	for _, d := range days {
		names = append(names, words.Plural(d.String()))
	}
	return words.List(names...)
}

// Days names the days that are asked for: May 2027, Saturdays and Sundays.
func Days(w *shoot.Wishes) string {
	if len(w.On) > 0 {
		return Dates(w.Dates) + ", " + Weekdays(w.On)
	}
	return Dates(w.Dates)
}

// Sides names sides that the sun may come from: the left, back-left or back.
func Sides(names []string) string { return "the " + words.Either(names...) }

// Best says which window is the best and what it comes to.
func Best(w *season.Window) string {
	return "Best: " + words.Date(w.From) + ", " + Times(w) + ", with " + w.Method.String() + ": " + Gives(w) + "."
}

// Times says when in its day a window is, and how long it is:
// 19:31–20:32 (1 h 1 min).
func Times(w *season.Window) string {
	return Hours(w) + " (" + words.Length(w.To.Sub(w.From)) + ")"
}

// Hours says from when to when a window is, with the day where it ends on another:
// 19:31–20:32, 22:10–02:40 on Sun 13.
func Hours(w *season.Window) string {
	clock := words.Clock{}
	if w.From.YearDay() == w.To.YearDay() {
		return clock.Range(w.From, w.To)
	}
	return clock.Time(w.From) + "–" + clock.Time(w.To) + w.To.Format(" on Mon 2")
}

// Gives says in a clause what the method of a window comes to.
func Gives(w *season.Window) string { return words.Comes(w.Plan, w.Plan.Index(w.Method)) }

// Take says which way of working a window is for, as a verdict does.
func Take(w *season.Window) string {
	return "Take " + w.Method.String() + ": " + Gives(w) + "."
}

// Softens reports whether the method of a window comes out softer than asked
// anywhere in it.
func Softens(w *season.Window) bool {
	for _, r := range w.Plan.RunsOf(w.Plan.Index(w.Method)) {
		if r.Softer > 0 {
			return true
		}
	}
	return false
}

// Command is the command that plans a window in full. Typed is what was typed of the
// shoot as it is typed again: its file, and each flag with its value.
func Command(w *season.Window, typed []string) string {
	list := append([]string{"evenfall timeline"}, typed...)
	put := func(one string, flags ...string) {
		list = slices.DeleteFunc(list, func(given string) bool {
			return slices.ContainsFunc(flags, func(flag string) bool { return strings.HasPrefix(given, flag+" ") })
		})
		list = append(list, one)
	}
	if w.Plan.Verdict().Best != w.Method {
		put("--method "+w.Method.String(), "--method") // what is wished for leaves out the one it takes
	}
	from, to := w.From, w.To
	if twice(from) || twice(to) {
		zone := fixed(from)
		put("--tz "+zone.String(), "--tz")
		from, to = from.In(zone), to.In(zone)
	}
	list = append(list, "--date "+from.Format("2006-01-02"), "--from "+from.Format("15:04"), "--to "+to.Format("15:04"))
	if skies := w.Plan.Shoot.Sky; len(w.Skies) > 0 && len(skies) == 1 {
		put(skyFlag(skies[0].Condition), "--sky", "--okta", "--turbidity")
	}
	return strings.Join(list, " ")
}

// twice reports whether clocks show a time again within a few hours, for they are
// put back.
func twice(t time.Time) bool {
	const around = 3 * time.Hour
	_, offset := t.Zone()
	for _, other := range [...]time.Time{t.Add(-around), t.Add(around)} {
		_, o := other.Zone()
		again := t.Add(time.Duration(offset-o) * time.Second)
		if _, there := again.Zone(); o != offset && there == o {
			return true
		}
	}
	return false
}

// fixed is the zone of a time's offset, by a name that can be typed.
func fixed(t time.Time) *time.Location {
	_, offset := t.Zone()
	return time.FixedZone("UTC"+t.Format("-07:00"), offset)
}

// skyFlag is what to type for a condition of the sky.
func skyFlag(c sky.Condition) string {
	if oktas, is := strings.CutSuffix(c.String(), " oktas"); is {
		return "--okta " + oktas
	}
	if haze, is := strings.CutPrefix(c.String(), "turbidity "); is {
		return "--turbidity " + haze
	}
	return "--sky " + c.String()
}

// Ranking says by which rules windows are ranked.
func Ranking() string {
	return "Ranked by how likely a window is to be of use (in steps of 5 %), then by how much of it is held rather " +
		"than softer (5 %), comfortable headroom (5 %), length up to twice the one asked for (a quarter of an hour), " +
		"burden, which is what has to be carried and what else speaks against the method (0.25), and the earlier date."
}

// Why says of each fact of a window why it is so: where the sun stands, the
// way of working, why it neither begins earlier nor ends later, and how likely it
// is.
func Why(w *season.Window, q *season.Question) []string {
	clock := words.Clock{}
	list := []string{
		"Sun " + Stands(&w.Start) + " at " + clock.Time(w.From) + ", " + Stands(&w.End) + " at " + clock.Time(w.To) + ".",
		"With " + w.Method.String() + ": " + Gives(w) + ".",
	}
	if len(w.Others) > 0 {
		list = append(list, "Also possible: "+words.List(methodNames(w.Others)...)+", which the verdict ranks lower.")
	}
	list = append(list,
		"Begins at "+clock.Time(w.From)+": before, "+Beyond(w.Begins, q)+".",
		"Ends at "+clock.Time(w.To)+": after, "+Beyond(w.Ends, q)+".")
	list = append(list, Merits(w))
	if len(w.Skies) == 0 {
		return append(list, "Planned for a sky that is "+w.Sky.String()+", as the shoot has it.")
	}
	list = append(list, words.Sentence(Skies(w, q))+".")
	if Unforecast(w, q) && len(q.Wishes.Odds) == 0 {
		return list
	}
	return append(list, "Planned for "+words.Condition(w.Sky)+", the likeliest sky under which it holds.")
}

// Merits says what a window is ranked by.
func Merits(w *season.Window) string {
	m := w.Merits
	return "Ranked by: of use " + words.Percent(w.Useful) + ", held " + words.Percent(m.Held) +
		", comfortable headroom " + words.Percent(m.Comfortable) + ", " + words.Length(w.To.Sub(w.From)) + " long, burden " +
		strconv.FormatFloat(m.Burden, 'f', 2, 64) + "."
}

// Skies says how likely a window is to be of use as Useful does, and that a forecast
// does not reach it.
func Skies(w *season.Window, q *season.Question) string {
	switch {
	case !Unforecast(w, q):
		return Useful(w)
	case len(q.Wishes.Odds) > 0:
		return "beyond the forecast, by the odds: " + Useful(w)
	}
	return "beyond the forecast: taken for " + words.Condition(w.Sky) + ", as the shoot has it"
}

// Unforecast reports whether there is a forecast, but for no minute of a window.
func Unforecast(w *season.Window, q *season.Question) bool {
	f := q.Wishes.Forecast
	for t := w.From; !t.After(w.To); t = t.Add(time.Minute) {
		if _, ok := f.At(t); ok {
			return false
		}
	}
	return len(f) > 0
}

func methodNames(methods []shoot.Method) []string {
	var names []string
	for _, m := range methods {
		names = append(names, m.String())
	}
	return names
}

// Stands says where the sun stands, as high as it is seen: 5.9° high from the
// back-left (285°).
func Stands(s *season.Sun) string {
	text := words.Degrees(s.Apparent, 1) + " high"
	switch {
	case s.Apparent < 0:
		text = words.Degrees(-s.Apparent, 1) + " under the horizon"
	case !s.Visible:
		text += ", behind the skyline,"
	}
	return text + " from the " + s.Bearing + " (" + words.Azimuth(s.Azimuth) + ")"
}

// Altitudes writes the sun's altitude at both ends of a window, 5.9° to −3.9°; where
// it is highest between them also there: 23.0° to 35.2° to 22.9°.
func Altitudes(w *season.Window) string {
	const noon = 0.5 // degrees over both ends that are worth a word
	a, b := words.Degrees(w.Start.Apparent, 1), words.Degrees(w.End.Apparent, 1)
	highest := Highest(w)
	switch {
	case (highest - max(w.Start.Apparent, w.End.Apparent)).Degrees() > noon:
		return a + " to " + words.Degrees(highest, 1) + " to " + b
	case a == b:
		return a
	}
	return a + " to " + b
}

// Highest is the highest altitude of the sun in a window, as it is seen.
func Highest(w *season.Window) sky.Angle {
	highest := max(w.Start.Apparent, w.End.Apparent)
	minutes := w.Plan.RunsOf(w.Plan.Index(w.Method))[0].Minutes
	for i := range minutes {
		highest = max(highest, minutes[i].Sun.Altitude)
	}
	return highest
}

// From says from which side the sun comes, with its azimuth, at both ends of a
// window: left 262° to back-left 285°.
func From(w *season.Window) string {
	a, b := words.Azimuth(w.Start.Azimuth), words.Azimuth(w.End.Azimuth)
	switch {
	case a == b && w.Start.Bearing == w.End.Bearing:
		return w.Start.Bearing + " " + a
	case w.Start.Bearing == w.End.Bearing:
		return w.Start.Bearing + " " + a + " to " + b
	}
	return w.Start.Bearing + " " + a + " to " + w.End.Bearing + " " + b
}

// Beyond says what fails beyond an end of a window.
func Beyond(e season.Edge, q *season.Question) string {
	w := &q.Wishes
	switch {
	case e.Place:
		return "the look takes the flash at another place"
	case e.Wish == season.Day:
		return "that is another day"
	case e.Wish == season.Hours:
		return "it is not " + Wish(e.Wish, q)
	case e.Wish == season.Light:
		return "there is no " + LightName(w.Light)
	case e.Wish == season.SunHeight && w.SunAltitude == nil:
		light, _ := season.Altitudes(shoot.AnyLight)
		return "the sun is more than " + fineDegrees(-light.Low) + " under the horizon"
	case e.Wish == season.SunHeight, e.Wish == season.SunAzimuth:
		return "the sun is not " + strings.TrimPrefix(Wish(e.Wish, q), "sun ")
	case e.Wish == season.SunSide:
		return "the sun does not come from " + Sides(w.SunFrom)
	case e.Wish == season.SunVisible:
		return "the sun is not in sight"
	case e.Wish == season.Look && w.Held:
		return "no method asked for holds the look"
	case e.Wish == season.Look:
		return "no method asked for gets the look"
	case e.Wish == season.Headroom:
		return "headroom is less than " + words.Stops(w.Headroom)
	case e.Wish == season.Aperture:
		return "the aperture moves away from " + q.Shoot.Lens.Wanted.String()
	}
	return "it is too short"
}

// LightName names a kind of light: golden hour, last light, blue hour.
func LightName(l shoot.NamedLight) string { return strings.ReplaceAll(l.String(), "-", " ") }

// Wish says what one wish asks.
func Wish(kind season.Wish, q *season.Question) string {
	w := &q.Wishes
	switch kind {
	case season.Day:
		if len(w.On) > 0 {
			return Weekdays(w.On)
		}
		return Dates(w.Dates)
	case season.Hours:
		return w.Between.From.String() + " to " + w.Between.To.String()
	case season.Light:
		return LightName(w.Light)
	case season.SunHeight:
		return "sun " + degreesRange(w.SunAltitude) + " high"
	case season.SunAzimuth:
		return "sun at " + degreesRange(w.SunAzimuth)
	case season.SunSide:
		return "sun from " + Sides(w.SunFrom)
	case season.SunVisible:
		return "sun in sight"
	case season.Look:
		if w.Held {
			return "look held, nothing softer"
		}
		return "look held or softer"
	case season.Headroom:
		return "headroom of " + words.Stops(w.Headroom)
	case season.Aperture:
		return "aperture within 1/3 stop of " + q.Shoot.Lens.Wanted.String()
	}
	return "at least " + words.Length(w.AtLeast)
}

// degreesRange writes a range of angles: 2° to 10°.
func degreesRange(r *shoot.AngleRange) string {
	return fineDegrees(r.Low) + " to " + fineDegrees(r.High)
}

// fineDegrees writes an angle that somebody has typed, as finely as that was.
func fineDegrees(a sky.Angle) string { return words.UpTo(a.Degrees(), 2) + "°" }

// Wished lists all that is wished for, but for the dates.
func Wished(q *season.Question) []string {
	var list []string
	for _, kind := range [...]season.Wish{season.Hours, season.Light, season.SunHeight, season.SunAzimuth, season.SunSide,
		season.SunVisible, season.Look, season.Headroom, season.Aperture, season.Length} {
		if kind.Asked(&q.Wishes) {
			list = append(list, Wish(kind, q))
		}
	}
	return list
}

// Useful says how likely a window is to be of use, and under which skies:
// useful in about 7 of 10 skies: clear, hazy; not overcast.
func Useful(w *season.Window) string {
	text := "useful in " + outOfTen(w.Useful) + " skies"
	var holds, not []string
	for _, c := range together(w.Skies) {
		switch name := words.Condition(c.Condition); {
		case c.Holds > nearlyAll:
			holds = append(holds, name)
		case c.Holds < 1-nearlyAll:
			not = append(not, name)
		default:
			holds = append(holds, name+" ("+words.Percent(c.Holds)+" of it)")
		}
	}
	if len(holds) > 0 {
		text += ": " + strings.Join(holds, ", ")
	}
	if len(not) > 0 {
		text += "; not " + strings.Join(not, ", ")
	}
	return text
}

// together are chances without any sky twice: one may be the shoot's own for a
// while, and another's that is forecast.
func together(skies []season.Chance) []season.Chance {
	var list []season.Chance
	for _, c := range skies {
		i := slices.IndexFunc(list, func(o season.Chance) bool { return o.Condition == c.Condition })
		if i < 0 {
			list = append(list, c)
			continue
		}
		o := &list[i]
		if sum := o.Odds + c.Odds; sum > 0 {
			o.Holds, o.Odds = (o.Holds*o.Odds+c.Holds*c.Odds)/sum, sum
		}
	}
	return list
}

// nearlyAll is the share of a window from which on nobody misses the rest.
const nearlyAll = 0.95

// outOfTen writes a likelihood as people say it: about 7 of 10.
func outOfTen(share float64) string {
	n := int(math.Round(10 * share))
	switch {
	case n == 0:
		return "fewer than 1 of 10"
	case n == 10 && share < 1:
		return "nearly all"
	case n == 10:
		return "all"
	}
	return "about " + strconv.Itoa(n) + " of 10"
}

// NothingFits says that there is no window, and what comes nearest.
func NothingFits(a *season.Answer) string {
	if NoDay(&a.Question) {
		return "None of the dates is a " + weekday(a.Question.Wishes.On) + ": there is no day to look at."
	}
	text := "Nothing fits in " + words.Count(a.Days, "day")
	if o := nearest(a); o != nil {
		return text + ": " + short(o, &a.Question) + "."
	}
	return text + ", whichever wish is left out."
}

// NoDay reports whether none of the dates is a day of the week that is asked for.
func NoDay(q *season.Question) bool {
	w := &q.Wishes
	if len(w.On) == 0 {
		return false
	}
	first, last := dayOf(w.Dates.First), dayOf(w.Dates.Last)
	for i := range 7 { // after a week they come again
		if day := first.AddDate(0, 0, i); !day.After(last) && slices.Contains(w.On, day.Weekday()) {
			return false
		}
	}
	return true
}

// weekday names days of the week as one of them: Saturday or Sunday.
func weekday(days []time.Weekday) string {
	var names []string
	for _, d := range days {
		names = append(names, d.String())
	}
	return words.Either(names...)
}

// nearest is the obstacle that is told first: of those without which there is a
// window the one that has the least to give.
func nearest(a *season.Answer) *season.Obstacle {
	var best *season.Obstacle
	for i := range a.Obstacles {
		o := &a.Obstacles[i]
		if o.Without > 0 && (best == nil || gives(o, &a.Question) < gives(best, &a.Question)) {
			best = o
		}
	}
	return best
}

// gives is how much an obstacle has to give, on one scale for all: a length by the
// share that is missing; beside it 10 degrees, an hour and a stop count as much as
// the whole length, and a wish that has to go twice that. Common practice, no
// source.
func gives(o *season.Obstacle, q *season.Question) float64 {
	switch {
	case !known(o, q):
		return 2
	case o.Wish == season.Length:
		return 1 - o.Gives/q.Wishes.AtLeast.Minutes()
	case o.Wish == season.Hours:
		return o.Gives / 60
	case o.Wish == season.Headroom:
		return o.Gives
	}
	return o.Gives / 10
}

// known reports whether by how little an obstacle is in the way can be said: not
// where that is all of it, or more degrees than make a range wider.
func known(o *season.Obstacle, q *season.Question) bool {
	switch o.Wish {
	case season.Headroom:
		return o.Gives <= float64(q.Wishes.Headroom)-0.05
	case season.Length, season.Hours:
		return !math.IsNaN(o.Gives) && !math.IsInf(o.Gives, 0)
	}
	return o.Gives <= mostWider
}

// short says by how little an obstacle is in the way, in a clause.
func short(o *season.Obstacle, q *season.Question) string {
	at := ""
	if !o.When.IsZero() {
		at = " on " + words.Date(o.When) + " from " + words.Clock{}.Time(o.When)
	}
	minutes := time.Duration(o.Gives) * time.Minute
	switch {
	case !known(o, q):
		return words.Count(o.Without, "window") + " without \"" + Wish(o.Wish, q) + "\"" + firstAt(at)
	case o.Wish == season.Length:
		return "longest " + words.Length(minutes) + at + ", " + words.Length(q.Wishes.AtLeast-minutes) + " short of " +
			words.Length(q.Wishes.AtLeast)
	case o.Wish == season.Hours:
		return words.Length(minutes) + " outside " + Wish(o.Wish, q) + at
	case o.Wish == season.Headroom:
		return "headroom " + words.MissingStops(sky.Stops(o.Gives)) + " short of " + words.Stops(q.Wishes.Headroom) + at
	}
	return "the sun misses " + aimed(o.Wish, q) + " by " + words.Degrees(sky.Degrees(o.Gives), 1) + at
}

// firstAt says when the window is that an obstacle is told with.
func firstAt(at string) string {
	if at == "" {
		return ""
	}
	return ", one" + at
}

// aimed says what of the sun is asked that is measured in degrees.
func aimed(kind season.Wish, q *season.Question) string {
	switch kind {
	case season.SunHeight:
		return degreesRange(q.Wishes.SunAltitude)
	case season.SunAzimuth:
		return "an azimuth of " + degreesRange(q.Wishes.SunAzimuth)
	case season.Light:
		return LightName(q.Wishes.Light)
	}
	return "the skyline"
}

// Obstacle says how much of the days a wish excludes, and what there would be
// without it.
func Obstacle(o *season.Obstacle, q *season.Question) string {
	if NoDay(q) && o.Wish != season.Day {
		return "none of the dates is a day asked for"
	}
	text := "fails for " + share(o.Excludes) + " of the minutes"
	switch o.Wish {
	case season.Length:
		if o.Without == 0 {
			return "nothing fits, however short"
		}
		return short(o, q)
	case season.Day:
		text = "leaves out " + words.Percent(o.Excludes) + " of the days"
	case season.Look, season.Headroom, season.Aperture:
		if asksSun(&q.Wishes) {
			text += " with such a sun"
		}
	}
	if o.Without == 0 {
		return text + "; without it nothing fits either"
	}
	text += "; without it " + words.Count(o.Without, "window")
	if !known(o, q) {
		return text
	}
	return text + "; " + short(o, q)
}

// asksSun reports whether anything is asked of the sun.
func asksSun(w *shoot.Wishes) bool {
	return w.Light != shoot.AnyLight || w.SunAltitude != nil || w.SunAzimuth != nil || len(w.SunFrom) > 0 || w.SunVisible
}

// share writes a share of the whole, in words where a count of percent would say
// that there is none.
func share(x float64) string {
	switch {
	case x == 0:
		return "none"
	case x < 0.005:
		return "less than 1 %"
	}
	return words.Percent(x)
}

// wishNames are the names of wishes for programs: those of their flags.
var wishNames = [...]string{"dates", "between", "light", "sun-altitude", "sun-azimuth", "sun-from", "sun-visible",
	"look", "headroom", "keep-aperture", "at-least"}

// WishName names a wish for programs, as the flag that asks for it.
func WishName(w season.Wish) string { return wishNames[w] }

// mostWider is by how many degrees a range of angles is made wider, rather than
// left out.
const mostWider = 10

// Advice is what to type where nothing fits: in the place of the wish that is
// told first, else of any; empty where nothing is known that would help.
func Advice(a *season.Answer) string {
	if o := nearest(a); o != nil {
		if ask := Instead(o, &a.Question); ask != "" {
			return ask
		}
	}
	for i := range a.Obstacles {
		if ask := Instead(&a.Obstacles[i], &a.Question); ask != "" {
			return ask
		}
	}
	return ""
}

// Instead is what to type in the place of a wish that is in the way, so that there
// is a window; empty where that is not known.
func Instead(o *season.Obstacle, q *season.Question) string {
	flag := "--" + WishName(o.Wish)
	w := &q.Wishes
	switch {
	case o.Without == 0:
		return ""
	case o.Wish == season.Length:
		return flag + " " + shoot.Span(time.Duration(o.Gives)*time.Minute)
	case o.Wish == season.Headroom && known(o, q):
		return flag + " " + strconv.FormatFloat(math.Floor(10*float64(w.Headroom)-10*o.Gives+1e-9)/10, 'f', 1, 64)
	case o.Wish == season.SunHeight && known(o, q):
		return flag + " " + widened(w.SunAltitude, o.Gives, -90, 90)
	case o.Wish == season.SunAzimuth && known(o, q):
		return flag + " " + widened(w.SunAzimuth, o.Gives, -180, 360)
	case o.Wish == season.Light && known(o, q) && w.SunAltitude == nil:
		if named, ok := season.Altitudes(w.Light); ok {
			return "--sun-altitude " + widened(&named, o.Gives, -90, 90) + " in place of " + flag + " " + w.Light.String()
		}
	case o.Wish == season.Day:
		return "leave --on out"
	case o.Wish == season.Look:
		return "" // another look is no flag to leave out
	}
	return "leave " + flag + " out"
}

// Finds says what there is to find where an obstacle gives way, as Instead has it:
// without the wish all windows there would be, else the one that is nearest.
func Finds(o *season.Obstacle, q *season.Question) string {
	var parts []string
	if strings.HasPrefix(Instead(o, q), "leave ") {
		parts = append(parts, words.Count(o.Without, "window"))
	}
	if known(o, q) && !o.When.IsZero() {
		parts = append(parts, words.Date(o.When)+" from "+words.Clock{}.Time(o.When))
	}
	return strings.Join(parts, ", ")
}

// widened writes a range of angles that has been widened at both ends, to whole
// degrees within what there are.
func widened(r *shoot.AngleRange, by, least, most float64) string {
	low := max(least, math.Floor(r.Low.Degrees()-by+1e-9))
	high := min(most, math.Ceil(r.High.Degrees()+by-1e-9))
	return strconv.FormatFloat(low, 'f', 0, 64) + ".." + strconv.FormatFloat(high, 'f', 0, 64)
}
