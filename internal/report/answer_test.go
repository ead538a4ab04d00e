package report_test

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oneLine puts lines that were broken up back together.
func oneLine(lines []string) string {
	return strings.Join(strings.Fields(strings.Join(lines, " ")), " ")
}

// head is the first so many lines.
func head(lines []string, n int) []string { return lines[:min(n, len(lines))] }

// The first screen of a terminal of 24 lines answers, at any width.
func TestTheAnswerIsFirst(t *testing.T) {
	for name, file := range all(t) {
		p := planned(t, file)
		v := p.Verdict()
		r := report.Timeline(p, report.Options{Demonstration: name == "demonstration"})
		for _, width := range []int{60, 80, 120} {
			first := oneLine(head(lines(t, r, text.Options{Width: width}), 24))
			for _, want := range answers(p, &v) {
				assert.Contains(t, first, want, "%s at %d", name, width)
			}
		}
	}
}

// all are the shoots of these tests and those that come with the project.
func all(t testing.TB) map[string]string {
	list := shoots(t)
	for name, file := range examples(t) {
		list[name] = file
	}
	return list
}

// answers are what a photographer asks first, read off the plan.
func answers(p *plan.Plan, v *plan.Verdict) []string {
	runs := p.RunsOf(p.Index(v.Best))
	r := runs[0]
	first := 0
	for first < len(r.Minutes) && !r.Minutes[first].Outcome.Succeeds() {
		first++
	}
	want := []string{"Take " + v.Best.String()}
	if first == len(r.Minutes) {
		first, want[0] = 0, "the nearest is "+v.Best.String()
	}
	m := &r.Minutes[first]
	set := &m.Settings
	at := words.Clock{}.Time(m.Time) + " "
	if r.Split {
		at = words.Clock{}.Time(m.Time) + ", sun out: "
	}
	want = append(want, at+set.Aperture.String()+", "+set.Shutter.String()+", ISO "+set.ISO.String(),
		"Face ", "key side ", "ratio ", "Background ", "Pack ", "Sun ")
	stands := func(power flash.Power, h *flash.Head) {
		want = append(want, power.String(), words.Metres(h.Distance)+" from the sitter, ", h.Unit.Name)
	}
	if m.Role != plan.None && (m.Fill == nil || m.Flash > 0) {
		stands(m.Power, &p.Shoot.Flash)
	}
	if m.Fill != nil && m.Fill.Flash > 0 {
		stands(m.Fill.Power, &p.Shoot.Fill.Head)
	}
	if !p.Day.SunNeverSets && !p.Day.SunNeverRises {
		from, to := p.Window()
		name := sky.Sunset
		if noon, ok := p.Day.First(sky.SolarNoon); ok && from.Add(to.Sub(from)/2).Before(noon.Time.Add(-2*time.Hour)) {
			name = sky.Sunrise
		}
		e, ok := p.Day.First(name)
		if ok {
			want = append(want, string(name)+" "+words.Clock{}.Time(e.Time.In(p.Shoot.Place.Zone)))
		}
	}
	return want
}

func TestTheVerdictOfCompareIsFirst(t *testing.T) {
	for name, file := range all(t) {
		c := compared(t, file)
		r := report.Compare(c, report.Options{Demonstration: true, Full: true, Why: true})
		for _, width := range []int{60, 80, 120} {
			first := oneLine(head(lines(t, r, text.Options{Width: width, Full: true}), 12))
			assert.Contains(t, first, words.Lead(c.Plan, &c.Verdict), "%s at %d", name, width)
		}
	}
}

// Every cue has one line where there is the usual width, its time first, but
// those while the look is missed, which says so in a line with its reason; when
// it is back all is set anew.
func TestCuesTakeALineEach(t *testing.T) {
	stretches := 0
	for name, file := range all(t) {
		p := planned(t, file)
		v := p.Verdict()
		c := report.Cues{Plan: p, Method: v.Best, Chosen: true}
		page := strings.Join(lines(t, c.Report(report.Options{}), text.Options{Width: 100}), "\n")
		r := p.RunsOf(p.Index(v.Best))[0] // under broken cloud that with the sun out
		never := r.Missed == len(r.Minutes)
		clock := words.Clock{}
		back := map[string]bool{}
		if !never {
			for _, f := range r.Failures() {
				stretches++
				assert.Regexp(t, `(?m)^`+clock.Time(f.From)+` +`+words.NotHeld+` Missed`, page, name)
				next := slices.IndexFunc(r.Minutes, func(m plan.Minute) bool { return m.Time.After(f.To) })
				if next >= 0 && r.Minutes[next].Outcome.Succeeds() {
					m := &r.Minutes[next]
					back[clock.Time(m.Time)] = true
					assert.Regexp(t, `(?m)^`+clock.Time(m.Time)+` .*Set `+regexp.QuoteMeta(words.Setting(&m.Solution)), page, name)
				}
			}
		}
		for _, s := range plan.Grouped(r.Cues()) {
			if back[clock.Time(s[0].Time)] || s[0].Set.Outcome == plan.Missed && !never {
				continue
			}
			mark, do := "", words.Cue(&s[0], p.Shoot)
			if len(s) > 1 {
				do = words.Rule(s)
			}
			switch s[0].Set.Outcome {
			case plan.Missed:
				mark = words.NotHeld + " "
			case plan.Softer:
				mark = words.Nearly + " "
			}
			assert.Regexp(t, `(?m)^`+clock.Time(s[0].Time)+` +`+mark+regexp.QuoteMeta(do), page, name)
		}
	}
	assert.Positive(t, stretches)
}

func TestTheDemonstrationIsShort(t *testing.T) {
	p := planned(t, shoots(t)["demonstration"])
	page := lines(t, report.Timeline(p, report.Options{Demonstration: true}), text.Options{Width: 80})
	assert.LessOrEqual(t, len(page), 75)
	// All methods stand side by side there: no listing, nothing hidden.
	assert.NotContains(t, oneLine(page), "Hidden")
	for _, m := range p.Shoot.Methods {
		assert.Regexp(t, `(?m)^(Time|sun|lit EV) .*\b`+regexp.QuoteMeta(m.String())+`\b`, strings.Join(page, "\n"))
	}
}

// Every form of every report keeps within its width, its characters, and
// without rules where it is plain.
func TestReportsKeepTheirForm(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	list, long := all(t), os.Getenv("EVENFALL_LONG") != ""
	if !long {
		list = shoots(t)
		t.Log("EVENFALL_LONG=1 takes the examples along, and all widths")
	}
	for name, file := range list {
		for _, o := range []report.Options{{Demonstration: true}, {Full: true, Why: true}} {
			for kind, r := range reports(t, file, o) {
				forms := []text.Options{{Width: 60}, {}, {Width: 120}, {Plain: true}, {Width: 60, Plain: true, ASCII: true},
					{ASCII: true}, {Colour: true}}
				switch {
				case o.Full:
					forms = []text.Options{{Width: 60}, {Plain: true}, {Width: 120, ASCII: true}}
				case !long:
					forms = []text.Options{{Width: 60}, {Width: 60, Plain: true, ASCII: true}, {Colour: true}}
				}
				for _, form := range forms {
					form.Full = o.Full
					checkForm(t, name+", "+kind, lines(t, r, form), form)
				}
				page := as(t, r, report.Markdown, report.Options{ASCII: true, Full: o.Full})
				require.NotRegexp(t, `[^\x00-\x7f]`, page, name)
			}
		}
	}
}

func checkForm(t *testing.T, name string, page []string, o text.Options) {
	if o.Width == 0 {
		o.Width = text.UsualWidth
	}
	for _, l := range page {
		if o.Colour {
			l = colours.ReplaceAllString(l, "")
		}
		require.LessOrEqual(t, columns(l), o.Width, "%s at %d: %s", name, o.Width, l)
		require.Equal(t, strings.TrimRight(l, " "), l, name)
		require.NotContains(t, l, "\x1b", name)
		if o.ASCII {
			require.NotRegexp(t, `[^\x20-\x7e]`, l, name)
		}
		if o.Plain {
			require.NotRegexp(t, `─|---|[°±×✗]|~ `, l, name)
			require.NotRegexp(t, `^(warning|problem): *$`, l, name)
		}
	}
}

// quaint is what sounds translated or means two things: scrim is the word for
// panel, flashes for units, headroom for spare, works or holds for feasible.
var quaint = regexp.MustCompile(`(?i)\b(foretold|mends?|at the worst|at the most|of the time|taken off|panel|units|` +
	`feasible|brings? \w+ \w+ off|foreseen|cannot do so|not to be had|` +
	`leave everything as it is|cures?|rows held|somewhere)\b|(?-i:\bND \d)`)

// kitNames are those of the library, which may hold such words.
var kitNames = regexp.MustCompile(`\bpanel-[\w-]+`)

var plainWord = regexp.MustCompile(`^[a-z]{2,}$`)

func TestReportsAreInPlainEnglish(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	for name, file := range all(t) {
		for kind, r := range reports(t, file, report.Options{Full: true, Why: true}) {
			page := kitNames.ReplaceAllString(as(t, r, report.Markdown, report.Options{Full: true}), "")
			for _, l := range strings.Split(page, "\n") {
				assert.NotRegexp(t, quaint, l, "%s, %s", name, kind)
				assert.NotRegexp(t, `,,|\(\)|NaN|\bInf\b|%!`, l, "%s, %s", name, kind)
				before := ""
				for _, word := range strings.Fields(l) {
					doubled := word == before && plainWord.MatchString(word)
					assert.False(t, doubled, "%s, %s: %s", name, kind, l)
					before = word
				}
			}
		}
	}
}

// In full nothing that is planned is left out: every setting of every method
// at every step, its misses with all that fixes them, the light with its
// bands and colours, and the day's events.
func TestFullHoldsEverything(t *testing.T) {
	for name, file := range shoots(t) {
		p := planned(t, file)
		page := as(t, report.Timeline(p, report.Options{Full: true}), report.Markdown, report.Options{Full: true})
		page = strings.NewReplacer(`\`, "").Replace(page)
		for i := range p.Rows {
			r := &p.Rows[i]
			colour := r.Light.Colour()
			for _, want := range []string{words.Band(r.Light.LitBand), words.KelvinNumber(colour.Lit),
				words.KelvinNumber(colour.Face)} {
				assert.Contains(t, page, want, name)
			}
			for n := range r.Methods {
				if p.Lacks(n) == 0 {
					assert.Contains(t, page, rowOf(p, r, &r.Methods[n]), name)
				}
			}
		}
		for n := range p.Shoot.Methods {
			for i := range p.Rows {
				if s := &p.Rows[i].Methods[n]; s.Outcome == plan.Missed {
					assert.Contains(t, page, words.Cures(s.Cures, p.Shoot, 0), name)
					break
				}
			}
		}
		for _, e := range p.Day.Events {
			assert.Contains(t, page, words.Clock{}.Time(e.Time.In(p.Shoot.Place.Zone))+" "+string(e.Name), name)
		}
		for _, want := range []string{"guide numbers are not known better", "8 of 10 measured values", "Cautions"} {
			assert.Contains(t, page, want, name)
		}
	}
}

// rowOf is how a method's table begins a row, in Markdown.
func rowOf(p *plan.Plan, r *plan.Row, s *plan.Solution) string {
	set := &s.Settings
	nd := "none"
	if set.ND > 0 {
		nd = words.UpTo(float64(set.ND), 1)
	}
	cells := []string{words.Clock{}.Time(r.Time)}
	for i := range p.Rows {
		if p.Rows[i].Condition.Cases() > 1 {
			cells = append(cells, map[sky.Case]string{sky.SunOut: "sun out", sky.SunIn: "sun in"}[r.Case])
			break
		}
	}
	headroom := words.Unknown
	if s.Role != plan.None {
		headroom = words.Offset(s.Headroom)
	}
	cells = append(cells, set.Aperture.String(), set.Shutter.String(), set.ISO.String(), nd, words.Flash(s), headroom,
		words.Ratio(s.Ratio))
	return strings.Join(cells, " | ")
}

// Markdown has the same words as the terminal's page, each table with all its
// columns.
func TestMarkdownHasTheSameTables(t *testing.T) {
	for name, file := range shoots(t) {
		for kind, r := range reports(t, file, report.Options{}) {
			page := as(t, r, report.Markdown, report.Options{})
			at := 0
			for _, b := range r.Document.Blocks {
				tab, ok := b.(*report.Table)
				if !ok {
					continue
				}
				for i := range tab.Columns {
					assert.Contains(t, page[at:], tab.Columns[i].Title, "%s, %s", name, kind)
				}
				for i := range tab.Rows {
					require.LessOrEqual(t, len(tab.Rows[i].Cells), len(tab.Columns), "%s, %s", name, kind)
				}
				at += strings.Index(page[at:], "\n| ")
			}
		}
	}
}

// A name is no markup, and does not reach a terminal as it is.
func TestNamesAreSafeInEveryReport(t *testing.T) {
	s := resolved(t, shoots(t)["broken cloud"])
	s.Name = "<b>*A|b*\x1b[31m\u202e"
	for kind, r := range workOut(t, s).reports(report.Options{}) {
		assert.Contains(t, as(t, r, report.Markdown, report.Options{}), `# \<b\>\*A\|b\*\\u001b\[31m\\u202e`, kind)
		for _, page := range []string{as(t, r, report.Markdown, report.Options{}), as(t, r, report.CSV, report.Options{}),
			as(t, r, report.JSON, report.Options{}), strings.Join(lines(t, r, text.Options{}), "\n")} {
			assert.NotContains(t, page, "\x1b", kind)
			assert.NotContains(t, page, "\u202e", kind)
		}
	}
}

// Under a sky with two cases nothing counts a minute twice.
func TestBrokenCloudCountsMinutesOnce(t *testing.T) {
	for kind, r := range reports(t, shoots(t)["broken cloud"], report.Options{Full: true, Why: true}) {
		page := strings.Join(lines(t, r, text.Options{Width: 120}), "\n")
		assert.NotContains(t, page, "of 182", kind)
		assert.Contains(t, strings.ToLower(page), "sun in", kind)
		assert.Contains(t, page, "sun out", kind)
	}
}

// colours are the terminal's sequences for them (ECMA-48, 8.3.117).
var colours = regexp.MustCompile("\x1b\\[[0-9;]*m")
