package explain

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// evening is a shoot on the English south coast.
func evening() *shoot.Shoot {
	unit := &flash.Unit{
		Name: "speedlight", Guide: []flash.GuideNumber{{Zoom: 24, Number: 28}, {Zoom: 50, Number: 42},
			{Zoom: 200, Number: 60}},
		LowestPower: -42, Click: exposure.Third, HighSpeed: true, Plateau: flash.PlateauEquivalent,
		Derate: flash.OutdoorDerate, RecycleFull: 3 * time.Second, RecycleFloor: 200 * time.Millisecond, FlashesPerSet: 200, BurstLimit: 20, BurstRest: 5 * time.Minute,
	}
	return &shoot.Shoot{
		Place: shoot.Place{Site: sky.Place{Latitude: sky.Degrees(50.72), Longitude: sky.Degrees(-1.88), Elevation: 4},
			Zone: time.FixedZone("BST", 3600), Ground: 0.2},
		When: shoot.When{Date: shoot.Date{Year: 2026, Month: time.September, Day: 12}, Step: time.Hour,
			From: shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour},
			To:   shoot.Instant{Event: sky.Sunset, Offset: -118 * time.Minute}},
		Sky: []shoot.SkySpan{{}},
		Subject: shoot.Subject{Facing: scene.Facing{Side: scene.Backlit}, Figure: scene.HeadAndShoulders,
			SkyAltitude: sky.Degrees(10), CameraDistance: 2},
		Look: shoot.Look{Kind: shoot.RatioLook, Ratio: 3, AtMost: shoot.UsualBackgroundLimit},
		Camera: exposure.Camera{Name: "full-frame body", Click: exposure.Third, ISOClick: exposure.Third,
			Sync: 48, Fastest: 78, Lowest: 0, Highest: 30},
		Frame: 24, Held: scene.Portrait,
		Lens: exposure.Lens{Name: "85 mm f/1.8", FocalLength: 85, Widest: 10, Narrowest: 48, Wanted: 18,
			Slowest: 42},
		Flash: flash.Head{Unit: unit, Units: 1, Distance: 2,
			Modifier: flash.Modifier{Name: "softbox", Loss: 1.5, Size: 0.6, Zoom: 40}},
		Filters: []shoot.Filter{{Name: "ND8", Loss: 3}},
		Pace:    shoot.Pace{FramesPerMinute: 6},
		Methods: shoot.AllMethods[:],
	}
}

// among picks one of a list.
func among[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// from picks a number of a range.
func from(r *rand.Rand, low, high float64) float64 { return low + r.Float64()*(high-low) }

// anyShoot is a shoot with nothing about it usual.
func anyShoot(r *rand.Rand) *shoot.Shoot {
	s := evening()
	s.Place.Site = sky.Place{Latitude: sky.Degrees(from(r, -60, 60)), Longitude: sky.Degrees(from(r, -5, 5)),
		Elevation: among(r, 0, 4, 2300.)}
	s.Place.Ground = from(r, 0.05, 0.8)
	if r.IntN(3) == 0 {
		s.Place.Horizon = sky.Horizon{{Azimuth: 0, Altitude: sky.Degrees(1)}, {Azimuth: sky.Degrees(190),
			Altitude: sky.Degrees(from(r, 0, 20))},
			{Azimuth: sky.Degrees(300), Altitude: 0}}
	}
	s.When.Date = shoot.Date{Year: 2026, Month: time.Month(1 + r.IntN(12)), Day: 1 + r.IntN(28)}
	event := among(r, sky.Sunset, sky.Sunset, sky.SolarNoon, sky.Sunrise)
	begins := time.Duration(r.IntN(360)-300) * time.Minute
	s.When.From = shoot.Instant{Event: event, Offset: begins}
	s.When.To = shoot.Instant{Event: event, Offset: begins + 2*time.Minute}
	s.Sky = []shoot.SkySpan{{Condition: among(r, conditions()...)}}
	s.Learned = anyLearned(rand.New(rand.NewPCG(uint64(s.When.Date.Day), uint64(begins))), s.Sky[0].Condition)
	s.Subject.Facing = among(r, scene.Facing{Side: scene.Backlit}, scene.Facing{Side: scene.FrontLit},
		scene.Facing{Azimuth: sky.Degrees(from(r, 0, 360))})
	s.Subject.Figure = among(r, scene.HeadAndShoulders, scene.FullLength)
	s.Subject.SkyAltitude = sky.Degrees(among(r, 0, 10, 45.))
	s.Subject.CameraDistance = among(r, 2, 4.)
	s.Subject.Background = among(r, scene.Background{}, scene.Background{}, scene.Background{Kind: scene.Sunlit,
		Reflectance: 0.3},
		scene.Background{Kind: scene.Shaded, Reflectance: 0.1})
	s.Lens.FocalLength, s.Held = among[exposure.Millimetres](r, 24, 50, 85, 135), among(r, scene.Portrait, scene.Landscape)
	s.Look = among(r, shoot.Look{Kind: shoot.RatioLook, Ratio: from(r, 1.2, 8), AtMost: sky.Stops(from(r, -1, 3))},
		shoot.Look{Kind: shoot.RatioLook, Ratio: from(r, 1.2, 8), AtMost: sky.Stops(math.Inf(1)), Bias: -0.4},
		shoot.Look{Kind: shoot.BackgroundLook, Ratio: from(r, 1.2, 8), Background: sky.Stops(from(r, -2, 2)),
			Bias: 0.5})
	if r.IntN(2) == 0 {
		angle := sky.Degrees(from(r, -44, 45))
		s.Stand = shoot.FlashPlace{Angle: &angle, Side: among(r, 0, scene.Left, scene.Right)}
	}
	anyKit(r, s)
	return s
}

// anyKit gives a shoot another kit.
func anyKit(r *rand.Rand, s *shoot.Shoot) {
	unit := *s.Flash.Unit
	s.Flash.Unit = &unit
	switch r.IntN(4) {
	case 0: // a strobe without zoom, in a modifier that two losses are stated of
		unit.Guide = []flash.GuideNumber{{Number: 68}}
		s.Flash.Modifier = flash.Modifier{Name: "box", Loss: 1.3, ReflectorLoss: 2.3, Size: 0.75, Width: 0.9,
			Length: 0.6, Zoom: 35}
	case 1: // one row, beside the zoom it is used at
		unit.Guide = []flash.GuideNumber{{Zoom: 105, Number: 43}}
	case 2: // bare
		s.Flash.Modifier, s.Flash.Zoom = flash.Modifier{}, among(r, 0, 35, 50.)
	}
	if r.IntN(3) == 0 {
		unit.Losses = []flash.SpeedLoss{{Shutter: 50, Loss: 2.4}, {Shutter: 66, Loss: 5}}
	}
	s.Flash.Units, s.Flash.Distance = 1+r.IntN(3), from(r, 0.6, 5)
	if r.IntN(2) == 0 {
		s.Wish = among(r, flash.ColourWish{Kind: flash.WarmerThanLight, Warmer: 30},
			flash.ColourWish{Kind: flash.MatchLight})
		s.Gels = []flash.Gel{{Name: "half CTO", Loss: 0.5, Shift: 81}, {Name: "quarter CTO", Loss: 0.3, Shift: 42}}
	}
	if r.IntN(3) == 0 {
		s.Rim = &shoot.Rim{Head: s.Flash, Over: 0.5}
	}
	if f := rand.New(rand.NewPCG(11, uint64(1e6*s.Flash.Distance))); f.IntN(2) == 0 {
		beside := s.Flash
		beside.Unit, beside.Units, beside.Distance = fillUnit(s.Flash.Unit), 1+f.IntN(2), from(f, 0.8, 3)
		s.Fill = &shoot.Fill{Head: beside, Angle: sky.Degrees(among(f, 0., 0, 10, -20, 35))}
	}
	s.Scrim = among(r,
		&scene.Scrim{Name: "overhead", Width: 1.2, Length: 1.8, Loss: 1.5, Height: 0.7, Tilt: sky.Degrees(20),
			Reach: 0.5},
		&scene.Scrim{Name: "aimed", Width: 1.8, Length: 2.4, Loss: 1, Distance: 1, StraightShare: 0.5},
		&scene.Scrim{Name: "silk", Width: 2.4, Length: 2.4, Loss: 0.6, Height: 0.9, Tilt: sky.Degrees(30),
			Reach: 1, StraightShare: 0.3})
	q := rand.New(rand.NewPCG(9, uint64(1e6*s.Flash.Distance)))
	s.Shade.SkyShare = from(q, 0.1, 1)
	s.Reflector = among(q,
		&scene.Reflector{Name: "white", Width: 1, Length: 1.2, Reflectance: 0.8, Gain: 1, Distance: 1.5,
			Angle: sky.Degrees(from(q, -60, 60))},
		&scene.Reflector{Name: "silver", Width: 1.2, Length: 1.8, Reflectance: 0.85, Gain: 3, Distance: from(q, 0.5, 3),
			Angle: sky.Degrees(-30)},
		&scene.Reflector{Name: "tall", Width: 2, Length: 4, Reflectance: 0.3, Gain: 1, Distance: 2,
			Angle: sky.Degrees(-30)}, nil)
}

// fillUnit is a flash like another with clicks of its own.
func fillUnit(u *flash.Unit) *flash.Unit {
	unit := *u
	unit.RecycleFull *= 2
	return &unit
}

// conditions are all skies.
func conditions() []sky.Condition {
	list := []sky.Condition{sky.Oktas(0), sky.Oktas(0.5), sky.Oktas(4), sky.Oktas(7.9), sky.Oktas(8),
		sky.WithTurbidity(1), sky.WithTurbidity(6)}
	for _, w := range sky.Words {
		list = append(list, sky.Described(w))
	}
	return list
}

// follow holds every step against the arithmetic of its own template and
// returns how many it worked out: symbols are defined once, none is used for
// something else, and the right-hand side comes to the result that the model
// gave.
func follow(t *testing.T, groups []Group, known map[string]float64, where string) (steps int) {
	t.Helper()
	for _, g := range groups {
		require.NotEmpty(t, g.Steps, "%s: %s", where, g.Title)
		for i := range g.Steps {
			s := &g.Steps[i]
			at := where + ": " + s.Title
			require.NotEmpty(t, s.Title, where)
			require.NotEmpty(t, s.Formula(), at)
			require.False(t, math.IsNaN(s.Result), at)
			for _, v := range s.Values {
				if defined, ok := known[v.Symbol]; ok {
					require.InDelta(t, defined, v.Value, 1e-9*math.Abs(defined), "%s stands for two things in %s",
						v.Symbol, at)
				}
			}
			if s.Template != "" {
				got, err := s.Evaluate()
				require.NoError(t, err, at)
				if math.IsInf(s.Result, 0) {
					require.Equal(t, s.Result, got, at)
				} else {
					require.InDelta(t, s.Result, got, 1e-9*math.Abs(s.Result)+1e-9, "%s: %s; %s", at, s.Formula(),
						s.Numbers())
				}
				steps++
			}
			if s.Symbol != "" {
				if before, ok := known[s.Symbol]; ok {
					require.Equal(t, before, s.Result, "%s is defined twice", at) // told again beside what uses it
				}
				known[s.Symbol] = s.Result
			}
		}
	}
	return steps
}

// anyLearned returns what readings say of a sky: of one in four, something.
func anyLearned(r *rand.Rand, c sky.Condition) (list []shoot.Learned) {
	if r.IntN(4) > 0 {
		return nil
	}
	for k := range sky.Case(c.Cases()) {
		list = append(list, shoot.Learned{From: time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), Under: c, Case: k,
			By: sky.Correction{Turbidity: from(r, -2, 3), Beam: sky.Stops(from(r, -1, 1)),
				Sky: sky.Stops(from(r, -1, 1)), Told: from(r, 0, 1), SkyTold: from(r, 0, 1)}})
	}
	return list
}

// The arithmetic of every step comes to what the model says, and the figures
// shown are those of the solution: for shoots, moments, skies, looks, kits and
// places of all sorts.
func TestTemplatesGiveTheResults(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	r := rand.New(rand.NewPCG(7, 8))
	titles := map[string]int{}
	words := map[string]int{}
	moments, steps := 0, 0
	shoots := 70
	if os.Getenv("EVENFALL_LONG") != "" {
		shoots = 150
	}
	for i := range shoots {
		s := anyShoot(r)
		p, err := plan.Make(context.Background(), s)
		if err != nil { // that day has no such event
			continue
		}
		at, _ := p.Window()
		if i%3 == 0 { // outside the window
			at = at.Add(time.Duration(r.IntN(600)) * time.Minute)
		}
		for _, row := range p.At(at.Add(among(r, 0, 17*time.Second))) {
			where := fmt.Sprintf("shoot %d, %v, %v", i, s.Sky[0].Condition, at)
			e := Explain(p, &row)
			known := map[string]float64{}
			steps += follow(t, e.Light, known, where)
			answers(t, s, &row, e.Light, where)
			require.Len(t, e.Methods, len(row.Methods))
			moments++
			for _, m := range e.Methods {
				own := map[string]float64{}
				for k, v := range known {
					own[k] = v
				}
				steps += follow(t, m.Groups, own, where+" "+m.Solution.Method.String())
				methodAnswers(t, s, m, where)
				for _, g := range append(e.Light, m.Groups...) {
					for _, one := range g.Steps {
						titles[one.Title]++
						words[one.Words]++
					}
				}
			}
		}
	}
	t.Logf("%d moments, %d templates worked out", moments, steps)
	for _, title := range []string{"More loss near the horizon", "Clear twilight on the level",
		"Moonlight outside the air", "Direct moonlight, square to it", "Share of it that the skyline leaves",
		"Fading of the sunset side", "Share of the time that the sun is out",
		"The blue sky, on its way to twilight", "Share of the sky's light from the blue",
		"Its shadow on the ground, from the shadow side", "Part of the mean over the frame",
		"Of it above the horizon, from the key side", "Loss of high-speed sync", "Left over", "Rim over the key side",
		"Luminance of the sunlit background", "Background against its limit", "Background against what is asked",
		"Ratio that is near enough", "Light wanted of the flash in the frame",
		"Sky in the frame, high end of its band", "In open shade, key side",
		"Beside the reflector, key side without direct sun", "Between sitter and sun, seen from the reflector",
		"Of it above the horizon, from the shadow side", "Luminance of the reflector",
		"Turbidity before any reading",
		"Key beside the fill", "Fill beside the key", "F-number of a flash meter for the fill"} {
		assert.Positive(t, titles[title], title)
	}
	for _, one := range []string{"the place cannot reach the ratio: a key brings the key side to Ra far",
		"none: fill from this place does not bring it", "none: ambient light alone is within 1/6 stop of it",
		"what stands behind is not known", "the background may come out anyhow",
		"scaled along the typical zoom curve", "between two rows of the table", "down: no sun to keep off",
		"all of it: the shadow misses a part of the figure", "none above the skyline",
		"down: it would take more than it gives, or keep the sun off the face", "square to the sitter",
		"halfway between sitter and sun", "raised until the lower edge stands on the ground",
		"never more than the whole beam, within its own width",
		"none: this way of working has no flash in front", "none: the other does what is asked", "of the two the lesser"} {
		assert.Positive(t, words[one], one)
	}
}

// result returns that of the last step with a title.
func result(t *testing.T, groups []Group, title string) float64 {
	t.Helper()
	for i := len(groups) - 1; i >= 0; i-- {
		for j := len(groups[i].Steps) - 1; j >= 0; j-- {
			if groups[i].Steps[j].Title == title {
				return groups[i].Steps[j].Result
			}
		}
	}
	require.Fail(t, "no such step", title)
	return 0
}

// answers holds the steps of the light against the light of the row.
func answers(t *testing.T, s *shoot.Shoot, r *plan.Row, groups []Group, where string) {
	t.Helper()
	l, c := &r.Light, r.Light.Colour()
	want := map[string]float64{
		"Apparent altitude": r.Sun.Altitude.Degrees(), "Direct light, square to the beam": float64(l.DirectNormal),
		"Light of the sky on the level": float64(l.DiffuseHorizontal), "Light on the level": float64(l.Level),
		"Sky on the lit plane": float64(l.SkyLit), "Sky on the shaded plane": float64(l.SkyShade),
		"Ground on either plane": float64(l.Ground),
		"Lit side":               float64(exposure.Incident(l.Lit)), "Shade side": float64(exposure.Incident(l.Shade)),
		"Lit side, low end of the band": float64(l.LitBand.Low), "Shade side, high end": float64(l.ShadeBand.High),
		"Level, high end": float64(l.LevelBand.High), "Sky in the frame": l.BackdropShare,
		"Visible share of the disc": s.Place.Horizon.Visible(r.Sun),
	}
	if l.BackdropShare > 0 {
		want["Mean luminance of the sky in the frame"] = float64(l.Backdrop)
		want["Sky in the frame, low end of its band"] = float64(l.BackdropBand.Low)
	}
	if c.Lit > 0 {
		want["Colour temperature of the lit side"],
			want["Colour temperature of the shade side"] = float64(c.Lit), float64(c.Shade)
	}
	for title, v := range want {
		require.Equal(t, v, result(t, groups, title), "%s: %s", where, title)
	}
}

// methodAnswers holds the steps of a method against its solution.
func methodAnswers(t *testing.T, of *shoot.Shoot, m Method, where string) {
	t.Helper()
	s, look := m.Solution, &of.Look
	want := map[string]float64{"Exposed normally by these": float64(s.Settings.EV()),
		"Light for a normal exposure": float64(s.Settings.Need()),
		"Key side":                    float64(s.Ambient.Key), "Shadow side": float64(s.Ambient.Shadow),
		"Key side against normal and bias":             float64(s.Exposure),
		"Lighting ratio":                               s.Ratio,
		"Ambient light on the lit side against normal": float64(s.Rim),
		"Face against normal":                          float64(s.Face)}
	around, face := "", "face"
	switch {
	case s.ScrimUp:
		around = "Under the scrim, "
	case s.Reflected.Turn != scene.Down:
		around = "Beside the reflector, "
	case s.Method.UsesShade():
		around, face = "In open shade, ", "shade side and face"
	}
	if around != "" {
		delete(want, "Shadow side")
		want[around+"shadow side"], want[around+"lit side"] = float64(s.Ambient.Shadow), float64(s.Ambient.Lit)
		want[around+face], want["Direct sun that reaches the sitter"] = float64(s.Ambient.Face), float64(s.Ambient.Beam)
		if face == "face" {
			want[around+"shade side"] = float64(s.Ambient.Shade)
		}
	}
	want["Lighting ratio against the one asked"] = math.Log2(s.Ratio / look.Ratio)
	want["Camera above what the moment asks for"] = float64(s.Settings.EV()) - result(t, m.Groups,
		"Exposure that the moment asks for")
	if known(s.Background) {
		want["Background against normal"] = float64(s.Background)
		switch {
		case look.Kind == shoot.BackgroundLook:
			want["Background against what is asked"] = float64(s.Background - look.Background)
		case look.Kind == shoot.RatioLook && !math.IsInf(float64(look.AtMost), 1):
			want["Background against its limit"] = float64(s.Background - look.AtMost)
		}
	}
	if s.Role != plan.None {
		want["Flash on the key side"], want["Flash on the shadow side"] = float64(s.OnKey), float64(s.OnShadow)
		want["Headroom"] = float64(s.Headroom)
		if s.Fires() {
			want["F-number of a flash meter at the face"] = s.FlashReading()
		}
		if s.Fill.Fires() {
			want["F-number of a flash meter for the fill"] = s.Fill.Reading(s.Settings.ISO)
		}
		if s.RimFlash == nil && s.Fill == nil {
			if wanted := result(t, m.Groups, "Light wanted of the flash in the frame"); wanted > 0 {
				full := float64(s.Flash) / s.Power.Fraction()
				want["Full power above what is wanted"] = math.Log2(full / wanted)
			}
			want["Flash in the frame"], want["Recycling"] = float64(s.Flash), s.Recycle.Seconds()
		}
	}
	for title, v := range want {
		require.InDelta(t, v, result(t, m.Groups, title), 1e-9*math.Abs(v)+1e-8, "%s, %s: %s", where, s.Method, title)
	}
}

func known(s sky.Stops) bool { return !math.IsNaN(float64(s)) }
