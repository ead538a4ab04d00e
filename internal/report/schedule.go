package report

import (
	"slices"
	"strconv"
	"strings"

	"evenfall/internal/plan"
	"evenfall/internal/season"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/internal/words/windows"
	"evenfall/sky"
)

// Schedule is what a search over dates finds for some shoots.
type Schedule []Scheduled

// Scheduled is what it finds for one of them.
type Scheduled struct {
	File string // that the shoot was read from; empty of none
	// Typed is what was typed of the shoot, as it is typed again: its file, and each
	// flag with its value.
	Typed []string
	*season.Answer
}

// Report is the report of the search: the best window and what it comes to, or by
// how little nothing fits; then all windows, the best first.
func (l Schedule) Report(o Options) *Report {
	r := &Report{Calendar: l.calendar(o)}
	if len(l) == 1 {
		r.Summary, r.Data, r.Document = l[0].summary(), newSchedule(&l[0], o), l[0].document(o)
		return r
	}
	found := 0
	for i := range l {
		found += len(l[i].Windows)
	}
	r.Summary = words.Count(found, "window") + " for " + words.Count(len(l), "shoot")
	r.Data, r.Document = newBatch(l, o), l.document(o)
	return r
}

// summary is what is found, in a clause.
func (l *Scheduled) summary() string {
	if len(l.Windows) == 0 {
		return "nothing fits"
	}
	w := &l.Windows[0]
	return words.Count(len(l.Windows), "window") + ", the best " + words.Date(w.From) + ", " + windows.Times(w)
}

// lead is the answer in a sentence.
func (l *Scheduled) lead() (text string, tone Tone) {
	if len(l.Windows) == 0 {
		return windows.NothingFits(l.Answer), Bad
	}
	w := &l.Windows[0]
	if windows.Softens(w) {
		return windows.Best(w), Warn
	}
	return windows.Best(w), Good
}

// title names the shoot, the days and the zone.
func (l *Scheduled) title() string {
	s := l.Question.Shoot
	return name(s) + ", " + windows.Days(&l.Question.Wishes) + " (" + s.Place.Zone.String() + ")"
}

// document describes the search for several shoots: the answer of each in a line,
// then each by itself.
func (l Schedule) document(o Options) Document {
	d := Document{Title: "When to shoot: " + words.Count(len(l), "shoot")}
	var leads Facts
	var dangers []string
	for i := range l {
		text, tone := l[i].lead()
		leads = append(leads, Fact{Label: name(l[i].Question.Shoot), Text: text, Tone: tone})
		for _, one := range l[i].cautions() {
			if !slices.Contains(dangers, one) {
				dangers = append(dangers, one)
			}
		}
	}
	d.Add(leads)
	for i := range l {
		d.Add(Heading{Text: l[i].title()})
		for _, b := range l[i].blocks(o) {
			if h, ok := b.(Heading); ok {
				h.Level++
				b = h
			}
			d.Add(b)
		}
	}
	d.Add(Paragraph{Text: windows.Ranking()}, estimated(), Heading{Text: "Cautions"}, List{Items: dangers})
	return d
}

// document describes the search for one shoot.
func (l *Scheduled) document(o Options) Document {
	d := Document{Title: l.title()}
	d.Add(l.blocks(o)...)
	if len(l.Windows) > 0 {
		d.Add(Paragraph{Text: windows.Ranking()})
	}
	if o.Full && len(l.Windows) > 0 {
		d.Add(notes(l.Windows[0].Plan)...)
	} else {
		d.Add(estimated())
	}
	d.Add(Heading{Text: "Cautions"}, List{Items: l.cautions()})
	return d
}

// blocks are what is found for one shoot.
func (l *Scheduled) blocks(o Options) []Block {
	list := opening(l.Question.Shoot, o)
	text, tone := l.lead()
	list = append(list, Paragraph{Text: text, Strong: true, Tone: tone})
	if len(l.Windows) == 0 {
		return append(list, l.nothing()...)
	}
	list = append(list, l.facts(), l.heading(), l.table())
	if o.Why {
		list = append(list, l.why()...)
	}
	return list
}

// cautions are those of the windows; of several with a scrim where it stands
// highest, so that it takes the most to hold it.
func (l *Scheduled) cautions() []string {
	s := l.Question.Shoot
	if s.Scrim == nil {
		return cautions(s, "")
	}
	var highest *plan.Plan
	for i := range l.Windows {
		if p := l.Windows[i].Plan; highest == nil || p.Sail().Height > highest.Sail().Height {
			highest = p
		}
	}
	if highest == nil {
		return cautions(s, "Scrim, a sail: bags and hands by the wind, flat before it is too strong; compare has the table.")
	}
	return Cautions(highest)
}

// facts are those of the best window.
func (l *Scheduled) facts() Facts {
	w := &l.Windows[0]
	r := runsOf(w)[0]
	list := Facts(ends(r))
	if w.Plan.Flashes(w.Method) || w.Plan.Fills(w.Method) {
		list = append(list, standFacts(w.Plan, r)...)
	}
	clock := words.Clock{}
	list = append(list, Fact{Label: "Sun", Text: windows.Stands(&w.Start) + ", then " + windows.Stands(&w.End)},
		Fact{Label: "Before", Text: "up to " + clock.Time(w.From) + " " + windows.Beyond(w.Begins, &l.Question)},
		Fact{Label: "After", Text: "from " + clock.Time(w.To) + " on " + windows.Beyond(w.Ends, &l.Question)})
	if len(w.Skies) > 0 {
		list = append(list, Fact{Label: "Sky", Text: windows.Skies(w, &l.Question)})
	}
	return append(list, l.asked(), Fact{Label: "More", Text: windows.Command(w, l.Typed)})
}

// asked says what is wished for and what the look holds.
func (l *Scheduled) asked() Fact {
	return Fact{Label: "Asked", Text: strings.Join(windows.Wished(&l.Question), ", ") + "; " + asked(l.Question.Shoot)}
}

// heading says how many windows there are.
func (l *Scheduled) heading() Heading {
	if l.Found > len(l.Windows) {
		return Heading{Text: "The best " + strconv.Itoa(len(l.Windows)) + " of " + words.Count(l.Found, "window")}
	}
	if len(l.Windows) == 1 {
		return Heading{Text: "1 window"}
	}
	return Heading{Text: words.Count(len(l.Windows), "window") + ", the best first"}
}

// table has a row for each window.
func (l *Scheduled) table() *Table {
	t := &Table{Columns: []Column{
		{Title: "Window", Importance: 9, Least: 15, Note: "day, from when to when, and how long that is"},
		{Title: "Sun", Unit: "side, azimuth", Importance: 7, Least: 16,
			Note: "altitude above the horizon, as it is seen, at the start and the end, and where it is highest between; " +
				"the side it comes from, seen from the camera, and its azimuth from true north"},
		{Title: "Method", Unit: "headroom", Importance: 9,
			Note: "way of working, and the flash power to spare where it is least"},
		{Title: "Start", Importance: 8, Note: "how camera and flash are set at the start"},
		{Title: "End", Importance: 6, Note: "and at the end"},
	}}
	odds := l.hasOdds()
	if odds {
		t.Columns = append(t.Columns, Column{Title: "Useful", Align: Right, Importance: 8,
			Note: "how likely the window is to be of use: its share that holds under each sky, by the odds of that sky"})
	}
	for i := range l.Windows {
		w := &l.Windows[i]
		first, last := startEnd(w)
		row := Row{At: w.From, Cells: []Cell{l.windowCell(w), {Text: windows.Altitudes(w), Below: []string{windows.From(w)}},
			methodOf(w), settingCell(first), settingCell(last)}}
		if odds {
			row.Cells = append(row.Cells, l.usefulCell(w))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// hasOdds reports whether more skies than one are counted with.
func (l *Scheduled) hasOdds() bool {
	for i := range l.Windows {
		if len(l.Windows[i].Skies) > 0 {
			return true
		}
	}
	return false
}

// usefulCell is how likely a window is to be of use.
func (l *Scheduled) usefulCell(w *season.Window) Cell {
	c := Cell{Text: words.Percent(w.Useful)}
	if windows.Unforecast(w, &l.Question) {
		c.Below = []string{"no", "forecast"}
	}
	return c
}

// windowCell is when a window is.
func (l *Scheduled) windowCell(w *season.Window) Cell {
	day := w.From.Format("Mon 2 Jan")
	if l.Question.Wishes.Dates.First.Year != l.Question.Wishes.Dates.Last.Year {
		day = w.From.Format("Mon 2 Jan 2006")
	}
	return Cell{Text: day, Below: []string{windows.Hours(w), words.Length(w.To.Sub(w.From))}}
}

// methodOf is a window's way of working, with the least headroom, and what is tight
// about that.
func methodOf(w *season.Window) Cell {
	c := Cell{Text: w.Method.String()}
	least, flashes := leastHeadroom(w)
	switch {
	case !flashes:
		c.Below = []string{"no flash"}
	case least < atFull:
		c.Tone, c.Below = Warn, []string{words.OffsetStops(least), "full power"}
	case least < plan.Comfortable:
		c.Tone = Warn
		c.Below = []string{words.OffsetStops(least), "under " + words.UpTo(float64(plan.Comfortable), 1)}
	default:
		c.Below = []string{words.OffsetStops(least)}
	}
	if windows.Softens(w) {
		c.Tone, c.Below = Warn, append(c.Below, "softer")
	}
	return c
}

// atFull is the headroom below which a flash is said to work at full power, less than
// is written.
const atFull sky.Stops = 0.05

// runsOf are the runs of a window's method.
func runsOf(w *season.Window) []*plan.Run { return w.Plan.RunsOf(w.Plan.Index(w.Method)) }

// leastHeadroom is that of a window's method, and whether there is any flash.
func leastHeadroom(w *season.Window) (least sky.Stops, flashes bool) {
	for _, r := range runsOf(w) {
		if r.Flashes && (!flashes || r.LeastHeadroom < least) {
			least, flashes = r.LeastHeadroom, true
		}
	}
	return least, flashes
}

// startEnd are the minutes at which a window begins and ends, with the sun out
// where it comes and goes.
func startEnd(w *season.Window) (first, last *plan.Minute) {
	r := runsOf(w)[0]
	return &r.Minutes[0], &r.Minutes[len(r.Minutes)-1]
}

// settingCell is how camera and flash are set at a minute.
func settingCell(m *plan.Minute) Cell {
	set := &m.Settings
	c := Cell{Text: set.Aperture.String() + " " + set.Shutter.String(), Below: []string{"ISO " + set.ISO.String()}}
	if set.ND > 0 {
		c.Below = append(c.Below, words.Filter(set.ND))
	}
	c.Below = append(c.Below, words.Flash(&m.Solution))
	return c
}

// nothing says what is in the way where nothing fits, and what to ask instead.
func (l *Scheduled) nothing() []Block {
	q := &l.Question
	var inTheWay, instead Facts
	for i := range l.Obstacles {
		o := &l.Obstacles[i]
		if windows.NoDay(q) && o.Wish != season.Day {
			continue
		}
		if o.Without > 0 || o.Excludes > 0 || o.Wish == season.Length {
			inTheWay = append(inTheWay, Fact{Label: words.Sentence(windows.Wish(o.Wish, q)), Text: windows.Obstacle(o, q)})
		}
		if ask := windows.Instead(o, q); ask != "" {
			instead = append(instead, Fact{Label: ask, Text: windows.Finds(o, q)})
		}
	}
	list := []Block{Facts{l.asked()}}
	if len(instead) > 0 {
		list = append(list, Heading{Text: "Any one of these finds a window"}, instead)
	}
	if len(inTheWay) > 0 {
		list = append(list, Heading{Text: "What is in the way"}, inTheWay)
	}
	return list
}

// why has the reasons of every window.
func (l *Scheduled) why() []Block {
	var list []Block
	for i := range l.Windows {
		w := &l.Windows[i]
		list = append(list,
			Heading{Text: strconv.Itoa(i+1) + ". " + words.Date(w.From) + ", " + windows.Times(w) + ", " + w.Method.String()},
			List{Items: windows.Why(w, &l.Question)})
	}
	return list
}

// placeName says where a shoot is.
func placeName(s *shoot.Shoot) string {
	if s.Place.Name != "" {
		return s.Place.Name
	}
	return words.Coordinates(s.Place.Site.Latitude, s.Place.Site.Longitude)
}

// worse is the run with the fewer minutes held.
func worse(runs []*plan.Run) *plan.Run {
	least := runs[0]
	for _, r := range runs[1:] {
		if r.Held < least.Held {
			least = r
		}
	}
	return least
}
