package plan

import (
	"math"
	"testing"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Moments asked for come in time order under the names they were asked by, in
// the window or not.
func TestCompareAtMomentsAskedFor(t *testing.T) {
	s := testShoot()
	var asked []shoot.Instant
	for _, text := range []string{"sunset-20m", "12:30", "17:30"} {
		i, err := shoot.ParseInstant(text)
		require.NoError(t, err)
		asked = append(asked, i)
	}
	c, err := Compare(s, asked)
	require.NoError(t, err)
	require.Len(t, c.Moments, 3)
	for i, want := range []struct {
		name    string
		outside bool
	}{{"12:30", true}, {"17:30", false}, {"sunset-20m", false}} {
		m := &c.Moments[i]
		assert.Equal(t, want.name, m.Name)
		assert.Equal(t, want.outside, m.Outside, m.Name)
	}
	assert.Equal(t, "12:30", clock(c.Moments[0].Row.Time))
	sunset, ok := c.Plan.Day.First(sky.Sunset)
	require.True(t, ok)
	assert.WithinDuration(t, sunset.Time.Add(-20*time.Minute), c.Moments[2].Row.Time, time.Millisecond)
}

// In a window over midnight a clock time before its start is that of the next
// morning.
func TestCompareAfterMidnight(t *testing.T) {
	s := testShoot()
	s.When.From, s.When.To = shoot.Instant{Offset: 22 * time.Hour}, shoot.Instant{Offset: 2 * time.Hour}
	c, err := Compare(s, []shoot.Instant{{Offset: time.Hour}})
	require.NoError(t, err)
	assert.False(t, c.Moments[0].Outside)
	assert.Equal(t, "2027-09-19 01:00", c.Moments[0].Row.Time.Format("2006-01-02 15:04"))
}

// All events that the day does not have are told together.
func TestCompareAtEventsThereAreNot(t *testing.T) {
	s := testShoot()
	s.Place.Site.Latitude = sky.Degrees(78)
	s.When.Date = shoot.Date{Year: 2027, Month: time.June, Day: 21}
	s.When.From, s.When.To = shoot.Instant{Offset: 20 * time.Hour}, shoot.Instant{Offset: 23 * time.Hour}
	_, err := Compare(s, []shoot.Instant{{Event: sky.Sunset}, {Offset: 21 * time.Hour}, {Event: sky.CivilDusk}})
	var faults shoot.Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 2)
	assert.Contains(t, faults[0].What, "sunset")
	assert.Contains(t, faults[1].What, "civil dusk")
}

// What an entry adds, by hand: an 85 mm lens 2.5 m away has a magnification of
// f / (s - f), and spreads a far point to f/N times that; frames are those of
// a set at full power over the power.
func TestEntry(t *testing.T) {
	s := testShoot()
	s.Frame = 24
	s.Subject.CameraDistance = 2.5
	s.Subject.Background.Distance = math.Inf(1)
	s.Scrim.Height, s.Scrim.Distance = 0, 1.2
	s.Flash.Unit.FlashesASet = 150
	c, err := Compare(s, nil)
	require.NoError(t, err)
	m := &c.Moments[0]
	for i := range m.Entries {
		e, r := &m.Entries[i], &m.Row.Methods[i]
		n := r.Settings.Aperture.FNumber()
		blur := 85 / n * 0.085 / (2.5 - 0.085) / 24
		assert.InDelta(t, blur, e.Blur, 1e-9, "%s", r.Method)
		hyperfocal := 0.085*0.085/(n*24/800/1000) + 0.085
		near := 2.5 * (hyperfocal - 0.085) / (hyperfocal + 2.5 - 2*0.085)
		assert.InDelta(t, near, e.Near, 1e-9, "%s", r.Method)
		assert.Greater(t, e.Far, 2.5)
		if r.Role != None {
			assert.InDelta(t, 150/r.Power.Fraction(), e.FramesASet, 1e-9, "%s", r.Method)
		}
		if r.Method == shoot.Sync {
			assert.Zero(t, e.Rise)
		}
		require.Equal(t, r.Method.UsesScrim(), e.Scrim != nil, "%s", r.Method)
		if e.Scrim == nil {
			continue
		}
		// An aimed panel stands square to the sun, in its direction.
		assert.InDelta(t, 90-m.Row.Sun.Altitude.Degrees(), e.Scrim.Tilt.Degrees(), 1e-6)
		assert.InDelta(t, 0, (e.Scrim.Azimuth - m.Row.Sun.Azimuth).Degrees(), 1e-9)
		assert.True(t, e.Scrim.Coverage.Whole)
		assert.Positive(t, e.Scrim.Holds)
		assert.Positive(t, float64(e.Rise), "under a scrim the background comes out lighter")
		t.Logf("%s: holds %.0f min, rise %+.1f stops", r.Method, e.Scrim.Holds, e.Rise)
	}
}

// The panel's limits and the wind: a force's push is that of its highest
// speed, and it grows with the square of the speed.
func TestPanel(t *testing.T) {
	s := testShoot()
	c, err := Compare(s, nil)
	require.NoError(t, err)
	require.NotNil(t, c.Panel)
	require.Len(t, c.Panel.Wind, 13)
	for _, l := range c.Panel.Wind {
		assert.Equal(t, l.Force, l.High.Beaufort(), "%v", l.Force)
		if l.Force < 12 {
			// 1/2 rho v^2 Cd A at 1.225 kg/m3 and Cd 1.2.
			v := float64(l.High)
			assert.InEpsilon(t, 1.225/2*v*v*1.2*s.Scrim.Width*s.Scrim.Length, float64(l.Push), 1e-9, "%v", l.Force)
			assert.InEpsilon(t, scene.GustFactor*scene.GustFactor, float64(l.Gust/l.Push), 1e-9, "%v", l.Force)
		}
	}
	s.Scrim = nil
	c, err = Compare(s, nil)
	require.NoError(t, err)
	assert.Nil(t, c.Panel)
}

// Cures that name a method that stands beside are left out; others stay.
func TestCuresBesideOtherMethods(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.HSS, shoot.Sync}
	s.Flash.Distance = 4
	c, err := Compare(s, nil)
	require.NoError(t, err)
	m := &c.Moments[0].Row.Methods[0]
	require.False(t, m.Feasible)
	assert.NotContains(t, m.Cures, otherMethod(shoot.Sync))
	assert.NotEmpty(t, m.Cures)
}

// A verdict on methods none of which works says which comes nearest, and one
// that holds only for a part says so.
func TestVerdictsOnMethodsThatFail(t *testing.T) {
	s := testShoot()
	s.Scrim, s.Filters = nil, nil
	s.Methods = []shoot.Method{shoot.Scrim, shoot.ND}
	c, err := Compare(s, nil)
	require.NoError(t, err)
	t.Log(c.Verdict.Text)
	assert.Zero(t, c.Verdict.Held)
	assert.Contains(t, c.Verdict.Text, "No method holds the look at any time")
	assert.Contains(t, c.Moments[0].Verdict.Text, "No method holds the look")

	s.Methods = []shoot.Method{shoot.HSS}
	s.Flash.Distance = 2.5
	c, err = Compare(s, nil)
	require.NoError(t, err)
	t.Log(c.Verdict.Text)
	require.Greater(t, c.Verdict.Held, 0.)
	require.Less(t, c.Verdict.Held, 1.)
	assert.Contains(t, c.Verdict.Text, "No method holds the look throughout")
}

// A filter is there to keep the wanted aperture: the cues put it on from the
// start, and the aperture stays where it is wanted.
func TestCuesKeepTheFilterOn(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.ND}
	c, err := MakeCues(s)
	require.NoError(t, err)
	run := &c.Runs[0]
	assert.Positive(t, run.Cues[0].Set.Settings.ND)
	changes := 0
	for i := range run.Rows {
		m := &run.Rows[i].Methods[0]
		if m.Feasible {
			assert.Equal(t, s.Lens.Wanted, m.Settings.Aperture, "%s", clock(run.Rows[i].Time))
		}
		if i > 0 && m.Settings.ND != run.Rows[i-1].Methods[0].Settings.ND {
			changes++
		}
	}
	assert.LessOrEqual(t, changes, len(s.Filters), "each filter goes on or off once at the most")
}

// A gel stays on a flash that is off, and is no cue.
func TestCuesOfAGelThatFollowsTheLight(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Sync}
	s.Gels = []flash.Gel{{Name: "quarter", Loss: 0.3, Shift: 42}, {Name: "half", Loss: 0.5, Shift: 81}, {Name: "half blue", Loss: 1, Shift: -68}}
	s.Wish = flash.ColourWish{Kind: flash.MatchLight}
	c, err := MakeCues(s)
	require.NoError(t, err)
	on, seen := gelText(c.Runs[0].Cues[0].Set.Gel.Name), 0
	for _, cue := range c.Runs[0].Cues {
		for _, ch := range cue.Changes {
			if ch.Control == GelControl {
				assert.NotEqual(t, None, cue.Set.Role)
				assert.Equal(t, on, ch.From, "%s", clock(cue.Time))
				on = ch.To
				seen++
			}
		}
		if cue.Set.Role != None {
			assert.Equal(t, gelText(cue.Set.Gel.Name), on)
		}
	}
	assert.Positive(t, seen)
}

// Cues are out of reach when at some minute no method holds the look, whatever
// one of them alone does.
func TestCuesOutOfReach(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.Sync, shoot.HSS}
	s.Flash.Distance = 2.5
	c, err := MakeCues(s)
	require.NoError(t, err)
	assert.False(t, c.OutOfReach())
	assert.True(t, c.Only(shoot.HSS).OutOfReach())
	assert.Len(t, c.Only(shoot.HSS).Runs, 1)
	assert.Len(t, c.Runs, 2, "the others stay")

	s.Sky[0].Condition = sky.Described(sky.Broken)
	c, err = MakeCues(s)
	require.NoError(t, err)
	require.Len(t, c.Only(shoot.HSS).Runs, 2, "the sun out and in")
}
