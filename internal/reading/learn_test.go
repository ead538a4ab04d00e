package reading

import (
	"math"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// at is a shoot of an autumn afternoon at 54 N under a sky: the sun is 31 deg
// high at 15:00, 12 at 18:00, and sets at 19:25.
func under(c sky.Condition) *shoot.Shoot {
	zone := time.FixedZone("", 2*3600)
	return &shoot.Shoot{
		Place: shoot.Place{Site: sky.Place{Latitude: sky.Degrees(54.3), Longitude: sky.Degrees(10.1)}, Zone: zone,
			Ground: 0.2},
		When: shoot.When{Date: shoot.Date{Year: 2027, Month: 9, Day: 18}, Step: 15 * time.Minute,
			From: shoot.Instant{Offset: 15 * time.Hour}, To: shoot.Instant{Offset: 20 * time.Hour}},
		Sky:     []shoot.SkySpan{{Condition: c}},
		Subject: shoot.Subject{Facing: scene.Facing{Side: scene.Backlit}},
	}
}

func on(s *shoot.Shoot, clock string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", "2027-09-18 "+clock, s.Place.Zone)
	if err != nil {
		panic(err)
	}
	return t
}

// lights returns all planes of a shoot at a time, by what it has learned.
func lights(s *shoot.Shoot, t time.Time, k sky.Case) sky.Light {
	n := newSession(s)
	g := n.at(t)
	c := s.ConditionAt(t, n.day)
	return g.light(c, k, s.CorrectionAt(t, c, k))
}

// off is a reading that lies so many stops off the plan.
func off(s *shoot.Shoot, clock string, p Plane, k sky.Case, by sky.Stops) Reading {
	t := on(s, clock)
	plain := *s
	plain.Learned = nil
	l := lights(&plain, t, k)
	return Reading{Time: t, Plane: p, Light: p.on(&l) * sky.Lux(by.Factor())}
}

// learn has the shoot learn readings.
func learn(t *testing.T, s *shoot.Shoot, list ...Reading) []Weighed {
	t.Helper()
	weighed, learned, err := Learn(s, list, UsualError)
	require.NoError(t, err)
	s.Learned = learned
	return weighed
}

// conditions are skies of all kinds.
func conditions() []sky.Condition {
	list := []sky.Condition{sky.Oktas(0), sky.Oktas(4), sky.Oktas(8), sky.WithTurbidity(2.8), sky.WithTurbidity(1),
		sky.WithTurbidity(8)}
	for _, w := range sky.Words {
		list = append(list, sky.Described(w))
	}
	return list
}

var times = []string{"15:00", "16:30", "18:00", "18:45", "19:15", "19:40", "20:00"}

// A reading of what the plan has changes no light, and narrows the bands.
func TestReadingThePlanChangesNothing(t *testing.T) {
	for _, c := range conditions() {
		for _, clock := range times {
			for _, p := range Planes {
				for k := range sky.Case(c.Cases()) {
					s := under(c)
					before := lights(s, on(s, "19:00"), k)
					w := learn(t, s, off(s, clock, p, k, 0))
					assert.InDelta(t, 0, float64(w[0].Offset), 1e-9)
					assert.Nil(t, w[0].Fits)
					s.Learned[0].From = on(s, "12:00")
					s.Learned[0].Fades = shoot.Fading{}
					after := lights(s, on(s, "19:00"), k)
					for _, q := range Planes {
						assert.InEpsilon(t, float64(q.on(&before)), float64(q.on(&after)), 1e-4, "%v %s %v %v", c, clock, p, q)
						was, is := q.band(&before), q.band(&after)
						assert.GreaterOrEqual(t, float64(is.Low), float64(was.Low)-1e-9, "%v %s", c, clock)
						assert.LessOrEqual(t, float64(is.High), float64(was.High)+1e-9)
						assert.Less(t, float64(is.Low), float64(is.High))
					}
				}
			}
		}
	}
}

// Just after a reading its plane lies off the plan by the weight's share of what
// was read, and a darker reading never gives it more light. (The other planes may
// go the other way: a clear sky's shade is brighter for haze, and its lit side
// darker.)
func TestReadingIsCarriedOnByItsWeight(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	for _, c := range conditions() {
		for _, clock := range times {
			for _, p := range Planes {
				for k := range sky.Case(c.Cases()) {
					last := 0.
					for _, by := range []sky.Stops{-0.9, -0.6, -0.3, -0.1, 0, 0.1, 0.3} {
						s := under(c)
						r := off(s, clock, p, k, by)
						before := lights(s, r.Time, k)
						w := learn(t, s, r)
						after := lights(s, r.Time, w[0].Case)
						if w[0].Case != k {
							continue // it is nearer to the other
						}
						got := float64(sky.StopsOf(float64(p.on(&after) / p.on(&before))))
						assert.InDelta(t, w[0].Weight*float64(by), got, 0.05+0.15*math.Abs(float64(by)),
							"%v %s %v %+.1f", c, clock, p, by)
						assert.LessOrEqual(t, math.Abs(got), math.Abs(float64(by))+0.01)
						if is := float64(p.on(&after)); by > -0.9 {
							assert.GreaterOrEqual(t, is, last*(1-1e-9), "%v %s %v %+.1f", c, clock, p, by)
						}
						last = float64(p.on(&after))
					}
				}
			}
		}
	}
}

// What a reading says fades without a step, and never grows.
func TestReadingFades(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	for _, c := range conditions() {
		for k := range sky.Case(c.Cases()) {
			s := under(c)
			learn(t, s, off(s, "15:30", Lit, k, -0.5))
			plain := under(c)
			var last float64
			for at := on(s, "15:30"); at.Before(on(s, "19:50")); at = at.Add(20 * time.Second) {
				was, is := lights(plain, at, k), lights(s, at, k)
				by := float64(sky.StopsOf(float64(is.Lit / was.Lit)))
				setting := at.After(on(s, "19:24")) && at.Before(on(s, "19:31")) // the disc, and all that haze does to it
				if at.After(on(s, "15:30")) && !setting {
					assert.InDelta(t, last, by, 0.01, "%v %v", c, at)
				}
				if !c.Cloudless() && last < 0 {
					assert.GreaterOrEqual(t, by, last-1e-9)
				}
				last = by
				if at.Before(on(s, "19:20")) { // then the sky is all there is, brighter for haze
					assert.LessOrEqual(t, by, 1e-9)
				}
			}
			before := lights(s, on(s, "15:29"), k)
			was := lights(plain, on(s, "15:29"), k)
			assert.Equal(t, was, before, "nothing is known of it before")
		}
	}
}

// One reading of a clear sky weighs s^2 / (s^2 + (0.1 / |d lit / d T|)^2) with
// the spread s of turbidity, but for what it tells of the sky's light: nearly
// all under a low sun, little under a high one.
func TestWeightOfAClearReading(t *testing.T) {
	s := under(sky.Described(sky.Clear))
	n := newSession(s)
	for _, clock := range []string{"15:00", "17:00", "18:30"} {
		r := off(s, clock, Lit, sky.SunOut, -0.1)
		w := learn(t, s, r)[0]
		g := n.at(r.Time)
		lit := func(dT float64) float64 {
			l := g.light(w.Under, 0, sky.Correction{Turbidity: dT})
			return float64(sky.StopsOf(float64(l.Lit)))
		}
		slope := (lit(0.05) - lit(-0.05)) / 0.1
		alone := 0.25 / (0.25 + math.Pow(0.1/slope, 2))
		t.Logf("%s, sun %.0f deg: weight %.2f, by turbidity alone %.2f", clock, g.sun.Altitude.Degrees(), w.Weight, alone)
		assert.InDelta(t, alone, w.Weight, 0.06)
	}
	noon := off(s, "13:15", Lit, sky.SunOut, 0)
	high := under(sky.Described(sky.Clear))
	high.Place.Site.Latitude = sky.Degrees(20)
	assert.True(t, learn(t, s, noon)[0].TellsLittle())
	assert.False(t, learn(t, s, off(s, "17:00", Lit, sky.SunOut, 0))[0].TellsLittle())
	assert.True(t, learn(t, high, off(high, "13:15", Lit, sky.SunOut, 0))[0].TellsLittle())
}

// Lit alone is taken for haze; lit and shade together tell beam and sky apart:
// a sky brighter than haze explains is the sky's.
func TestLitAndShadeTellBeamAndSkyApart(t *testing.T) {
	clear := sky.Described(sky.Clear)
	truth := under(clear)
	real := sky.Correction{Turbidity: 0.8, Sky: 0.3}
	g := newSession(truth).at(on(truth, "18:20"))
	l := g.light(clear, 0, real)
	lit := Reading{Time: on(truth, "18:20"), Plane: Lit, Light: l.Lit}
	shade := Reading{Time: on(truth, "18:23"), Plane: Shade, Light: l.Shade}

	one, both := under(clear), under(clear)
	learn(t, one, lit)
	learn(t, both, lit, shade)
	alone := one.CorrectionAt(on(one, "18:24"), clear, 0)
	got := both.CorrectionAt(on(both, "18:24"), clear, 0)
	assert.InDelta(t, 0.8, got.Turbidity, 0.15)
	assert.InDelta(t, 0.3, float64(got.Sky), 0.1)
	assert.Less(t, math.Abs(float64(alone.Sky)), 0.1)
	assert.Greater(t, got.SkyTold, alone.SkyTold+0.5)
	turned := under(clear)
	learn(t, turned, shade, lit)
	swapped := turned.CorrectionAt(on(turned, "18:24"), clear, 0)
	assert.InDelta(t, got.Turbidity, swapped.Turbidity, 0.05, "their order does not matter")
	assert.InDelta(t, float64(got.Sky), float64(swapped.Sky), 0.05)
}

// With the sun down a clear reading is the sky's, and what it says of haze is
// next to nothing.
func TestReadingAfterSunset(t *testing.T) {
	s := under(sky.Described(sky.Clear))
	learn(t, s, off(s, "19:45", Lit, sky.SunOut, -0.5))
	by := s.CorrectionAt(on(s, "19:45"), sky.Described(sky.Clear), 0)
	assert.Less(t, float64(by.Sky), -0.35)
	assert.Less(t, math.Abs(by.Turbidity), 0.3)
}

// Under cloud a reading of the word's own weight counts; a second in the same
// minute adds less than the first, and one long after counts nearly as a first.
func TestCloudReadingsCombine(t *testing.T) {
	overcast := sky.Described(sky.Overcast)
	s := under(overcast)
	w := learn(t, s, off(s, "16:00", Lit, 0, -1), off(s, "16:01", Lit, 0, -1), off(s, "19:00", Shade, 0, 0.4))
	assert.InDelta(t, 0.91, w[0].Weight, 1e-9)
	assert.Less(t, w[1].Weight, 0.6)
	assert.InDelta(t, 0.9, w[2].Weight, 0.03)
	by := s.CorrectionAt(on(s, "16:00"), overcast, 0)
	assert.InDelta(t, -0.91, float64(by.Sky), 1e-9)
	assert.Equal(t, by.Sky, by.Beam)
	assert.InDelta(t, 0.91, by.Told, 1e-9)
	late := s.CorrectionAt(on(s, "17:00"), overcast, 0)
	twice := s.CorrectionAt(on(s, "16:01"), overcast, 0)
	assert.InDelta(t, float64(twice.Sky)*math.Exp(-59./156), float64(late.Sky), 1e-9)
}

// Under broken cloud a reading tells of the case it is nearer to.
func TestBrokenReadings(t *testing.T) {
	broken := sky.Described(sky.Broken)
	s := under(broken)
	w := learn(t, s, off(s, "17:00", Lit, sky.SunOut, -0.2), off(s, "17:02", Lit, sky.SunIn, -0.3))
	assert.Equal(t, sky.SunOut, w[0].Case)
	assert.Equal(t, sky.SunIn, w[1].Case)
	require.Len(t, s.Learned, 2)
}

// A reading that another word explains far better says so; haze under a clear
// low sun does not need one.
func TestFits(t *testing.T) {
	s := under(sky.Described(sky.Clear))
	cloudy := under(sky.Described(sky.Overcast))
	r := off(cloudy, "17:30", Lit, 0, -0.1)
	w := learn(t, s, r)[0]
	require.NotNil(t, w.Fits)
	assert.Less(t, float64(w.Offset), -2.)
	assert.Contains(t, []sky.Word{sky.Overcast, sky.Heavy, sky.Broken}, w.Fits.Word)
	assert.Less(t, float64(w.Fits.Offset.Abs()), 0.4)
	assert.Nil(t, learn(t, s, off(s, "18:45", Lit, 0, -0.5))[0].Fits)
	r.Line = 4
}

// What no sky gives is refused, as are readings that cannot both be right; the
// hint is a reading that is taken.
func TestRefusals(t *testing.T) {
	s := under(sky.Described(sky.Clear))
	read := func(clock string, ev float64, p Plane) Reading {
		return Reading{Time: on(s, clock), Plane: p, Light: exposure.EV(ev).Lux(), Given: "ev"}
	}
	for _, c := range []struct {
		what string
		list []Reading
	}{
		{"brighter than the clearest sky", []Reading{read("18:00", 17, Lit)}},
		{"darker than the heaviest cloud", []Reading{read("17:00", 3.5, Lit)}},
		{"the sun is 3", []Reading{read("23:30", 5, Lit)}},
		{"contradict each other by 2.0 stops", []Reading{off(s, "17:00", Lit, 0, -1.8), off(s, "17:06", Lit, 0, 0.2)}},
		{"the shade reads 1.0 stop brighter", []Reading{read("17:00", 10.5, Lit), read("17:03", 11.5, Shade)}},
	} {
		_, _, err := Learn(s, c.list, UsualError)
		var faults Faults
		require.ErrorAs(t, err, &faults, c.what)
		assert.Contains(t, faults[0].What, c.what)
		if len(c.list) > 1 {
			continue
		}
		hinted, err := Parse(faults[0].Hint, func(clock string) (time.Time, error) { return on(s, clock), nil })
		require.NoError(t, err)
		_, _, err = Learn(s, []Reading{hinted}, UsualError)
		assert.NoError(t, err, faults[0].Hint)
	}
}

// Readings of the session's day count, of one past midnight those of its end.
func TestOfTheDay(t *testing.T) {
	s := under(sky.Described(sky.Clear))
	s.When.From, s.When.To = shoot.Instant{Offset: 20 * time.Hour}, shoot.Instant{Offset: time.Hour}
	late, early := on(s, "23:50").Add(time.Hour), on(s, "00:10")
	got := OfTheDay(s, []Reading{{Time: late}, {Time: late.Add(time.Hour)}, {Time: early}, {Time: early.Add(-time.Hour)},
		{Time: late.UTC()}})
	require.Len(t, got, 2)
	assert.Equal(t, early, got[0].Time)
	assert.Equal(t, late, got[1].Time)

	// Midnight is the day's that it begins, but for a window that runs on to it.
	midnight := on(s, "00:00")
	of := func(day int, to time.Duration) int {
		s.When.Date.Day = day
		s.When.From, s.When.To = shoot.Instant{Offset: 15 * time.Hour}, shoot.Instant{Offset: to}
		return len(OfTheDay(s, []Reading{{Time: midnight}}))
	}
	today := s.When.Date.Day
	assert.Equal(t, 0, of(today-1, 20*time.Hour))
	assert.Equal(t, 1, of(today, 20*time.Hour))
	assert.Equal(t, 1, of(today-1, 0))
}
