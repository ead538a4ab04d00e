package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
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
			Site: sky.Place{Latitude: sky.Degrees(54), Longitude: sky.Degrees(10)}, Zone: time.FixedZone("UTC+1", 3600), Ground: 0.2,
		},
		When: shoot.When{
			Date: shoot.Date{Year: 2027, Month: time.September, Day: 18},
			From: shoot.Instant{Event: sky.Sunset, Offset: -3 * time.Hour}, To: shoot.Instant{Event: sky.Sunset}, Step: 10 * time.Minute,
		},
		Sky:     []shoot.SkySpan{{Condition: sky.Described(sky.Clear)}},
		Subject: shoot.Subject{Facing: scene.Facing{Side: scene.Backlit}, Figure: scene.HeadAndShoulders, SkyAltitude: sky.Degrees(15)},
		Look:    shoot.Look{Kind: shoot.Ratio, Ratio: 3},
		Camera: exposure.Camera{
			Name: "body", Click: exposure.Third, ISOClick: exposure.Third,
			Sync: shutter("1/200"), Fastest: shutter("1/8000"), Lowest: 0, Highest: 36,
		},
		Lens: exposure.Lens{
			FocalLength: 85, Widest: aperture("1.8"), Narrowest: aperture("16"), Wanted: aperture("2.8"), Slowest: shutter("1/80"),
		},
		Flash: flash.Head{
			Unit: &flash.Unit{
				Name: "speedlight", Guide: []flash.GuideNumber{{Zoom: 24, Number: 28}, {Zoom: 50, Number: 42}, {Zoom: 105, Number: 58}, {Zoom: 200, Number: 60}},
				LowestPower: -48, Click: exposure.Third, HighSpeed: true, Plateau: flash.PlateauEquivalent, Derate: flash.OutdoorDerate,
				RecycleFull: 3, RecycleFloor: 0.2, FlashesASet: 150, BurstLimit: 20, BurstRest: 10,
			},
			Units: 2, Distance: 1.5, Zoom: 50, Modifier: flash.Modifier{Name: "softbox", Loss: 1.5, Size: 0.75, Zoom: 35},
		},
		Scrim:   &scene.Scrim{Name: "panel", Width: 1.2, Length: 1.8, Loss: 1, Distance: 1},
		Filters: []shoot.Filter{{Name: "ND 3", Loss: 3}, {Name: "ND 6", Loss: 6}},
		Pace:    shoot.Pace{FramesPerMinute: 6},
		Methods: shoot.Methods[:],
	}
}

// moment is a clear sky with the sun at an altitude, behind the subject.
func moment(s *shoot.Shoot, altitude float64) *Moment {
	sun := sky.Sun{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(240), Distance: 1}
	facing := s.Subject.Facing.At(sun.Azimuth)
	d := sky.NewDaylight(s.Place.Site, s.Place.Ground, nil)
	return &Moment{Sun: sun, Facing: facing, Light: d.At(sky.Condition{}, sky.SunOut, sun, sky.View{Facing: facing, Backdrop: s.Subject.SkyAltitude})}
}

// Ratio arithmetic of the lighting handbooks, (key + fill) : fill: R, stops
// between lit side and shade, key lamp over fill lamp in stops. Source: the
// definition of the lighting ratio.
func TestLightingRatios(t *testing.T) {
	for _, c := range []struct{ ratio, contrast, lamps float64 }{
		{1.5, 0.585, -1}, {2, 1, 0}, {2.5, 1.322, 0.585}, {3, 1.585, 1}, {4, 2, 1.585}, {5, 2.322, 2}, {8, 3, 2.807}, {16, 4, 3.907},
	} {
		// With no ambient on the lit side but the fill's, the flash is the key.
		role, key := fillOrKey(100, 100, c.ratio)
		assert.Equal(t, Key, role)
		assert.InDelta(t, c.contrast, math.Log2(float64((100+key)/100)), 5e-4, "ratio %g", c.ratio)
		assert.InDelta(t, c.lamps, math.Log2(float64(key/100)), 5e-4, "ratio %g", c.ratio)
		// The sun as key, the flash as fill on both sides.
		role, fill := fillOrKey(3200, 100, c.ratio)
		assert.Equal(t, Fill, role)
		assert.InEpsilon(t, c.ratio, float64((3200+fill)/(100+fill)), 1e-12)
	}
}

// What the flash adds runs through zero without a jump where fill turns into
// key, and has no more than the slope of the light itself.
func TestHandoverThroughZero(t *testing.T) {
	const shade = 1000
	last := math.NaN()
	for lit := 3300.0; lit >= 2700; lit -= 1 {
		role, added := fillOrKey(sky.Lux(lit), shade, 3)
		switch {
		case lit > 3000:
			assert.Equal(t, Fill, role)
		case lit < 3000:
			assert.Equal(t, Key, role)
		default:
			assert.Equal(t, None, role)
			assert.Zero(t, added)
		}
		if !math.IsNaN(last) {
			assert.LessOrEqual(t, math.Abs(float64(added)-last), 1.0+1e-9)
		}
		last = float64(added)
	}
}

// The plan of an afternoon: where a method holds the look, the rounded
// settings are within a sixth of a stop of it; where it does not, there is a
// reason with a size.
func TestPlanHoldsTheLook(t *testing.T) {
	for _, look := range []shoot.Look{
		{Kind: shoot.Ratio, Ratio: 3}, {Kind: shoot.Ratio, Ratio: 1.5, Bias: 0.5}, {Kind: shoot.Ratio, Ratio: 8, Bias: -1}, {Kind: shoot.DarkSky, Dark: 1.5},
	} {
		s := testShoot()
		s.Look = look
		p, err := Make(s)
		require.NoError(t, err)
		require.Len(t, p.Rows, 19)
		for _, r := range p.Rows {
			require.Len(t, r.Methods, len(s.Methods))
			for _, m := range r.Methods {
				if !m.Feasible {
					require.NotNil(t, m.Problem)
					assert.NotEmpty(t, m.Problem.Text)
					assert.Positive(t, float64(m.Problem.Misses), "%s %s %s", r.Time, m.Method, m.Problem.Text)
					continue
				}
				assert.LessOrEqual(t, float64(m.Exposure.Size()), 1./6+1e-9)
				if look.Kind == shoot.Ratio {
					assert.LessOrEqual(t, float64(sky.StopsOf(m.Ratio/look.Ratio).Size()), 1./6+1e-9)
				} else {
					assert.InDelta(t, -1.5, float64(m.Background), 1./6+1e-9)
				}
				assert.GreaterOrEqual(t, float64(m.Headroom), 0.0)
				if !m.Method.UsesHighSpeed() {
					assert.LessOrEqual(t, m.Settings.Shutter, s.Camera.Sync)
				}
			}
		}
	}
}

// More units or a shorter distance never reduces headroom: inverse square law
// and addition of lights.
func TestMoreLightNeverLessHeadroom(t *testing.T) {
	for _, altitude := range []float64{1, 4, 10, 25, 45} {
		for _, m := range shoot.Methods {
			last := math.Inf(-1)
			for units := 1; units <= 6; units++ {
				s := testShoot()
				s.Flash.Units = units
				got := NewSolver(s).Solve(m, moment(s, altitude))
				if got.Role == None {
					continue
				}
				assert.GreaterOrEqual(t, float64(got.Headroom), last-1e-9, "%s, %d units, sun at %g", m, units, altitude)
				last = float64(got.Headroom) - clickOfShutter(got)
			}
			last = math.Inf(-1)
			for d := 4.0; d > 0.5; d *= 0.9 {
				s := testShoot()
				s.Flash.Distance = d
				got := NewSolver(s).Solve(m, moment(s, altitude))
				if got.Role == None {
					continue
				}
				assert.GreaterOrEqual(t, float64(got.Headroom), last-1e-9, "%s at %.2f m, sun at %g", m, d, altitude)
				last = float64(got.Headroom) - clickOfShutter(got)
			}
		}
	}
}

// clickOfShutter is what headroom may move by when rounding takes the next
// time on the shutter: the flash goes with the ambient light it lets in. From
// a brisk program back to the usual one it moves by the whole range.
func clickOfShutter(s Solution) float64 {
	return float64(shutter("1/200")-shutter("1/80"))/6 + 1./3
}

// Common practice, no source: from f/2.8 at 1/3200 to f/2.8 at 1/8000 the
// ambient and the sky fall by 1 1/3 stop together.
func TestFasterShutterTakesAmbientAndSky(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	at := moment(s, 20)
	task := v.task(scene.Open(&at.Light), &at.Light)
	entryAt := func(speed string) *entry {
		e := newEntry(s, exposure.Settings{Aperture: aperture("2.8"), Shutter: shutter(speed)})
		return &e
	}
	slow, fast := v.try(&task, entryAt("1/3200"), None, 0, 0), v.try(&task, entryAt("1/8000"), None, 0, 0)
	assert.InDelta(t, 4./3, float64(slow.exposure-fast.exposure), 1e-9)
	assert.InDelta(t, 4./3, float64(fast.ev-slow.ev), 1e-9, "the sky against the setting")
}

// Common practice, no source: a large octa late in the afternoon lifts a face
// without overpowering the sun: the sun stays the key, the flash fills at no
// more than a fraction of its power from two metres.
func TestLargeOctaLiftsAFace(t *testing.T) {
	s := testShoot()
	s.Flash.Modifier = flash.Modifier{Name: "octa 150", Loss: 2, Size: 1.5, Zoom: 28}
	s.Flash.Distance = 2
	s.Flash.Unit.Guide = []flash.GuideNumber{{Zoom: 0, Number: 85}} // a battery strobe
	got := NewSolver(s).Solve(shoot.Sync, moment(s, 8))
	require.True(t, got.Feasible, "%+v", got.Problem)
	assert.Equal(t, Fill, got.Role)
	assert.Less(t, got.Power.Fraction(), 1.0)
	at := moment(s, 8)
	sun := float64(at.Light.Lit-at.Light.Shade) * got.Settings.Shutter.Seconds()
	assert.Less(t, float64(got.Added), sun, "the flash stays under the sun")
}

// At one ambient exposure and one aperture, high-speed sync costs
// log2(T_eq / t) against the sync speed, where the flash gives all it has.
func TestHighSpeedAgainstSync(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	at := func(speed string) float64 {
		e := newEntry(s, exposure.Settings{Shutter: shutter(speed)})
		return float64(sky.StopsOf(float64((&task{full: v.full}).available(&e) / v.full)))
	}
	assert.Zero(t, at("1/200"))
	assert.Zero(t, at("1/80"))
	assert.InDelta(t, -math.Log2(0.016*4096), at("1/4000"), 1e-9)
}

// High-speed sync is only used above the sync speed: at dusk the method comes
// to the same settings as sync.
func TestHighSpeedRestsAtDusk(t *testing.T) {
	s := testShoot()
	at := moment(s, -1)
	v := NewSolver(s)
	a, b := v.Solve(shoot.Sync, at), v.Solve(shoot.HSS, at)
	assert.Equal(t, a.Settings, b.Settings)
	assert.Equal(t, a.Power, b.Power)
}

// mirrored makes rows whose light is the same before and after a noon.
func mirrored(s *shoot.Shoot) []Row {
	var rows []Row
	noon := time.Date(2027, 6, 21, 12, 0, 0, 0, time.UTC)
	for i := -20; i <= 20; i++ {
		at := moment(s, 48-2.2*math.Abs(float64(i)))
		rows = append(rows, Row{Time: noon.Add(time.Duration(i) * 15 * time.Minute), Sun: at.Sun, Facing: at.Facing, Light: at.Light})
	}
	return rows
}

// The plan mirrored in time mirrors the settings on a symmetric day.
func TestSymmetricDay(t *testing.T) {
	s := testShoot()
	rows := mirrored(s)
	v := NewSolver(s)
	for i, m := range shoot.Methods {
		v.hold(rows, m, nearest)
		for a, b := 0, len(rows)-1; a < b; a, b = a+1, b-1 {
			x, y := rows[a].Methods[i], rows[b].Methods[i]
			assert.Equal(t, x.Settings, y.Settings, "%s, row %d", m, a)
			assert.Equal(t, x.Power, y.Power, "%s, row %d", m, a)
		}
	}
}

// Through falling light no control swings back and forth: a change is not
// undone by the next row.
func TestControlsDoNotChatter(t *testing.T) {
	s := testShoot()
	s.When.Step = 2 * time.Minute
	p, err := Make(s)
	require.NoError(t, err)
	for i := range s.Methods {
		swings := 0
		for r := 2; r < len(p.Rows); r++ {
			a, b, c := p.Rows[r-2].Methods[i], p.Rows[r-1].Methods[i], p.Rows[r].Methods[i]
			if a.Settings == c.Settings && a.Power == c.Power && (a.Settings != b.Settings || a.Power != b.Power) {
				swings++
			}
		}
		assert.Zero(t, swings, "%s", s.Methods[i])
	}
}

// Every cure is true, and no more than it need be: the shoot changed as it
// says holds the look, and a tenth of a metre farther or a unit fewer does not.
func TestCures(t *testing.T) {
	weak := testShoot()
	weak.Flash.Units, weak.Flash.Distance = 1, 2.5
	p, err := Make(weak)
	require.NoError(t, err)
	holds := func(r *Row, m shoot.Method, edit func(*shoot.Shoot)) bool {
		s := *weak
		edit(&s)
		return NewSolver(&s).Holds(m, r.Moment())
	}
	checked := map[string]int{}
	for i := range p.Rows {
		r := &p.Rows[i]
		for _, m := range r.Methods {
			if m.Feasible || m.Problem.Kind != TooWeak {
				continue
			}
			require.NotEmpty(t, m.Cures, "%s %s", r.Time, m.Method)
			for _, c := range m.Cures {
				var distance, was float64
				var units int
				if n, _ := fmt.Sscanf(c.Text, "flash at %f m instead of %f m", &distance, &was); n == 2 {
					checked["distance"]++
					at := func(d float64) bool { return holds(r, m.Method, func(s *shoot.Shoot) { s.Flash.Distance = d }) }
					assert.True(t, at(distance), "%s %s", m.Method, c.Text)
					assert.False(t, at(distance+0.2), "%s %s", m.Method, c.Text)
				}
				if n, _ := fmt.Sscanf(c.Text, "%d units instead of", &units); n == 1 {
					checked["units"]++
					with := func(n int) bool { return holds(r, m.Method, func(s *shoot.Shoot) { s.Flash.Units = n }) }
					assert.True(t, with(units), "%s %s", m.Method, c.Text)
					assert.False(t, with(units-1), "%s %s", m.Method, c.Text)
				}
				if strings.HasPrefix(c.Text, "bare head") {
					checked["bare"]++
					assert.True(t, holds(r, m.Method, func(s *shoot.Shoot) { s.Flash.Modifier, s.Flash.Zoom = flash.Modifier{}, 200 }))
				}
				if name, ok := strings.CutPrefix(c.Text, "method "); ok {
					checked["method"]++
					i := slices.IndexFunc(weak.Methods, func(m shoot.Method) bool { return m.String() == name })
					require.GreaterOrEqual(t, i, 0)
					assert.True(t, holds(r, weak.Methods[i], func(*shoot.Shoot) {}))
				}
			}
		}
	}
	t.Log(checked)
	for _, kind := range []string{"distance", "units", "bare", "method"} {
		assert.Positive(t, checked[kind], kind)
	}
}

// A look that nothing can bring about is said to be out of reach.
func TestOutOfReach(t *testing.T) {
	s := testShoot()
	s.Flash.Distance = 60
	p, err := Make(s)
	require.NoError(t, err)
	assert.True(t, p.OutOfReach())
	s = testShoot()
	p, err = Make(s)
	require.NoError(t, err)
	assert.False(t, p.OutOfReach(), "%+v", p.Methods)
}

// Where the sun is on the face, a dark sky may leave it too bright without
// any flash; that is said.
func TestAmbientOnFace(t *testing.T) {
	s := testShoot()
	s.Look = shoot.Look{Kind: shoot.DarkSky, Dark: -1}
	s.Subject.Facing = scene.Facing{Side: scene.FrontLit}
	got := NewSolver(s).Solve(shoot.Sync, moment(s, 30))
	require.False(t, got.Feasible)
	assert.Equal(t, AmbientOnFace, got.Problem.Kind)
	assert.Equal(t, None, got.Role)
	assert.Positive(t, float64(got.Exposure))
}

// What is not carried is said, not solved around.
func TestNotCarried(t *testing.T) {
	s := testShoot()
	s.Scrim, s.Filters = nil, nil
	v := NewSolver(s)
	assert.Equal(t, NoScrim, v.Solve(shoot.Scrim, moment(s, 20)).Problem.Kind)
	assert.Equal(t, NoFilter, v.Solve(shoot.ND, moment(s, 20)).Problem.Kind)
}

func BenchmarkTimeline(b *testing.B) {
	s := testShoot()
	for b.Loop() {
		if _, err := Make(s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkHolds is the inner loop of a search over dates: one method at one
// moment.
func BenchmarkHolds(b *testing.B) {
	s := testShoot()
	v := NewSolver(s)
	for _, m := range shoot.Methods {
		at := moment(s, 12)
		b.Run(m.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				v.Holds(m, at)
			}
		})
	}
}
