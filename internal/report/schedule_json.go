package report

import (
	"strings"
	"time"

	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/internal/words/windows"
	"evenfall/sky"
)

// The contracts of schedule: of one shoot, and of several in one run. From here
// on they only grow.
const (
	scheduleSchema = "evenfall/schedule/1"
	batchSchema    = "evenfall/schedules/1"
)

type batchJSON struct {
	Schema string       `json:"schema" csv:"-"`
	Shoots []batchEntry `json:"shoots" csv:"rows"`
}

type batchEntry struct {
	File *string `json:"file"` // that the shoot was read from
	scheduleJSON
}

type scheduleJSON struct {
	preamble
	Wishes    wishes       `json:"wishes" csv:"-"`
	Days      int          `json:"days" csv:"-"`
	Found     int          `json:"found" csv:"-"`
	Windows   []windowJSON `json:"windows" csv:"rows"`
	Obstacles []obstacle   `json:"obstacles" csv:"-"`
	Cautions  []string     `json:"cautions" csv:"-"`
}

// wishes are what was asked; null and empty lists were not.
type wishes struct {
	Dates       datesJSON   `json:"dates"`
	On          []string    `json:"on"`
	Between     *hours      `json:"between"`
	AtLeast     figure      `json:"at_least_minutes"`
	Light       *string     `json:"light"`
	SunAltitude *angleRange `json:"sun_altitude_deg"`
	SunAzimuth  *angleRange `json:"sun_azimuth_deg"`
	SunFrom     []string    `json:"sun_from"`
	SunVisible  bool        `json:"sun_visible"`
	Held        bool        `json:"held"`
	Headroom    figure      `json:"headroom_stops"`
	Aperture    bool        `json:"keep_aperture"`
	Odds        []odds      `json:"odds"`
	Forecast    *forecast   `json:"forecast"`
	Most        int         `json:"most"`
}

type datesJSON struct {
	First string `json:"first"`
	Last  string `json:"last"`
}

type hours struct {
	From string `json:"from"`
	To   string `json:"to"`
}

type angleRange struct {
	Low  figure `json:"low"`
	High figure `json:"high"`
}

type odds struct {
	Condition string `json:"condition"`
	Share     figure `json:"share"`
}

// forecast says what forecast was read, not all of it.
type forecast struct {
	From    string `json:"from"`
	To      string `json:"to"`
	Entries int    `json:"entries"`
}

// windowJSON is a window with its way of working. The settings of first and last
// are those of that method at its first and its last minute.
type windowJSON struct {
	From          string     `json:"from"`
	To            string     `json:"to"`
	Minutes       int        `json:"minutes"`
	Verdict       windowTake `json:"verdict"`
	Others        []string   `json:"others"`
	Condition     string     `json:"condition"`
	Start         sunEnd     `json:"sun_at_start"`
	End           sunEnd     `json:"sun_at_end"`
	Highest       figure     `json:"highest_sun_true_altitude_deg"`
	Seen          figure     `json:"highest_sun_altitude_deg"`
	Held          int        `json:"minutes_held"`
	Softer        int        `json:"minutes_softer"`
	LeastHeadroom figure     `json:"least_headroom_stops"`
	Flash         *stand     `json:"flash"` // null without flash
	Fill          *stand     `json:"fill"`  // null where there is none
	First         method     `json:"first"`
	Last          method     `json:"last"`
	Begins        edge       `json:"begins"`
	Ends          edge       `json:"ends"`
	Useful        figure     `json:"useful"`
	HeldShare     figure     `json:"held_share"`
	Comfortable   figure     `json:"comfortable_share"` // with enough headroom
	Burden        figure     `json:"burden"`
	Skies         []chance   `json:"skies"`
	Why           []string   `json:"why"`
	Command       string     `json:"command"` // that plans it in full
}

// windowTake is the method to take in a window.
type windowTake struct {
	Method string `json:"method"`
	Text   string `json:"text"`
}

// sunEnd is where the sun stands at an end of a window.
type sunEnd struct {
	Altitude     figure `json:"altitude_deg"`
	TrueAltitude figure `json:"true_altitude_deg"`
	Azimuth      figure `json:"azimuth_deg"`
	Bearing      string `json:"bearing"`
	Visible      bool   `json:"visible"`
}

// edge is what fails beyond an end of a window.
type edge struct {
	Wish       string `json:"wish"`
	OtherPlace bool   `json:"flash_elsewhere"` // each minute alone would do
	Text       string `json:"text"`
}

type chance struct {
	Condition string `json:"condition"`
	Odds      figure `json:"odds"`
	Holds     figure `json:"holds_share"`
	Useful    figure `json:"useful"` // what it adds to that of the window
}

// obstacle is a wish for want of which there is no window. By how little it is in
// the way stands under its unit; the others are null.
type obstacle struct {
	Wish    string  `json:"wish"`
	Fails   figure  `json:"fails_share"`
	Without int     `json:"windows_without"`
	Degrees figure  `json:"short_deg"`
	Stops   figure  `json:"short_stops"`
	Minutes figure  `json:"short_minutes"`
	When    *string `json:"when"`
	Text    string  `json:"text"`
	Ask     *string `json:"ask"`
}

func newBatch(l Schedule, o Options) *batchJSON {
	out := &batchJSON{Schema: batchSchema, Shoots: []batchEntry{}}
	for i := range l {
		out.Shoots = append(out.Shoots, batchEntry{textOf(l[i].File), *newSchedule(&l[i], o)})
	}
	return out
}

// newSchedule puts what was found for a shoot in the contract's terms.
func newSchedule(l *Scheduled, o Options) *scheduleJSON {
	q := &l.Question
	out := &scheduleJSON{
		preamble: newHeading(scheduleSchema, q.Shoot, o), Wishes: newWishes(q), Days: l.Days, Found: l.Found,
		Windows: []windowJSON{}, Obstacles: []obstacle{}, Cautions: l.cautions(),
	}
	for i := range l.Windows {
		out.Windows = append(out.Windows, newWindow(&l.Windows[i], l))
	}
	for i := range l.Obstacles {
		out.Obstacles = append(out.Obstacles, newObstacle(&l.Obstacles[i], q))
	}
	return out
}

func newWishes(q *season.Question) wishes {
	w := &q.Wishes
	out := wishes{
		Dates: datesJSON{w.Dates.First.String(), w.Dates.Last.String()}, On: []string{},
		AtLeast: fixed(w.AtLeast.Minutes(), 2), Light: textOf(w.Light.String()),
		SunAltitude: newAngleRange(w.SunAltitude), SunAzimuth: newAngleRange(w.SunAzimuth),
		SunFrom: append([]string{}, w.SunFrom...), SunVisible: w.SunVisible, Held: w.Held, Headroom: fixed(w.Headroom, 3),
		Aperture: w.KeepAperture, Odds: []odds{}, Most: q.Most,
	}
	for _, d := range w.On {
		out.On = append(out.On, strings.ToLower(d.String()))
	}
	if w.Between != nil {
		out.Between = &hours{w.Between.From.String(), w.Between.To.String()}
	}
	for _, c := range w.Odds {
		out.Odds = append(out.Odds, odds{c.Condition.String(), fixed(c.Share, 4)})
	}
	if f := w.Forecast; len(f) > 0 {
		out.Forecast = &forecast{stamp(f[0].Time, q.Shoot), stamp(f[len(f)-1].Time, q.Shoot), len(f)}
	}
	return out
}

func newAngleRange(r *shoot.AngleRange) *angleRange {
	if r == nil {
		return nil
	}
	return &angleRange{fixed(r.Low.Degrees(), 2), fixed(r.High.Degrees(), 2)}
}

func newWindow(w *season.Window, l *Scheduled) windowJSON {
	s, q := w.Plan.Shoot, &l.Question
	first, last := startEnd(w)
	out := windowJSON{
		From: stamp(w.From, s), To: stamp(w.To, s), Minutes: int(w.To.Sub(w.From) / time.Minute),
		Verdict: windowTake{w.Method.String(), windows.Take(w)}, Others: []string{}, Condition: w.Sky.String(),
		Start: newSunEnd(&w.Start), End: newSunEnd(&w.End), First: newMethod(&first.Solution, first.Moment, s),
		Last: newMethod(&last.Solution, last.Moment, s), Begins: newEdge(w.Begins, q), Ends: newEdge(w.Ends, q),
		Useful: fixed(w.Useful, 4), Skies: []chance{}, Why: windows.Why(w, q),
		Command: windows.Command(w, l.Typed),
	}
	for _, m := range w.Others {
		out.Others = append(out.Others, m.String())
	}
	for _, c := range w.Skies {
		out.Skies = append(out.Skies, chance{c.Condition.String(), fixed(c.Odds, 4), fixed(c.Holds, 4), fixed(c.Useful, 4)})
	}
	out.Highest, out.Seen = fixed(w.Highest().Degrees(), 2), fixed(windows.Highest(w).Degrees(), 2)
	merits := w.Merits
	out.HeldShare, out.Comfortable = fixed(merits.Held, 4), fixed(merits.Comfortable, 4)
	out.Burden = fixed(merits.Burden, 4)
	// Under a sky with two cases the worse counts.
	r := worse(runsOf(w))
	out.Held, out.Softer = r.Held, r.Softer
	if least, flashes := leastHeadroom(w); flashes {
		out.LeastHeadroom = fixed(least, 3)
	}
	if w.Plan.Flashes(w.Method) {
		at := newStand(&r.Places[0], &s.Flash)
		out.Flash = &at
	}
	if r.Fill != nil {
		at := newStand(r.Fill, &s.Fill.Head)
		out.Fill = &at
	}
	return out
}

func newSunEnd(s *season.Sun) sunEnd {
	return sunEnd{fixed(s.Apparent.Degrees(), 2), fixed(s.Altitude.Degrees(), 2),
		fixed(s.Azimuth.Normal().Degrees(), 2), s.Bearing, s.Visible}
}

func newEdge(e season.Edge, q *season.Question) edge {
	return edge{windows.WishName(e.Wish), e.Place, windows.Beyond(e, q)}
}

func newObstacle(o *season.Obstacle, q *season.Question) obstacle {
	out := obstacle{
		Wish: windows.WishName(o.Wish), Fails: fixed(o.Excludes, 4), Without: o.Without, When: stampOf(o.When, q.Shoot),
		Text: windows.Obstacle(o, q), Ask: textOf(windows.Instead(o, q)),
	}
	switch o.Wish {
	case season.Length:
		out.Minutes = fixed(q.Wishes.AtLeast.Minutes()-o.Gives, 1)
	case season.Hours:
		out.Minutes = fixed(o.Gives, 1)
	case season.Look, season.Headroom, season.Aperture:
		out.Stops = fixed(sky.Stops(o.Gives), 3)
	default:
		out.Degrees = fixed(o.Gives, 2)
	}
	return out
}
