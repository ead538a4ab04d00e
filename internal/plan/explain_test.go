package plan

import (
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// told returns the value of the last step that begins with a title, in the
// section of a name.
func told(t *testing.T, list []Section, section, title string) float64 {
	t.Helper()
	for _, s := range list {
		if s.Title != section {
			continue
		}
		for i := len(s.Steps) - 1; i >= 0; i-- {
			if len(s.Steps[i].Title) >= len(title) && s.Steps[i].Title[:len(title)] == title {
				return s.Steps[i].Value
			}
		}
	}
	require.Fail(t, "no such step", "%s: %s", section, title)
	return 0
}

// agrees wants a told value to be the one answered, to 1e-12.
func agrees(t *testing.T, want, got float64, where ...any) {
	t.Helper()
	require.InDelta(t, want, got, 1e-12*max(1, want, -want), where...)
}

// checkExplained holds an explanation against what At and Solve answer.
func checkExplained(t *testing.T, s *shoot.Shoot, e *Explanation, m shoot.Method) {
	t.Helper()
	r := &e.Row
	light := sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon).At(r.Condition, r.Case, r.Sun,
		sky.View{Facing: r.Facing, Backdrop: s.Subject.SkyAltitude})
	require.Equal(t, light, r.Light)
	want := NewSolver(s).Solve(m, r.Moment())
	cures := e.Solution.Cures
	got := e.Solution
	got.Cures = nil
	require.Equal(t, want, got)
	require.True(t, want.Feasible || want.Problem != nil)
	if want.Feasible {
		require.Empty(t, cures)
	}
	where := []any{"%s %s %v", m, r.Condition, r.Time}

	const values = "Exposure values and bands"
	for title, lux := range map[string]sky.Lux{"Lit": light.Lit, "Shade": light.Shade, "Face": light.Face, "Level": light.Level} {
		for _, sec := range e.Light {
			if sec.Title == values {
				found := false
				for _, step := range sec.Steps {
					if step.Title == title {
						require.Equal(t, float64(exposure.Incident(lux)), step.Value, where...)
						found = true
					}
				}
				require.True(t, found, title)
			}
		}
	}
	agrees(t, float64(light.Lit/light.Shade), told(t, e.Light, values, "Ambient ratio"), where...)
	agrees(t, float64(exposure.Reflected(light.Backdrop)), told(t, e.Light, "Sky behind the subject", "The sky behind the subject"), where...)

	if want.ScrimUp {
		const under = "Under the scrim"
		agrees(t, float64(want.Ambient.Lit), told(t, e.Method, under, "Under the scrim, lit"), where...)
		agrees(t, float64(want.Ambient.Shade), told(t, e.Method, under, "Under the scrim, shade"), where...)
		agrees(t, float64(want.Ambient.Face), told(t, e.Method, under, "Under the scrim, face"), where...)
	}
	agrees(t, float64(want.Gel.Shift), told(t, e.Method, "Gel", "Shift of the gel"), where...)
	const settings, out = "Settings", "What comes out"
	agrees(t, want.Settings.Aperture.FNumber(), told(t, e.Method, settings, "Aperture"), where...)
	agrees(t, want.Settings.Shutter.Seconds(), told(t, e.Method, settings, "Shutter"), where...)
	agrees(t, want.Settings.ISO.Speed(), told(t, e.Method, settings, "ISO"), where...)
	agrees(t, float64(want.Settings.EV()), told(t, e.Method, settings, "Exposed normally"), where...)
	agrees(t, float64(want.Settings.Need()), told(t, e.Method, settings, "Light for a normal exposure"), where...)
	agrees(t, float64(want.Exposure), told(t, e.Method, out, "Exposure against normal"), where...)
	agrees(t, want.Ratio, told(t, e.Method, out, "Lighting ratio"), where...)
	agrees(t, float64(want.Background), told(t, e.Method, out, "Background against normal"), where...)
	agrees(t, float64(want.LitSide), told(t, e.Method, out, "Ambient light on the lit side against normal"), where...)
	agrees(t, float64(want.Face), told(t, e.Method, out, "Face against normal"), where...)
	if want.Role != None {
		agrees(t, want.Power.Fraction(), told(t, e.Method, "Flash", "Power set"), where...)
		agrees(t, float64(want.Added), told(t, e.Method, "Flash", "Flash in the frame"), where...)
		agrees(t, float64(want.Headroom), told(t, e.Method, "Flash", "Headroom"), where...)
		agrees(t, want.Recycle, told(t, e.Method, out, "Recycling"), where...)
	}
	if rim := want.RimFlash; rim != nil && (want.Problem == nil || want.Problem.Kind != RimTooWeak || want.Problem.Misses > 0) && rim.Added > 0 {
		agrees(t, rim.Power.Fraction(), told(t, e.Method, "Rim flash", "Power set"), where...)
		agrees(t, float64(rim.Added), told(t, e.Method, "Rim flash", "Rim flash in the frame"), where...)
		agrees(t, float64(rim.Headroom), told(t, e.Method, "Rim flash", "Headroom"), where...)
		agrees(t, float64(rim.Over), told(t, e.Method, "Rim flash", "Rim over"), where...)
	}
}

// What is told is what At and Solve answer: for every condition, look, method
// and several suns down to night, feasible or not.
func TestExplanationGivesTheAnswer(t *testing.T) {
	conditions := []sky.Condition{sky.Oktas(0), sky.Oktas(3), sky.Oktas(6), sky.Oktas(8), sky.WithTurbidity(1), sky.WithTurbidity(5)}
	for _, w := range sky.Words {
		conditions = append(conditions, sky.Described(w))
	}
	looks := []shoot.Look{{Kind: shoot.Ratio, Ratio: 3}, {Kind: shoot.Ratio, Ratio: 1.5, Bias: -0.5}, {Kind: shoot.DarkSky, Dark: 1.5}}
	kinds, feasible, infeasible, cured := map[ProblemKind]int{}, 0, 0, 0
	for n, c := range conditions {
		for k, look := range looks {
			s := testShoot()
			s.Sky = []shoot.SkySpan{{Condition: c}}
			s.Look = look
			s.When.Step = 30 * time.Minute
			switch (n + k + 1) % 4 {
			case 1:
				s.Scrim = nil
				s.Subject.Facing = scene.Facing{Side: scene.FrontLit}
				s.Look.Dark = -1
			case 2:
				s.Rim = &shoot.Rim{Head: s.Flash, Over: 0.5}
				s.Wish, s.Gels = flash.ColourWish{Kind: flash.WarmerThanLight, Warmer: 30}, []flash.Gel{{Name: "a", Loss: 0.5, Shift: 81}, {Name: "b", Loss: 1, Shift: 159}}
				s.Subject.Background = scene.Background{Kind: scene.Shaded, Reflectance: 0.2}
			case 3:
				s.Filters = nil
				s.Scrim = &scene.Scrim{Width: 1.2, Length: 1.8, Loss: 1.5, Height: 0.7, Reach: 0.5}
				s.Place.Horizon = sky.Horizon{{Azimuth: 0, Altitude: sky.Degrees(1)}, {Azimuth: 4.4, Altitude: sky.Degrees(3)}}
			}
			for _, hour := range []float64{12, 17.4, 18.05, 18.3, 18.6, 23} {
				d := s.When.Date
				at := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, s.Place.Zone).Add(time.Duration(hour * float64(time.Hour)))
				for i, m := range shoot.AllMethods {
					if (i+n+k+int(hour))%2 == 0 {
						continue // half of them do, in turn
					}
					list, err := Explain(s, at, m)
					require.NoError(t, err)
					require.Len(t, list, c.Cases())
					for i := range list {
						checkExplained(t, s, &list[i], m)
						if p := list[i].Solution.Problem; p != nil {
							kinds[p.Kind]++
							infeasible++
							cured += len(list[i].Solution.Cures)
						} else {
							feasible++
						}
					}
				}
			}
		}
	}
	assert.Positive(t, feasible)
	assert.Positive(t, cured)
	for _, k := range []ProblemKind{TooWeak, TooBright, TooDark, AmbientOnFace, ShadowMissed, NoScrim, NoFilter} {
		assert.Positive(t, kinds[k], "problem %d is told of", k)
	}
	t.Logf("%d feasible, %d not, %v, %d cures", feasible, infeasible, kinds, cured)
}

func TestTimeOf(t *testing.T) {
	s := testShoot()
	start, err := TimeOf(s, nil)
	require.NoError(t, err)
	p, err := Make(s)
	require.NoError(t, err)
	assert.Equal(t, p.Rows[0].Time, start.In(s.Place.Zone))
	noon, err := TimeOf(s, &shoot.Instant{Offset: 12 * time.Hour})
	require.NoError(t, err)
	assert.Equal(t, "12:00", noon.Format("15:04"))

	s.Place.Site.Latitude = sky.Degrees(70)
	s.When.Date = shoot.Date{Year: 2027, Month: time.June, Day: 21}
	s.When.From, s.When.To = shoot.Instant{Offset: 20 * time.Hour}, shoot.Instant{Offset: 22 * time.Hour}
	_, err = TimeOf(s, &shoot.Instant{Event: sky.Sunset})
	var faults shoot.Faults
	assert.ErrorAs(t, err, &faults)
}
