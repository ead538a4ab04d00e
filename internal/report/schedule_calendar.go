package report

import (
	"strconv"
	"strings"

	"evenfall/internal/calendar"
	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/internal/words/windows"
)

// product is what made a calendar, as RFC 5545, 3.7.3, asks for it.
const product = "-//evenfall//evenfall schedule//EN"

// calendar has the windows as events, the best first. What is in them is only
// proposed.
func (l Schedule) calendar(o Options) *calendar.Calendar {
	show := func(s string) string {
		if o.ASCII {
			return words.ASCII(words.Safe(s))
		}
		return words.Safe(s)
	}
	c := &calendar.Calendar{Product: product, Made: o.Now}
	seen := map[string]int{}
	for i := range l {
		for j := range l[i].Windows {
			e := l[i].event(&l[i].Windows[j])
			e.Summary, e.Location = show(e.Summary), show(e.Location)
			var lines []string
			for _, line := range strings.Split(e.Description, "\n") {
				lines = append(lines, show(line))
			}
			e.Description = strings.Join(lines, "\n")
			uid := e.UID()
			if seen[uid]++; seen[uid] > 1 {
				e.Key = append(e.Key, strconv.Itoa(seen[uid]))
			}
			c.Events = append(c.Events, e)
		}
	}
	return c
}

// event is a window as an event. It stays the same one for as long as shoot,
// place, day, half of the day and method do.
func (l *Scheduled) event(w *season.Window) calendar.Event {
	s := l.Question.Shoot
	site := s.Place.Site
	half := "evening"
	if w.Start.Azimuth.Normal().Degrees() < 180 {
		half = "morning"
	}
	e := calendar.Event{
		From: w.From.In(s.Place.Zone), To: w.To.In(s.Place.Zone),
		Summary: name(s) + ", " + w.Method.String(), Description: strings.Join(l.description(w), "\n"),
		Location: placeName(s), Latitude: site.Latitude.Degrees(), Longitude: site.Longitude.Degrees(), Proposed: true,
	}
	e.Key = []string{s.Name, strconv.FormatFloat(e.Latitude, 'f', 4, 64), strconv.FormatFloat(e.Longitude, 'f', 4, 64),
		e.From.Format("2006-01-02"), half, w.Method.String()}
	if light := l.Question.Wishes.Light; light != shoot.AnyLight {
		e.Summary = name(s) + ", " + windows.LightName(light) + ", " + w.Method.String()
	}
	return e
}

// description is what there is to know of a window on the day, a line each.
func (l *Scheduled) description(w *season.Window) []string {
	r := runsOf(w)[0]
	facts := Facts(ends(r))
	if w.Plan.Flashes(w.Method) || w.Plan.Fills(w.Method) {
		facts = append(facts, standFacts(w.Plan, r)...)
	}
	lines := []string{windows.Take(w)}
	for _, f := range facts {
		lines = append(lines, f.Label+": "+f.Text)
	}
	for _, why := range windows.Why(w, &l.Question) {
		// The first line says the one, and how it ranks is of no use on the day.
		if !strings.HasSuffix(why, ": "+windows.Gives(w)+".") && why != windows.Merits(w) {
			lines = append(lines, why)
		}
	}
	note := estimated()
	return append(append(lines, note.Said()), l.cautions()...)
}
