package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
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

func aperture(s string) exposure.Aperture {
	a, err := exposure.ParseAperture(s, exposure.Third)
	if err != nil {
		panic(err)
	}
	return a
}

func shutter(s string) exposure.Shutter {
	v, err := exposure.ParseShutter(s, exposure.Third)
	if err != nil {
		panic(err)
	}
	return v
}

// testShoot is a shoot with two speedlights in a softbox, a scrim and filters.
func testShoot() *shoot.Shoot {
	return &shoot.Shoot{
		Name: "test",
		Place: shoot.Place{
			Site:   sky.Place{Latitude: sky.Degrees(54), Longitude: sky.Degrees(10)},
			Zone:   time.FixedZone("UTC+1", 3600),
			Ground: 0.2,
		},
		When: shoot.When{
			Date: shoot.Date{Year: 2027, Month: time.September, Day: 18},
			From: shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour}, To: shoot.Instant{Event: sky.Sunset},
			Step: 15 * time.Minute,
		},
		Sky: []shoot.SkySpan{{Condition: sky.Described(sky.Clear)}},
		Subject: shoot.Subject{
			Facing: scene.Facing{Side: scene.Backlit}, Figure: scene.HeadAndShoulders, SkyAltitude: sky.Degrees(15),
			CameraDistance: 2.2, Background: scene.Background{Distance: math.Inf(1)},
		},
		Look: shoot.Look{Kind: shoot.RatioLook, Ratio: 3, AtMost: 1.5},
		Camera: exposure.Camera{
			Name: "body", Click: exposure.Third, ISOClick: exposure.Third,
			Sync: shutter("1/200"), Fastest: shutter("1/8000"), Lowest: 0, Highest: 36,
		},
		Frame: 24,
		Lens: exposure.Lens{
			FocalLength: 85, Widest: aperture("1.8"), Narrowest: aperture("16"), Wanted: aperture("2.8"), Slowest: shutter("1/80"),
		},
		Flash: flash.Head{
			Unit: &flash.Unit{
				Name:        "speedlight",
				Guide:       []flash.GuideNumber{{Zoom: 24, Number: 28}, {Zoom: 50, Number: 42}, {Zoom: 105, Number: 58}, {Zoom: 200, Number: 60}},
				LowestPower: -48, Click: exposure.Third, HighSpeed: true, Plateau: flash.PlateauEquivalent, Derate: flash.OutdoorDerate,
				RecycleFull: 3 * time.Second, RecycleFloor: 200 * time.Millisecond,
				FlashesPerSet: 150, BurstLimit: 20, BurstRest: 10 * time.Minute,
			},
			Units: 2, Distance: 2, Zoom: 50, Modifier: flash.Modifier{Name: "softbox", Loss: 1.5, Size: 0.75, Zoom: 35},
		},
		Scrim: &scene.Scrim{Name: "panel", Width: 1.2, Length: 1.8, Loss: 1, Distance: 1},
		Shade: scene.Shade{SkyShare: 0.5},
		Reflector: &scene.Reflector{Name: "silver", Width: 1, Length: 1, Reflectance: 0.85, Gain: 3, Distance: 1.5,
			Angle: sky.Degrees(-30)},
		Filters: []shoot.Filter{{Name: "3-stop ND", Loss: 3}, {Name: "6-stop ND", Loss: 6}},
		Pace:    shoot.Pace{FramesPerMinute: 6},
		Methods: shoot.Methods[:],
	}
}

// at is a moment of a shoot with the sun at an altitude and at so many degrees
// from the direction to the camera.
func at(s *shoot.Shoot, c sky.Condition, altitude, bearing float64) *Moment {
	sun := sky.Sun{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(240), Distance: 1}
	n := &session{shoot: s, daylight: sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon)}
	facing := (sun.Azimuth - sky.Degrees(bearing)).Normal()
	key := side(scene.Aside(sun, facing))
	if key == 0 {
		key = scene.Left
	}
	m := n.moment(time.Unix(0, 0), sun, scene.Stance{Facing: facing, Key: key}, c, sky.SunOut)
	return &m
}

// asked returns what a look asks of a moment under the open sky.
func asked(s *shoot.Shoot, m *Moment) Asked {
	a := scene.Open(&m.Light, m.Sun, m.Stance)
	return askedOf(&s.Look, a.Key, a.Shadow, exposure.Reflected(m.Backdrop), m.Known)
}

// The light wanted on the key side, and the flash's share of each side, run
// without a jump as the sun goes round the sitter.
func TestLookIsContinuousRoundTheSitter(t *testing.T) {
	s := testShoot()
	worst := sky.Stops(0)
	for _, word := range []sky.Word{sky.Clear, sky.Hazy, sky.Thin, sky.Overcast} {
		for _, altitude := range []float64{1, 5, 15, 30, 50, 70} {
			for _, look := range []shoot.Look{
				{Ratio: 3, AtMost: 1.5}, {Ratio: 2, AtMost: sky.Stops(math.Inf(1))},
				{Ratio: 4, AtMost: 0}, {Kind: shoot.BackgroundLook, Ratio: 3, Background: -1.5},
			} {
				s.Look = look
				was := asked(s, at(s, sky.Described(word), altitude, 0))
				for bearing := 1.; bearing <= 360; bearing++ {
					is := asked(s, at(s, sky.Described(word), altitude, bearing))
					move := sky.StopsOf(float64(is.Wanted / was.Wanted)).Abs()
					worst = max(worst, move)
					// A fill for 2:1 asks for twice what near exceeds far by: the
					// relation itself is steep where the beam leaves the face.
					most := 0.15
					if look.Ratio == 2 {
						most = 0.25
					}
					require.Less(t, float64(move), most, "%v, sun %g, bearing %g, look %+v", word, altitude, bearing, look)
					for _, side := range [2]float64{float64(is.OnKey - was.OnKey), float64(is.OnShadow - was.OnShadow)} {
						require.Less(t, math.Abs(side), 0.15*float64(is.Wanted), "%v, sun %g, bearing %g, look %+v", word, altitude, bearing, look)
					}
					was = is
				}
			}
		}
	}
	t.Logf("moves at most %.3f stop a degree", worst)
}

// The same through the minutes of a day.
func TestLookIsContinuousInTime(t *testing.T) {
	s := testShoot()
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(200)}
	s.When.From, s.When.To = shoot.Instant{Event: sky.Sunrise}, shoot.Instant{Event: sky.Sunset}
	n, err := newSession(s)
	require.NoError(t, err)
	minutes := n.minutes(t.Context())
	n.divide(minutes)
	var was Asked
	for i := range minutes {
		is := asked(s, &minutes[i])
		if i > 0 && minutes[i].Stance.Key == minutes[i-1].Stance.Key {
			const most = 0.2 // the disc sets within a few minutes
			require.Less(t, float64(sky.StopsOf(float64(is.Wanted/was.Wanted)).Abs()), most, minutes[i].Time)
		}
		was = is
	}
}

// Where no sun shines, it does not matter where the sitter faces.
func TestOvercastIsTheSameFromAllSides(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	for _, altitude := range []float64{2, 10, 30, 60} {
		front := v.Solve(shoot.Sync, at(s, sky.Described(sky.Overcast), altitude, 0), sky.Degrees(30), Gel{})
		back := v.Solve(shoot.Sync, at(s, sky.Described(sky.Overcast), altitude, 180), sky.Degrees(30), Gel{})
		assert.InDelta(t, 0, math.Log2(float64(front.Ambient.Key/back.Ambient.Key)), 0.05)
		assert.InDelta(t, 0, math.Log2(float64(front.Ambient.Shadow/back.Ambient.Shadow)), 0.05)
		assert.InDelta(t, float64(front.Exposure), float64(back.Exposure), 0.05)
		assert.InDelta(t, 0, math.Log2(front.Ratio/back.Ratio), 0.05)
		assert.InDelta(t, float64(front.Background), float64(back.Background), 0.05)
		assert.Equal(t, front.Role, back.Role)
	}
}

// recomputed works a picture out again from what its solution says, with the
// relations of exposure meters and nothing of the solver.
func recomputed(s *shoot.Shoot, m *Moment, p *Solution) (exposed, ratio, background float64) {
	need := 250 * math.Pow(p.Settings.Aperture.FNumber(), 2) / p.Settings.ISO.Speed() * math.Exp2(float64(p.Settings.ND))
	t := p.Settings.Shutter.Seconds()
	key := float64(p.Ambient.Key)*t + float64(p.OnKey)
	shadow := float64(p.Ambient.Shadow)*t + float64(p.OnShadow)
	exposed = math.Log2(key/need) - float64(s.Look.Bias)
	// A reflected reading of L wants N^2/t = L S / 12.5.
	normal := math.Pow(p.Settings.Aperture.FNumber(), 2) / t * 12.5 / p.Settings.ISO.Speed() * math.Exp2(float64(p.Settings.ND))
	return exposed, key / shadow, math.Log2(float64(m.Backdrop) / normal)
}

// randomShoot varies kit, look and the sitter's place.
func randomShoot(r *rand.Rand) *shoot.Shoot {
	s := testShoot()
	pick := func(list ...float64) float64 { return list[r.IntN(len(list))] }
	s.Look = shoot.Look{Ratio: pick(1.5, 2, 3, 4, 8), AtMost: sky.Stops(pick(0, 1, 1.5, 2, math.Inf(1))), Bias: sky.Stops(pick(-1, 0, 0, 0.5))}
	if r.IntN(3) == 0 {
		s.Look.Kind, s.Look.Background = shoot.BackgroundLook, sky.Stops(pick(-3, -1.5, -0.5, 0, 1))
	}
	s.Flash.Units, s.Flash.Distance = 1+r.IntN(4), pick(0.8, 1.3, 2, 3, 6)
	unit := *s.Flash.Unit
	unit.Click = []exposure.Increment{exposure.Third, exposure.Half, exposure.Full}[r.IntN(3)]
	unit.LowestPower = flash.Power(-6 * (2 + r.IntN(6)))
	s.Flash.Unit = &unit
	s.Camera.Click = []exposure.Increment{exposure.Third, exposure.Half, exposure.Full}[r.IntN(3)]
	if s.Camera.Click == exposure.Full {
		s.Lens.Widest, s.Lens.Slowest, s.Camera.Sync = aperture("2"), shutter("1/60"), shutter("1/250")
	}
	s.Lens.Slowest = min(s.Lens.Slowest, s.Camera.Sync)
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(r.Float64() * 360)}
	if r.IntN(4) == 0 {
		s.Subject.Background = scene.Background{Kind: scene.Shaded, Reflectance: pick(0.1, 0.2, 0.6), Distance: 8}
	}
	return s
}

// Whatever the outcome claims is true of the light, over some thousands of
// random pictures.
func TestOutcomesAreTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	r := rand.New(rand.NewPCG(7, 11))
	var counts [Missed + 1]int
	for range 1500 {
		s := randomShoot(r)
		v := NewSolver(s)
		word := []sky.Word{sky.Clear, sky.Hazy, sky.Thin, sky.Overcast, sky.Heavy}[r.IntN(5)]
		m := at(s, sky.Described(word), -5+70*r.Float64(), 360*r.Float64())
		angle := sky.Degrees(float64(-45 + 5*r.IntN(19)))
		for _, method := range shoot.AllMethods {
			p := v.Solve(method, m, angle, Gel{})
			exposed, ratio, background := recomputed(s, m, &p)
			tag := fmt.Sprintf("%v %v %+v\n%+v", method, word, s.Look, p)
			require.InDelta(t, exposed, float64(p.Exposure), 1e-6, tag)
			require.InEpsilon(t, ratio, p.Ratio, 1e-6, tag)
			require.InDelta(t, background, float64(p.Background), 1e-6, tag)
			counts[p.Outcome]++
			if p.Outcome == Missed {
				require.NotNil(t, p.Problem, tag)
				require.False(t, math.IsNaN(float64(p.Problem.Misses)), tag)
				require.GreaterOrEqual(t, float64(p.Problem.Misses), 0., tag)
				continue
			}
			within := float64(Tolerance(&s.Camera)) + 1e-6
			require.LessOrEqual(t, math.Abs(exposed), within, tag)
			off := math.Log2(ratio / s.Look.Ratio)
			require.LessOrEqual(t, off, within, tag)
			switch {
			case p.Outcome == Held:
				require.GreaterOrEqual(t, off, -within, tag)
			case !p.ScrimUp && !method.UsesShade():
				require.GreaterOrEqual(t, off, -1-1e-6, tag)
			}
			if s.Look.Kind == shoot.BackgroundLook {
				require.LessOrEqual(t, math.Abs(background-float64(s.Look.Background)), within, tag)
			} else {
				require.LessOrEqual(t, background-float64(s.Look.AtMost), within, tag)
			}
			require.Equal(t, p.Role == None, p.Flash == 0, "no light without a role: "+tag)
			require.GreaterOrEqual(t, float64(p.Headroom), 0., tag)
			ambient := float64(p.Ambient.Key / p.Ambient.Shadow)
			require.Equal(t, p.Role == Key, p.Role != None && ratio > ambient, tag)
			require.GreaterOrEqual(t, p.Settings.Shutter, s.Lens.Slowest, "slower than by hand: "+tag)
		}
	}
	t.Logf("%d held, %d softer, %d missed", counts[Held], counts[Softer], counts[Missed])
	require.Greater(t, counts[Held]+counts[Softer], 2000)
}

// With the flash at a stated place, another flash beside it or a shorter
// distance never leaves less headroom, nor turns a success into a miss for
// weakness.
func TestMoreFlashNeverLosesHeadroom(t *testing.T) {
	s := testShoot()
	for _, altitude := range []float64{-2, 3, 12, 30, 55} {
		for _, bearing := range []float64{0, 60, 100, 150, 180} {
			for _, degrees := range []float64{-30, 15, 30, 45} {
				m := at(s, sky.Described(sky.Clear), altitude, bearing)
				was := sky.Stops(math.Inf(-1))
				for units := 1; units <= 4; units++ {
					c := *s
					c.Flash.Units = units
					was = noLess(t, &c, m, degrees, was)
				}
				was = sky.Stops(math.Inf(-1))
				for _, distance := range []float64{6, 4, 3, 2, 1.5, 1, 0.7} {
					c := *s
					c.Flash.Distance = distance
					was = noLess(t, &c, m, degrees, was)
				}
			}
		}
	}
}

func noLess(t *testing.T, s *shoot.Shoot, m *Moment, degrees float64, was sky.Stops) sky.Stops {
	p := NewSolver(s).Solve(shoot.Sync, m, sky.Degrees(degrees), Gel{})
	if p.Role == None || p.Outcome == Missed && p.Problem.Kind != TooWeak {
		return was
	}
	const click = 1. / 3
	require.GreaterOrEqual(t, float64(p.Headroom), float64(was)-click-1e-9, "%d flashes at %g m, %g deg", s.Flash.Units, s.Flash.Distance, degrees)
	return p.Headroom
}

// Twice as far from a small head, two stops less to spare.
func TestDistanceCostsTwoStops(t *testing.T) {
	s := testShoot()
	s.Flash.Modifier = flash.Modifier{}
	m := at(s, sky.Described(sky.Clear), 2, 180)
	near := NewSolver(s).Solve(shoot.Sync, m, sky.Degrees(30), Gel{})
	c := *s
	c.Flash.Distance *= 2
	far := NewSolver(&c).Solve(shoot.Sync, m, sky.Degrees(30), Gel{})
	require.Equal(t, Held, near.Outcome)
	require.Equal(t, Held, far.Outcome)
	assert.Equal(t, near.Settings, far.Settings)
	assert.InDelta(t, 2, float64(near.Headroom-far.Headroom), 1e-9)
}

// Facts of the trade, common practice, no source.
func TestFactsOfTheTrade(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	m := at(s, sky.Described(sky.Clear), 10, 180)
	j := v.job(shoot.HSS, m, Gel{})
	v.at(&j, sky.Degrees(30))
	picture := func(a, t string) choice {
		e := newSetting(exposure.Settings{Aperture: aperture(a), Shutter: shutter(t)})
		return v.try(&j.task, &e, shot{light: 1000}, shot{})
	}
	without := func(a, t string) choice {
		e := newSetting(exposure.Settings{Aperture: aperture(a), Shutter: shutter(t)})
		return v.try(&j.task, &e, shot{}, shot{})
	}

	t.Run("the shutter moves ambient light and background, not the flash", func(t *testing.T) {
		slow, fast := picture("5.6", "1/100"), picture("5.6", "1/200")
		assert.InDelta(t, 1, float64(slow.off.background-fast.off.background), 1e-9)
		flashOnly := func(a, b string) float64 {
			full, none := picture(a, b), without(a, b)
			return math.Exp2(float64(full.off.exposure)) - math.Exp2(float64(none.off.exposure))
		}
		assert.InDelta(t, 0, math.Log2(flashOnly("5.6", "1/100")/flashOnly("5.6", "1/200")), 1e-9)
		assert.InDelta(t, 1, float64(without("5.6", "1/100").off.exposure-without("5.6", "1/200").off.exposure), 1e-9)
	})
	t.Run("the aperture moves all", func(t *testing.T) {
		open, closed := picture("5.6", "1/200"), picture("8", "1/200")
		assert.InDelta(t, 1, float64(open.off.exposure-closed.off.exposure), 1e-9)
		assert.InDelta(t, 1, float64(open.off.background-closed.off.background), 1e-9)
		assert.InDelta(t, open.ratio, closed.ratio, 1e-9)
	})
	t.Run("f/2.8 from 1/3200 to 1/8000 brings ambient light and sky down 1 1/3 stop", func(t *testing.T) {
		a, b := without("2.8", "1/3200"), without("2.8", "1/8000")
		assert.InDelta(t, 4./3, float64(a.off.exposure-b.off.exposure), 1e-9)
		assert.InDelta(t, 4./3, float64(a.off.background-b.off.background), 1e-9)
	})
	t.Run("a dominating flash 30 degrees off the axis gives 3:1", func(t *testing.T) {
		e := newSetting(exposure.Settings{Aperture: aperture("11"), Shutter: shutter("1/200")})
		c := v.try(&j.task, &e, shot{light: 1e6}, shot{})
		assert.InDelta(t, 0, math.Log2(c.ratio/3), 1./3)
	})
}

// The runs and every row agree, the flash stands before the sitter at one
// place, and the key side is never left dark where the picture is said to
// succeed.
func TestRuns(t *testing.T) {
	for _, facing := range []float64{0, 45, 90, 120, 180, 225, 270, 315} {
		for _, word := range []sky.Word{sky.Clear, sky.Broken, sky.Overcast} {
			s := testShoot()
			s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(facing)}
			s.Sky = []shoot.SkySpan{{Condition: sky.Described(word)}}
			p, err := Make(t.Context(), s)
			require.NoError(t, err)
			for i := range p.Runs {
				r := &p.Runs[i]
				require.Equal(t, len(r.Minutes), r.Held+r.Softer+r.Missed)
				require.LessOrEqual(t, len(r.Places), 2)
				for k := range r.Minutes {
					m := &r.Minutes[k]
					assert.LessOrEqual(t, float64(m.Angle.Abs()), float64(sky.Degrees(mostAngle))+1e-9)
					assert.Equal(t, r.angleAt(m.Time, p.session.stretches), m.Angle)
					if m.Outcome.Succeeds() {
						assert.GreaterOrEqual(t, float64(m.Exposure), -float64(usualTolerance)-1e-9)
					}
				}
			}
			for i := range p.Rows {
				row := &p.Rows[i]
				again := p.At(row.Time)
				require.NotEmpty(t, again)
				for k := range row.Methods {
					run := p.run(row.Methods[k].Method, row.Case)
					minute := run.Minutes[int(row.Time.Sub(p.session.from)/time.Minute)]
					assert.Equal(t, minute.Settings, row.Methods[k].Settings)
					assert.Equal(t, minute.Outcome, row.Methods[k].Outcome)
					assert.Equal(t, minute.Power, row.Methods[k].Power)
				}
			}
		}
	}
}

// A row between two minutes stands as the run left it, and says truly what
// that comes to.
func TestRowsBetweenMinutes(t *testing.T) {
	s := testShoot()
	s.When.Step = 29 * time.Second
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	for i := range p.Rows {
		row := &p.Rows[i]
		for k := range row.Methods {
			m := &row.Methods[k]
			exposed, ratio, _ := recomputed(s, &row.Moment, m)
			assert.InDelta(t, exposed, float64(m.Exposure), 1e-6)
			assert.InEpsilon(t, ratio, m.Ratio, 1e-6)
		}
	}
}

// The light side is where the sun reaches the face longest; where it goes far
// over to the other side the window breaks, and the flash moves only if that
// is worth it.
func TestKeySideAndMarkedBreak(t *testing.T) {
	s := testShoot()
	s.Subject.Facing = scene.Facing{Azimuth: sky.Degrees(180)} // the sun crosses the axis at noon
	s.When.From, s.When.To = shoot.Instant{Offset: 9 * time.Hour}, shoot.Instant{Offset: 15 * time.Hour}
	n, err := newSession(s)
	require.NoError(t, err)
	list := n.stretchesOf(n.minutes(t.Context()))
	require.Len(t, list, 2)
	// Looking north at the sitter, the morning's sun stands to the right.
	assert.Equal(t, scene.Right, list[0].key)
	assert.Equal(t, scene.Left, list[1].key)
	sun := n.observer.Sun(list[1].from)
	assert.InDelta(t, 20, scene.Aside(sun, sky.Degrees(180)).Degrees(), 0.3)

	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	for i := range p.Runs {
		r := &p.Runs[i]
		if len(r.Places) == 2 {
			assert.Equal(t, list[1].from, r.Places[1].From.UTC().In(list[1].from.Location()))
		}
	}

	t.Run("backlit the side is the shoot's, or the left", func(t *testing.T) {
		s := testShoot()
		n, err := newSession(s)
		require.NoError(t, err)
		assert.Equal(t, scene.Left, n.stretchesOf(n.minutes(t.Context()))[0].key)
		s.Stand.Side = scene.Right
		assert.Equal(t, scene.Right, n.stretchesOf(n.minutes(t.Context()))[0].key)
	})
	t.Run("a stated place is kept", func(t *testing.T) {
		s := testShoot()
		angle := sky.Degrees(-20)
		s.Stand.Angle = &angle
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		for i := range p.Runs {
			require.Len(t, p.Runs[i].Places, 1)
			assert.Equal(t, angle, p.Runs[i].Places[0].Angle)
		}
	})
}

// Every cure brings the picture off when it is made.
func TestCuresWork(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	seen := map[CureKind]int{}
	for range 15 {
		s := randomShoot(r)
		s.Flash.Units, s.Flash.Distance = 1, 3
		s.When.Step = 30 * time.Minute
		p, err := Make(t.Context(), s)
		require.NoError(t, err)
		for i := range p.Rows {
			row := &p.Rows[i]
			for k := range row.Methods {
				for _, c := range row.Methods[k].Cures {
					seen[c.Kind]++
					checkCure(t, p, row, &row.Methods[k], c)
				}
			}
		}
	}
	t.Logf("cures tried: %v", seen)
	for _, kind := range []CureKind{TurnSitter, MoveFlash, ChangeFlashes, UseMethod, ChangeRatio, ChangeBackground, Wait,
		OpenShade, CarryReflector} {
		assert.NotZero(t, seen[kind], "kind %d never came", kind)
	}
}

// Too dark for the wanted aperture, a wider one or a tripod is named.
func TestCuresOfTheDark(t *testing.T) {
	s := testShoot()
	s.Lens.Wanted, s.Camera.Highest = aperture("5.6"), 6
	angle := sky.Degrees(30)
	s.Stand.Angle = &angle
	s.Look.AtMost = sky.Stops(math.Inf(1))
	s.When.From = shoot.Instant{Event: sky.Sunset, Offset: 32 * time.Minute}
	s.When.To = s.When.From
	s.Look.Kind, s.Look.Background = shoot.BackgroundLook, 1
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	m := &p.Rows[0].Methods[0]
	require.Equal(t, Missed, m.Outcome)
	require.Equal(t, TooDark, m.Problem.Kind, "%+v", m)
	kinds := map[CureKind]bool{}
	for _, c := range m.Cures {
		kinds[c.Kind] = true
		checkCure(t, p, &p.Rows[0], m, c)
	}
	assert.True(t, kinds[ChangeAperture] || kinds[SlowShutter], "%v", m.Cures)
}

// checkCure makes the change in the shoot and solves the moment anew.
func checkCure(t *testing.T, p *Plan, row *Row, s *Solution, c Cure) {
	changed := *p.Shoot
	m := row.Moment
	angle, method := s.Angle, s.Method
	switch c.Kind {
	case MoveFlash:
		changed.Flash.Distance = c.Value
	case ChangeFlashes:
		require.LessOrEqual(t, c.Value, 4.)
		changed.Flash.Units = int(c.Value)
	case ChangeAperture:
		changed.Lens.Wanted = c.Aperture
	case SlowShutter:
		changed.Lens.Slowest = c.Shutter
	case ChangeRatio:
		changed.Look.Ratio = c.Value
	case ChangeBackground:
		if changed.Look.Kind == shoot.BackgroundLook {
			changed.Look.Background = sky.Stops(c.Value)
		} else {
			changed.Look.AtMost = sky.Stops(c.Value)
		}
	case UseMethod:
		method = c.Method
	case OpenShade:
		require.Equal(t, shoot.OpenShade, c.Method)
		require.Equal(t, changed.Shade.SkyShare, c.Value)
		method = c.Method
	case CarryReflector:
		panel, known := *changed.Reflector, c.Name == changed.Reflector.Name
		if !known {
			panel, known = changed.Kit.Reflector(c.Name)
		}
		require.True(t, known, c.Name)
		panel.Distance, panel.Angle = changed.Reflector.Distance, sky.Degrees(c.Value)
		changed.Reflector, method = &panel, c.Method
	case TurnFlash:
		angle = sky.Degrees(c.Value)
	default:
		return
	}
	again := NewSolver(&changed).Solve(method, &m, angle, s.Gel)
	assert.True(t, again.Outcome.Succeeds(), "%+v of %v: %+v", c, s.Problem, again.Problem)
}

func BenchmarkMake(b *testing.B) {
	s := testShoot()
	for b.Loop() {
		if _, err := Make(b.Context(), s); err != nil {
			b.Fatal(err)
		}
	}
}
