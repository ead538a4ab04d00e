package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// printedStep is a step as it is read off a page.
type printedStep struct{ number, title, value, unit, numbers string }

var (
	firstLine  = regexp.MustCompile(`^ {0,2}(\d+)  (.+)$`)
	leaders    = regexp.MustCompile(`^(.*?) [·.]+ (~ )?(\S+)(?: (.*))?$`)
	wrappedEnd = regexp.MustCompile(`^ {6,}(~ )?(-?[0-9.]+)(?: (.*))?$`)
)

// readSteps reads the steps off a printed page.
func readSteps(page string) []printedStep {
	var list []printedStep
	inNumbers := false
	for _, l := range strings.Split(page, "\n") {
		if m := firstLine.FindStringSubmatch(l); m != nil {
			s := printedStep{number: m[1], title: m[2]}
			if v := leaders.FindStringSubmatch(m[2]); v != nil {
				s.title, s.value, s.unit = v[1], v[3], v[4]
			}
			list = append(list, s)
			inNumbers = false
			continue
		}
		if len(list) == 0 {
			continue
		}
		s := &list[len(list)-1]
		switch {
		case strings.HasPrefix(l, "     = "):
			s.numbers, inNumbers = l[7:], true
		case inNumbers && strings.HasPrefix(l, "       "):
			s.numbers += " " + l[7:]
		default:
			inNumbers = false
			if v := wrappedEnd.FindStringSubmatch(l); v != nil && s.value == "" {
				s.value, s.unit = v[2], v[3]
			}
		}
	}
	return list
}

// explainedAt explains a shoot at a clock time of its day.
func explainedAt(t *testing.T, s *shoot.Shoot, at time.Time, methods ...shoot.Method) *Explained {
	t.Helper()
	e := &Explained{Shoot: s}
	for _, m := range methods {
		cases, err := plan.Explain(s, at, m)
		require.NoError(t, err)
		e.Methods = append(e.Methods, cases)
	}
	return e
}

func pageOf(t *testing.T, e *Explained, o Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Explain(&b, e, Text, o))
	return b.String()
}

// explainable is the sample's shoot with a window that can be placed.
func explainable(t *testing.T) *shoot.Shoot {
	s := sampleShoot(t)
	s.When.From = shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour}
	s.When.To = shoot.Instant{Event: sky.Sunset, Offset: 30 * time.Minute}
	return s
}

// calculated checks every line of numbers on the page against the value
// printed above it: within 0.2 %, or 0.01 where the unit is a stop.
func calculated(t *testing.T, page string) (steps, lines int) {
	t.Helper()
	list := readSteps(page)
	worst, where := 0.0, ""
	for i, s := range list {
		require.Equal(t, strconv.Itoa(i+1), s.number, "steps are counted")
		require.NotEmpty(t, s.value, "%s %s", s.number, s.title)
		if s.numbers == "" {
			continue
		}
		lines++
		printed, err := strconv.ParseFloat(s.value, 64)
		require.NoError(t, err, "%s %s", s.number, s.title)
		got, _, err := calculate(s.numbers)
		require.NoError(t, err, "%s %s: %s", s.number, s.title, s.numbers)
		if s.unit == "EV100" || s.unit == "stops" {
			assert.InDelta(t, printed, got, 0.01, "%s %s = %s", s.number, s.title, s.numbers)
			continue
		}
		assert.InDelta(t, printed, got, 0.002*math.Abs(printed)+1e-12, "%s %s = %s", s.number, s.title, s.numbers)
		if off := math.Abs(got/printed - 1); printed != 0 && off > worst {
			worst, where = off, s.title
		}
	}
	t.Logf("%d steps, %d with numbers; the farthest off by %.4f %%: %s", len(list), lines, 100*worst, where)
	return len(list), lines
}

// Whoever follows the printed lines with a calculator comes to the printed
// results.
func TestExplanationByCalculator(t *testing.T) {
	clock := func(s *shoot.Shoot, hour, minute int) time.Time {
		d := s.When.Date
		return time.Date(d.Year, d.Month, d.Day, hour, minute, 0, 0, s.Place.Zone)
	}
	fill := explainable(t)
	fill.Place.Horizon = sky.Horizon{{Azimuth: sky.Degrees(180), Altitude: sky.Degrees(2)}, {Azimuth: sky.Degrees(300), Altitude: sky.Degrees(1)}}

	dark := explainable(t)
	dark.Look = shoot.Look{Kind: shoot.DarkSky, Dark: 1, Bias: -0.3}
	dark.Subject.Facing.Side = scene.LeftLit
	dark.Flash.Distance = 1
	dark.Flash.Units = 2
	dark.Scrim = &scene.Scrim{Name: "panel", Width: 1.8, Length: 2.4, Loss: 1.5, Distance: 1}

	grey := explainable(t)
	grey.Sky = []shoot.SkySpan{{Condition: sky.Described(sky.Overcast)}}

	for name, one := range map[string]struct {
		shoot  *shoot.Shoot
		at     time.Time
		method shoot.Method
		role   plan.Role
		minima int
	}{
		"fill in a low clear sun, high-speed sync": {fill, clock(fill, 18, 45), shoot.HSS, plan.Fill, 80},
		"dark sky under a scrim":                   {dark, clock(dark, 19, 0), shoot.ScrimHSS, plan.Key, 90},
		"key under an overcast sky":                {grey, clock(grey, 17, 45), shoot.Sync, plan.Key, 60},
	} {
		t.Run(name, func(t *testing.T) {
			e := explainedAt(t, one.shoot, one.at, one.method)
			s := &e.Methods[0][0].Solution
			require.True(t, s.Feasible, "%v", s.Problem)
			require.Equal(t, one.role, s.Role)
			require.Equal(t, one.method.UsesScrim(), s.ScrimUp)
			for _, o := range []Options{{Width: 80}, {Width: 120}, {Width: 80, ASCII: true}} {
				_, lines := calculated(t, pageOf(t, e, o))
				assert.GreaterOrEqual(t, lines, one.minima)
			}
		})
	}
}

// The same for all skies, suns, looks and methods, feasible or not, with no
// more off than the rounding of the printed figures explains.
func TestExplanationsByCalculator(t *testing.T) {
	conditions := []sky.Condition{sky.Oktas(1), sky.Oktas(4), sky.Oktas(7.5), sky.WithTurbidity(2), sky.WithTurbidity(6)}
	for _, w := range sky.Words {
		conditions = append(conditions, sky.Described(w))
	}
	looks := []shoot.Look{{Kind: shoot.Ratio, Ratio: 3}, {Kind: shoot.DarkSky, Dark: 1.5, Bias: 0.3}}
	scrims := []*scene.Scrim{
		{Name: "overhead", Width: 1.2, Length: 1.8, Loss: 1.5, Height: 0.7, Tilt: sky.Degrees(20), Reach: 0.5},
		{Name: "aimed", Width: 1.8, Length: 2.4, Loss: 1, Distance: 1},
	}
	roles, infeasible, checked := map[plan.Role]int{}, 0, 0
	n := 0
	for _, c := range conditions {
		for _, look := range looks {
			for _, minutes := range []int{13 * 60, 17*60 + 10, 18*60 + 50, 19*60 + 20, 19*60 + 32, 19*60 + 55, 20*60 + 50, 23 * 60} {
				s := explainable(t)
				s.Sky = []shoot.SkySpan{{Condition: c}}
				s.Look = look
				s.Scrim = scrims[n%2]
				if n%3 == 1 { // high, in the south, another flash
					s.Place.Site = sky.Place{Latitude: sky.Degrees(-37), Longitude: sky.Degrees(-1.88), Elevation: 2300}
					s.Wish, s.Gels = flash.ColourWish{Kind: flash.MatchLight}, []flash.Gel{{Name: "half CTO", Loss: 0.5, Shift: 81}}
					s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(250)}
					s.Subject.Background = scene.Background{Kind: scene.Sunlit, Reflectance: 0.3}
					unit := *s.Flash.Unit
					unit.Losses = []flash.SpeedLoss{{Shutter: 50, Loss: 2.4}, {Shutter: 66, Loss: 5}}
					s.Flash.Unit = &unit
					s.Rim = &shoot.Rim{Head: s.Flash, Over: 0.5}
				}
				m := shoot.AllMethods[n%len(shoot.AllMethods)]
				n++
				at := time.Date(2026, time.September, 12, 0, minutes, 7, 0, s.Place.Zone)
				cases, err := plan.Explain(s, at, m)
				require.NoError(t, err)
				require.Len(t, cases, c.Cases())
				for i := range cases {
					e := &cases[i]
					roles[e.Solution.Role]++
					if !e.Solution.Feasible {
						infeasible++
					}
					for _, section := range append(e.Light, e.Method...) {
						for _, step := range section.Steps {
							where := fmt.Sprintf("%s, %s, %s, %s: %s = %s", c, look.Kind, m, at.Format("15:04"), step.Title, step.Numbers)
							require.NotEmpty(t, step.Title)
							require.NotEmpty(t, step.Formula, where)
							require.False(t, math.IsNaN(step.Value), where)
							if step.Numbers == "" || math.IsInf(step.Value, 0) {
								continue
							}
							got, rounding, err := calculate(step.Numbers)
							require.NoError(t, err, where)
							require.InDelta(t, step.Value, got, 2*rounding+1e-5*math.Abs(step.Value)+1e-9, where)
							checked++
						}
					}
				}
			}
		}
	}
	assert.Positive(t, infeasible)
	for _, r := range []plan.Role{plan.None, plan.Fill, plan.Key} {
		assert.Positive(t, roles[r], r.String())
	}
	t.Logf("%d lines of numbers; %v, %d infeasible", checked, roles, infeasible)
}

// A page holds its width, has each step once and says what the answer is.
func TestExplanationPage(t *testing.T) {
	s := explainable(t)
	s.Sky = []shoot.SkySpan{{Condition: sky.Described(sky.Broken)}}
	at := time.Date(2026, time.September, 12, 18, 0, 0, 0, s.Place.Zone)
	e := explainedAt(t, s, at, shoot.HSS, shoot.Scrim)
	for _, o := range []Options{{Width: 60}, {Width: 80}, {Width: 120}, {Width: 80, ASCII: true}} {
		page := pageOf(t, e, o)
		for _, l := range strings.Split(page, "\n") {
			require.LessOrEqual(t, cells(l), o.Width, l)
			if o.ASCII {
				require.Equal(t, -1, strings.IndexFunc(l, func(r rune) bool { return r > 0x7f }), l)
				require.NotContains(t, l, "?", l)
			}
		}
		assert.Equal(t, 1, strings.Count(page, " With the sun out "))
		assert.Equal(t, 1, strings.Count(page, " With the sun in "))
		assert.Contains(t, page, "hss: high-speed sync")
	}
	assert.Contains(t, pageOf(t, e, Options{Width: 80, Color: true}), "\x1b[1m")

	var b bytes.Buffer
	require.NoError(t, Explain(&b, e, JSON, Options{}))
	var document explanation
	require.NoError(t, json.Unmarshal(b.Bytes(), &document))
	assert.Equal(t, "evenfall/explain/1", document.Schema)
	require.Len(t, document.Skies, 2)
	require.Len(t, document.Skies[1].Methods, 2)
	assert.Equal(t, "hss", document.Skies[0].Methods[0].Method)

	steps := len(readSteps(pageOf(t, e, Options{Width: 80})))
	b.Reset()
	require.NoError(t, Explain(&b, e, CSV, Options{}))
	records, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Len(t, records, steps+1)

	b.Reset()
	require.NoError(t, Explain(&b, e, Markdown, Options{}))
	assert.Equal(t, steps, strings.Count(b.String(), "\n|")-2*strings.Count(b.String(), "| with numbers"))
	assert.Error(t, Explain(&b, e, Format(9), Options{}))
}
