package scene

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func sunAt(altitude, azimuth float64) sky.Sun {
	return sky.Sun{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth), Distance: 1}
}

// Setups worked by hand with plain trigonometry. The middle of head and
// shoulders lies 0.125 m under that of the head, of the full length 0.725 m.
func TestSetupByHand(t *testing.T) {
	// A level overhead, sun at 45 deg. To put its shadow's middle on the
	// figure's it would have to be 1.4 + 0.125 m out; it reaches 1 m. Square to
	// the rays all of its lengths shrink by the sine or cosine of 45 deg.
	overhead := Scrim{Width: 2.4, Length: 2.4, Loss: 1, Height: 1.4, Reach: 1}
	u := overhead.Setup(sunAt(45, 200), sky.Degrees(20), HeadAndShoulders)
	root := math.Sqrt(0.5)
	assert.True(t, u.Shines)
	assert.InDelta(t, 200, u.Azimuth.Degrees(), 1e-9)
	assert.InDelta(t, 0, u.Tilt.Degrees(), 1e-6)
	assert.InDelta(t, 1, u.Out, 1e-12)
	assert.InDelta(t, 1.4, u.AboveHead, 1e-12)
	assert.InDelta(t, 3, u.AboveGround, 1e-12)
	assert.InDelta(t, 3, u.LowEdge, 1e-12)
	assert.InDelta(t, 2.4, u.Coverage.Shadow.Across, 1e-12)
	assert.InDelta(t, 2.4*root, u.Coverage.Shadow.Along, 1e-12)
	assert.InDelta(t, 0.5, u.Coverage.Need.Across, 1e-12)
	assert.InDelta(t, 0.55*root, u.Coverage.Need.Along, 1e-12)
	assert.InDelta(t, 1.2-0.25, u.Coverage.Spare.Across, 1e-12)
	// The panel's far edge, 2.2 m out and 1.4 m up, throws its shadow 0.8 m
	// under the head, 0.4 m under the shoulders.
	assert.InDelta(t, 0.4*root, u.Coverage.Spare.Along, 1e-12)
	assert.True(t, u.Coverage.Whole)
	assert.Equal(t, 1., u.Coverage.Share)
	assert.True(t, u.LevelHead)
	assert.False(t, u.LevelFull)
	assert.InDelta(t, math.Atan(1.8/2.2)*180/math.Pi, u.Lowest.Degrees(), 1e-9)
	// The full figure ends 0.8 m under the shadow: half of its 1.75 m is sunlit
	// from there down, 0.8 m in 1.75 m of it.
	full := overhead.Setup(sunAt(45, 200), sky.Degrees(20), FullLength)
	assert.False(t, full.Coverage.Whole)
	assert.InDelta(t, -0.8*root, full.Coverage.Spare.Along, 1e-12)
	assert.InDelta(t, 1-0.8/1.75, full.Coverage.Share, 1e-12)
	assert.InDelta(t, math.Atan(3/2.2)*180/math.Pi, full.Lowest.Degrees(), 1e-9)

	// Aimed, sun at 30 deg: the panel stands at 60 deg from level, its plane
	// 1.2 m from the head and so 0.125 sin 30 m more from the figure's middle.
	aimed := Scrim{Width: 1.2, Length: 1.8, Loss: 1, Distance: 1.2}
	u = aimed.Setup(sunAt(30, 200), sky.Degrees(20), HeadAndShoulders)
	cos := math.Sqrt(3) / 2
	assert.InDelta(t, 60, u.Tilt.Degrees(), 1e-9)
	assert.InDelta(t, 1.2625*cos, u.Out, 1e-12)
	assert.InDelta(t, 1.2625/2-0.125, u.AboveHead, 1e-12)
	assert.InDelta(t, 1.6+0.50625, u.AboveGround, 1e-12)
	assert.InDelta(t, 1.6+0.50625-0.9*cos, u.LowEdge, 1e-12)
	assert.InDelta(t, 1.8, u.Coverage.Shadow.Along, 1e-12)
	assert.InDelta(t, 0.9-0.275*cos, u.Coverage.Spare.Along, 1e-12)
	assert.True(t, u.Ever)
	assert.Zero(t, u.Lowest)
	// Carried level 1.2 m overhead it works down to atan(1.6 / 0.9) = 60.6 deg.
	assert.False(t, u.LevelHead)
	assert.True(t, aimed.Setup(sunAt(61, 200), 0, HeadAndShoulders).LevelHead)
	assert.False(t, aimed.Setup(sunAt(60, 200), 0, HeadAndShoulders).LevelHead)
}

func TestSetupAtTheEnds(t *testing.T) {
	overhead := Scrim{Width: 2.4, Length: 2.4, Loss: 1, Height: 1.4, Tilt: sky.Degrees(20), Reach: 1}
	aimed := Scrim{Width: 1.2, Length: 1.8, Loss: 1, Distance: 1.2}
	for _, s := range []*Scrim{&overhead, &aimed} {
		// With no sun there is nothing to do, and no number is worth reading.
		for _, h := range []float64{-0.3, -6, -90} {
			u := s.Setup(sunAt(h, 200), 0, FullLength)
			assert.False(t, u.Shines)
			assert.Equal(t, Coverage{Share: 1, Whole: true}, u.Coverage)
			assert.Zero(t, u.Out)
			assert.Zero(t, u.Taken)
		}
		for _, h := range []float64{-0.2, 0, 1e-9, 89.999999, 90} {
			u := s.Setup(sunAt(h, 200), sky.Degrees(20), HeadAndShoulders)
			assert.True(t, u.Shines)
			for _, v := range []float64{
				float64(u.Tilt), u.Out, u.AboveHead, u.LowEdge, u.Coverage.Shadow.Along, u.Coverage.Need.Along,
				u.Coverage.Spare.Along, u.Coverage.Share, u.Taken.Level, u.Taken.Lit, u.Taken.Shade,
			} {
				assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", u)
			}
		}
		// Straight above the figure is a line, and the panel above its head.
		u := s.Setup(sunAt(90, 200), sky.Degrees(20), FullLength)
		assert.InDelta(t, 0, u.Out, 1e-9)
		assert.InDelta(t, 0, u.Coverage.Need.Along, 1e-9)
		assert.True(t, u.Coverage.Whole)
	}
	// At sunset an overhead panel reaches nothing.
	u := overhead.Setup(sunAt(0, 200), 0, HeadAndShoulders)
	assert.False(t, u.Coverage.Whole)
	assert.Less(t, u.Coverage.Spare.Along, 0.)
	assert.Zero(t, u.Coverage.Share)

	// A panel smaller than the figure never shades it.
	for _, s := range []Scrim{{Width: 0.49, Length: 2, Distance: 1}, {Width: 0.49, Length: 2, Height: 1, Reach: 1}, {Width: 2, Length: 2, Height: 0.1}} {
		_, ever := s.LowestSun(HeadAndShoulders)
		assert.False(t, ever)
		for h := 1.; h <= 90; h++ {
			assert.False(t, s.Covers(sunAt(h, 90), HeadAndShoulders), "%+v at %g", s, h)
		}
	}
	assert.InDelta(t, 0.49/2-0.25, (&Scrim{Width: 0.49, Length: 2, Distance: 1}).Coverage(sunAt(40, 0), HeadAndShoulders).Spare.Across, 1e-12)
	// A panel that would stand in the ground is lifted, and still shades.
	tall := Scrim{Width: 2.4, Length: 2.4, Distance: 1.5}
	u = tall.Setup(sunAt(2, 270), 0, FullLength)
	assert.InDelta(t, 0, u.LowEdge, 1e-12)
	assert.True(t, u.Coverage.Whole)
}

// anyScrim returns one with every measure in the range of a shoot file.
func anyScrim(r *rand.Rand) Scrim {
	s := Scrim{Width: 0.4 + 3*r.Float64(), Length: 0.4 + 3*r.Float64(), Loss: 1}
	if r.IntN(3) == 0 {
		s.Distance = 0.2 + 3*r.Float64()
		return s
	}
	s.Height, s.Reach = 0.2+3*r.Float64(), 2*r.Float64()*float64(r.IntN(2))
	s.Tilt = sky.Degrees(80 * r.Float64() * float64(r.IntN(2)))
	return s
}

// The formula of the lowest sun against the shadow itself, looked at from the
// horizon to the zenith.
func TestLowestSunAgainstShadow(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	never := 0
	for range 400 {
		s := anyScrim(r)
		for _, figure := range []Figure{HeadAndShoulders, FullLength} {
			lowest, ever := s.LowestSun(figure)
			if !ever {
				never++
			}
			for h := 0.; h <= 90; h += 0.73 {
				if math.Abs(h-lowest.Degrees()) < 1e-6 {
					continue
				}
				want := ever && h >= lowest.Degrees()
				require.Equal(t, want, s.Covers(sunAt(h, 130), figure), "%+v, %s, sun at %g, lowest %g", s, figure.Name, h, lowest.Degrees())
			}
		}
	}
	t.Logf("%d of 800 never shade the figure", never)
	assert.Greater(t, never, 20)
	assert.Less(t, never, 400)
}

// Spare and share against rays from points all over the figure.
func TestCoverageAgainstRays(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	worst, partly := 0., 0
	for range 300 {
		s, sun, figure := anyScrim(r), sunAt(0.5+89*r.Float64(), 360*r.Float64()), HeadAndShoulders
		if r.IntN(2) == 0 {
			figure = FullLength
		}
		c := s.Coverage(sun, figure)
		require.Equal(t, s.Covers(sun, figure), c.Whole)
		require.Equal(t, c.Whole, min(c.Spare.Across, c.Spare.Along) >= -1e-9, "%+v %+v", s, c)
		p, ray, side := s.place(sun, figure), toward(sun.Altitude, sun.Azimuth), toward(0, sun.Azimuth).cross(up)
		const steps = 60
		in := 0
		for i := range steps {
			for k := range steps {
				x := figure.Half * ((2*float64(i)+1)/steps - 1)
				z := figure.Bottom + (figure.Top-figure.Bottom)*(float64(k)+0.5)/steps
				if p.shades(side.times(x).plus(up.times(z)), ray) {
					in++
				}
			}
		}
		share := float64(in) / (steps * steps)
		worst = max(worst, math.Abs(share-c.Share))
		if share > 0 && share < 1 {
			partly++
		}
		require.InDelta(t, share, c.Share, 2./steps, "%+v %+v", s, c)
	}
	t.Logf("%d figures partly shaded; worst share %.4f off", partly, worst)
	assert.Greater(t, partly, 30)
}

// The share of the sky a panel takes, against the analytic factor of a
// rectangle square over a small plane (as in TestFactorAgainstAnalyticFormulas)
// and against limits.
func TestTaken(t *testing.T) {
	head := Figure{"head", 0.1, 0.1, -0.1}
	corner := func(a, b, c float64) float64 {
		x, y := a/c, b/c
		return (x/math.Hypot(1, x)*math.Atan(y/math.Hypot(1, x)) + y/math.Hypot(1, y)*math.Atan(x/math.Hypot(1, y))) / (2 * math.Pi)
	}
	// Square to a sun on the horizon, half of the panel hides sky, and the sky
	// is half of what an upright plane sees.
	s := Scrim{Width: 1.2, Length: 1.8, Distance: 1}
	u := s.Setup(sunAt(0, 90), sky.Degrees(270), head)
	assert.InDelta(t, 4*corner(0.6, 0.9, 1), u.Taken.Lit, 1e-12)
	assert.Zero(t, u.Taken.Shade, "behind the subject")
	// Level and straight overhead, the level plane sees all of it.
	s = Scrim{Width: 1.2, Length: 1.8, Height: 1}
	u = s.Setup(sunAt(90, 90), sky.Degrees(270), head)
	assert.InDelta(t, 4*corner(0.6, 0.9, 1), u.Taken.Level, 1e-12)
	assert.InDelta(t, u.Taken.Lit, u.Taken.Shade, 1e-12, "all sides alike")
	s = Scrim{Width: 1e5, Length: 1e5, Height: 1}
	u = s.Setup(sunAt(90, 90), 0, head)
	for _, share := range []float64{u.Taken.Level, u.Taken.Lit, u.Taken.Shade} {
		assert.InDelta(t, 1, share, 1e-3)
	}
}

// The shadow of a panel d away moves by d sin(angle the sun has moved).
func TestDrift(t *testing.T) {
	for _, d := range []float64{0.5, 1.2, 3} {
		s := Scrim{Width: 2, Length: 2, Distance: d}
		for _, to := range []sky.Sun{sunAt(41, 180), sunAt(40, 181), sunAt(39.5, 183)} {
			from := sunAt(40, 180)
			angle := math.Acos(toward(from.Altitude, from.Azimuth).dot(toward(to.Altitude, to.Azimuth)))
			arm := d + 0.725*math.Sin(float64(from.Altitude)) // from the figure's middle
			assert.InDelta(t, arm*math.Sin(angle)/4, s.Drift(from, to, 4, FullLength), 1e-9)
		}
		assert.Zero(t, s.Drift(sunAt(40, 180), sunAt(40, 180), 1, FullLength))
	}
	// The sky turns a quarter of a degree a minute: the sun's own drift can be
	// no faster than that, 4.4 mm a minute for each metre, here up to 1.125.
	path := observer()
	noon := time.Date(2027, 6, 21, 12, 0, 0, 0, time.UTC)
	s := Scrim{Width: 2, Length: 2, Distance: 1}
	for m := range 8 {
		at := noon.Add(time.Duration(m) * time.Hour)
		drift := s.Drift(path(at), path(at.Add(time.Minute)), 1, HeadAndShoulders)
		t.Logf("%s: %.2f mm a minute", at.Format("15:04"), drift*1000)
		assert.Greater(t, drift, 0.0036)
		assert.Less(t, drift, 0.00440*1.125)
	}
}

// observer returns the sun's path over a place in middle latitudes.
func observer() func(time.Time) sky.Sun {
	return sky.NewObserver(sky.Place{Latitude: sky.Degrees(48), Longitude: sky.Degrees(2)}).Sun
}

// How long a panel holds, against a look at every second.
func TestHoldsForAgainstEverySecond(t *testing.T) {
	path := observer()
	day := time.Date(2027, 6, 21, 0, 0, 0, 0, time.UTC)
	cases := 0
	for _, s := range []Scrim{
		{Width: 1.2, Length: 1.8, Distance: 1.2}, {Width: 0.6, Length: 0.9, Distance: 2},
		{Width: 2.4, Length: 2.4, Height: 1.4, Reach: 1}, {Width: 1.8, Length: 1.8, Height: 0.6, Tilt: sky.Degrees(25), Reach: 0.5},
	} {
		for _, hour := range []float64{5, 8, 12, 15.5, 18, 19.5} {
			start := day.Add(time.Duration(hour * float64(time.Hour)))
			at := func(minutes float64) sky.Sun { return path(start.Add(time.Duration(minutes * float64(time.Minute)))) }
			for _, figure := range []Figure{HeadAndShoulders, FullLength} {
				p := s.place(at(0), figure)
				want := 0.
				for ; want < LongestHold*60; want++ {
					if sun := at(want / 60); shines(sun) && !p.covers(sun, figure) {
						break
					}
				}
				got := s.HoldsFor(at, figure)
				if want > 0 && want < LongestHold*60 {
					cases++
				}
				assert.LessOrEqual(t, got, want/60, "%+v from %g h, %s", s, hour, figure.Name)
				assert.LessOrEqual(t, want/60, got+2./60, "%+v from %g h, %s: a second from each", s, hour, figure.Name)
			}
			t.Logf("%gx%g, height %g, distance %g, %s, sun at %.0f deg: head and shoulders %.1f min", s.Width, s.Length, s.Height, s.Distance,
				start.Format("15:04"), path(start).Altitude.Degrees(), s.HoldsFor(at, HeadAndShoulders))
		}
	}
	assert.Greater(t, cases, 12)
}

func TestHoldsForAtTheEnds(t *testing.T) {
	still := func(float64) sky.Sun { return sunAt(30, 180) }
	down := func(float64) sky.Sun { return sunAt(-5, 280) }
	small, large := Scrim{Width: 0.4, Length: 2, Distance: 1}, Scrim{Width: 2, Length: 2, Distance: 1}
	assert.Zero(t, small.HoldsFor(still, HeadAndShoulders))
	assert.EqualValues(t, LongestHold, large.HoldsFor(still, HeadAndShoulders))
	assert.EqualValues(t, LongestHold, small.HoldsFor(down, HeadAndShoulders), "no sun to keep off")
}

// When an overhead panel fails, against the altitude of the lowest sun.
func TestMisses(t *testing.T) {
	path := observer()
	o := sky.NewObserver(sky.Place{Latitude: sky.Degrees(48), Longitude: sky.Degrees(2)})
	day := o.Day(2027, 6, 21, time.UTC)
	s := Scrim{Width: 2.4, Length: 2.4, Height: 1.4, Reach: 1}
	lowest, ever := s.LowestSun(HeadAndShoulders)
	require.True(t, ever)
	spans := s.Misses(path, HeadAndShoulders, day.Start, day.End)
	require.Len(t, spans, 2, "morning and evening")
	for _, turn := range []time.Time{spans[0].To, spans[1].From} {
		t.Logf("turns at %s, sun at %.4f deg", turn.Format("15:04:05"), path(turn).Altitude.Degrees())
		assert.InDelta(t, lowest.Degrees(), path(turn).Altitude.Degrees(), 0.25/60*1.1, "the sun's way in a second")
	}
	for _, end := range []time.Time{spans[0].From, spans[1].To} {
		assert.InDelta(t, -16./60, path(end).Altitude.Degrees(), 0.01, "the disc's upper edge")
	}
	// A window within the evening's spell is missed from end to end.
	from, to := spans[1].From.Add(10*time.Minute), spans[1].From.Add(95*time.Minute+20*time.Second)
	assert.Equal(t, []Span{{from, to}}, s.Misses(path, HeadAndShoulders, from, to))
	assert.Empty(t, s.Misses(path, HeadAndShoulders, to, from))
	aimed := Scrim{Width: 1.2, Length: 1.8, Distance: 1}
	assert.Empty(t, aimed.Misses(path, HeadAndShoulders, day.Start, day.End))
}

func BenchmarkUnder(b *testing.B) {
	s, sun := Scrim{Width: 1.2, Length: 1.8, Loss: 1, Distance: 1}, sunAt(25, 180)
	l := sky.NewDaylight(sky.Place{}, 0.2, nil).At(sky.Described(sky.Clear), sky.SunOut, sun, sky.View{})
	for b.Loop() {
		s.Under(&l, sun, Stance{0, Left}, HeadAndShoulders)
	}
}

func BenchmarkSetup(b *testing.B) {
	s, sun := Scrim{Width: 2.4, Length: 2.4, Loss: 1, Height: 1.4, Reach: 1}, sunAt(25, 180)
	for b.Loop() {
		s.Setup(sun, 0, HeadAndShoulders)
	}
}

func BenchmarkHoldsFor(b *testing.B) {
	path, start := observer(), time.Date(2027, 6, 21, 16, 0, 0, 0, time.UTC)
	s := Scrim{Width: 1.2, Length: 1.8, Loss: 1, Distance: 1.2}
	for b.Loop() {
		s.HoldsFor(func(m float64) sky.Sun { return path(start.Add(time.Duration(m * float64(time.Minute)))) }, HeadAndShoulders)
	}
}
