package explain

import (
	"fmt"
	"math"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// askedFor is a moment that has only the two sides of the face, and what its
// picture must come to, worked out apart from the templates.
type askedFor struct {
	near, far, ratio float64
	hx               float64 // 0 where the background is let go
	held             bool
}

// picture works the relations out with nothing but the standard library.
func (a askedFor) picture(phi float64) *Picture {
	const degree = math.Pi / 180
	p := &Picture{}
	p.Face = FaceLight{SunAltitude: sky.Degrees(20), FromCamera: sky.Degrees(180), Theta: sky.Degrees(160),
		KeySky: sky.Lux(a.near) - 100, ShadowSky: sky.Lux(a.far) - 100, Ground: 100,
		Near: sky.Lux(a.near), Far: sky.Lux(a.far)}
	h0 := a.ratio * a.far
	if a.near >= h0 {
		h0 = a.near + (a.near-a.ratio*a.far)/(a.ratio-1)
	}
	h := h0
	p.Look = Asked{Ratio: a.ratio, Held: a.held, Within: 1. / 3}
	if a.hx > 0 {
		p.Look.Behind, p.Look.Offset = &Behind{"EVb", exposure.EV(math.Log2(a.hx/2.5) + 1.5)}, 1.5
		h = math.Max(h0, a.hx)
		if a.held {
			h = a.hx
		}
	}
	fa, fb := math.Max(0, h-a.near), math.Max(0, h/a.ratio-a.far)
	p.Look.Asked = plan.Asked{ByRatio: sky.Lux(h0), ByBackground: sky.Lux(a.hx), Wanted: sky.Lux(h), OnKey: sky.Lux(fa),
		OnShadow: sky.Lux(fb), Flash: sky.Lux(math.Hypot(fa, fb)), Angle: sky.Angle(math.Atan2(fa-fb, fa+fb))}
	ca, cb := math.Cos((45-phi)*degree), math.Cos((45+phi)*degree)
	p.Place = FlashPlace{Angle: sky.Degrees(phi), Key: ca, Shadow: cb, Aim: a.ratio,
		ToBackground: sky.Lux((a.hx - a.near) / ca)}
	aim, sixth := a.ratio, math.Exp2(1./6)
	switch ambient := a.near / a.far; {
	case ambient < a.ratio/sixth:
		aim = a.ratio / sixth
	case ambient > a.ratio*sixth:
		aim = a.ratio * sixth
	}
	lacks, turns := aim*a.far-a.near, ca-aim*cb
	f := 0.
	switch {
	case aim == a.ratio:
		p.Place.Reach = plan.RatioNear
	case lacks*turns > 0:
		p.Place.Reach, f = plan.Reached, lacks/turns
	case lacks > 0:
		p.Place.Reach, f = plan.KeyAlone, lacks/ca
	default:
		p.Place.Reach = plan.FillUseless
	}
	p.Place.Aim, p.Place.ForRatio = aim, sky.Lux(f)
	if a.held {
		f = 0
	}
	if a.hx > 0 {
		f = math.Max(f, (a.hx-a.near)/ca)
	}
	p.Place.Light, p.Place.Target = sky.Lux(f), exposure.EV(math.Log2((a.near+ca*f)/2.5))
	if a.held {
		p.Place.Target = exposure.EV(math.Log2(h / 2.5))
	}
	p.settle(f)
	return p
}

// settle takes the picture at f/4, 1/128 s, ISO 200, with a flash that gives
// half of full power.
func (p *Picture) settle(f float64) {
	set := exposure.Settings{Aperture: 24, Shutter: 42, ISO: 6}
	t, need, ev := 1./128, 250.*16/200, 4+7-1. // by hand
	unit := &flash.Unit{Guide: []flash.GuideNumber{{Zoom: 35, Number: 36}}, Derate: 0.7, RecycleFull: 3 * time.Second,
		RecycleFloor: 200 * time.Millisecond}
	p.Outcome.Settings = set
	added := 0.
	if f > 0 {
		full := f * t * 2                                            // half of it is asked
		area := math.Min(0.25*math.Pi, 2.5*36*36*math.Exp2(-2)/full) // of a source that gives it from near by
		d := math.Sqrt(2.5*36*36*math.Exp2(-2)/full - area/math.Pi)
		guide := flash.GuideWorking{GuideInUse: flash.GuideInUse{Number: 36, Zoom: 35}, From: unit.Guide[0],
			To: unit.Guide[0]}
		p.Flash = &Flash{GuideWorking: guide, Units: 1, Distance: d, Area: area,
			Outdoors: 0.7, Modifier: 1.3, Full: exposure.LuxSeconds(full), Shutter: 42,
			Available: exposure.LuxSeconds(full),
			Power:     -6, Added: exposure.LuxSeconds(full / 2), Recycle: 1.5, Unit: unit}
		p.Flash.Wanted = p.inFrame()
		added = full / 2
	}
	near, far := float64(p.Face.Near)*t, float64(p.Face.Far)*t
	key, shadow := added*p.Place.Key, added*p.Place.Shadow
	const lit, camera = 30000, 900
	p.Outcome = Outcome{Settings: set, Lit: lit, Camera: camera, KeyFlash: exposure.LuxSeconds(key),
		ShadowFlash: exposure.LuxSeconds(shadow),
		Exposure:    sky.Stops(math.Log2((near + key) / need)), Ratio: (near + key) / (far + shadow),
		Rim:      sky.Stops(math.Log2(lit * t / need)),
		Face:     sky.Stops(math.Log2((camera*t + added*math.Cos(float64(p.Place.Angle))) / need)),
		Headroom: 1, Meter: math.Sqrt(added * 200 / 250)}
	if p.Look.Behind != nil {
		p.Outcome.Background = sky.Stops(float64(p.Look.Behind.EV) - ev)
	}
}

// fixed fixes the sun's angle, which the cases of askedFor do not turn on.
func (p *Picture) fixed() *Picture {
	p.Face.Theta = sky.Angle(math.Acos(math.Cos(float64(p.Face.SunAltitude)) * math.Cos(float64(p.Face.FromCamera))))
	return p
}

// With the sun behind, a ratio of 3:1 and the figures worked by hand: the one
// flash that brings both sides, and what a place needs. Near is the sky's light
// alone; F 2000 at 45 deg adds 2000 lx on the key side, so that 3000 stand
// against 1000; 11402 at 29.7 deg adds 11000 and 3000, 12000 against 4000.
func TestPictureByHand(t *testing.T) {
	for _, c := range []struct {
		askedFor
		h, f, phi float64
	}{
		{askedFor{1000, 1000, 3, 0, false}, 3000, 2000, 45},
		{askedFor{8000, 1000, 3, 0, false}, 10500, 3535.53, 0},
		{askedFor{3000, 1000, 3, 0, false}, 3000, 0, 0},
		{askedFor{1000, 1000, 3, 12000, false}, 12000, 11401.8, 29.7449},
	} {
		groups := c.picture(30).fixed().Groups()
		follow(t, groups, map[string]float64{}, fmt.Sprint(c))
		assert.InDelta(t, c.h, worked(t, groups, "H"), 0.01, c)
		assert.InDelta(t, c.f, worked(t, groups, "Ff"), 0.05, c)
		if c.f > 0 {
			assert.InDelta(t, c.phi, worked(t, groups, "φf"), 0.0001, c)
		}
	}
	// From a place the ratio is brought within a sixth of a stop: to 3 * 2^(-1/6)
	// = 2.672696 where it lacks, to 3.367386 where it is too much.
	for _, c := range []struct {
		askedFor
		phi, f float64
	}{
		{askedFor{1000, 1000, 3, 0, false}, 30, 6100.70},  // 1672.696 / (0.965926 - 2.672696 * 0.258819)
		{askedFor{1000, 1000, 3, 0, false}, 0, 2365.55},   // cannot: 1672.696 / 0.707107
		{askedFor{8000, 1000, 3, 0, false}, 15, 5665.64},  // 4632.614 / (3.367386 / 2 - 0.866025)
		{askedFor{8000, 1000, 3, 0, false}, 0, 2767.40},   // 4632.614 / (0.707107 * 2.367386)
		{askedFor{8000, 1000, 3, 0, false}, -15, 1917.28}, // 4632.614 / (3.367386 * 0.866025 - 1 / 2)
		{askedFor{8000, 1000, 3, 0, false}, 45, 0},
	} {
		groups := c.picture(c.phi).fixed().Groups()
		follow(t, groups, map[string]float64{}, fmt.Sprint(c))
		assert.InDelta(t, c.f, worked(t, groups, "F"), 0.1, c)
	}
}

// worked evaluates the template of the step that defines a symbol.
func worked(t *testing.T, groups []Group, symbol string) float64 {
	t.Helper()
	for _, g := range groups {
		for i := range g.Steps {
			if s := &g.Steps[i]; s.Symbol == symbol {
				v, err := s.Evaluate()
				require.NoError(t, err)
				return v
			}
		}
	}
	require.Fail(t, "no such step", symbol)
	return 0
}

// The same over lights, ratios, backgrounds and places, with and without flash.
func TestPictures(t *testing.T) {
	seen := map[string]int{}
	for _, near := range []float64{300, 1000, 3000, 8000, 50000} {
		for _, ratio := range []float64{1.5, 3, 8} {
			for _, hx := range []float64{0, 2000, 12000} {
				for _, held := range []bool{false, true} {
					for phi := -45.; phi <= 45; phi += 15 {
						a := askedFor{near, 1000, ratio, hx, held && hx > 0}
						p := a.picture(phi).fixed()
						if near == 50000 { // with the sun in front, up to where it no longer reaches the key side
							p.Face.FromCamera, p.Face.KeySky = sky.Degrees(2*phi), 1900
							p.fixed()
							p.Face.Beam = sky.Lux((near - 2000) / math.Cos(math.Max(0,
								float64(p.Face.Theta)-math.Pi/4)))
						}
						groups := p.Groups()
						follow(t, groups, map[string]float64{}, fmt.Sprintf("%+v at %g", a, phi))
						for _, g := range groups {
							for _, s := range g.Steps {
								seen[s.Title]++
							}
						}
						if p.Place.Light > 0 {
							assert.InDelta(t, float64(p.Place.Light), worked(t, groups, "F"), 1e-6)
						}
					}
				}
			}
		}
	}
	for _, title := range []string{"Flash for the ratio", "Flash for the background", "Headroom",
		"Background against normal", "Face against normal", "F-number of a flash meter at the face"} {
		assert.Positive(t, seen[title], title)
	}
}

// A guide number beyond the table's zoom is scaled and marked.
func TestFlashEstimated(t *testing.T) {
	a := askedFor{1000, 1000, 3, 0, false}
	p := a.picture(45).fixed()
	p.Flash.Estimated, p.Flash.Curve = true, [2]float64{0.6, 0.9}
	p.Flash.From.Number = 24
	groups := p.Groups()
	follow(t, groups, map[string]float64{}, "estimated")
	assert.InDelta(t, 36, worked(t, groups, "GN"), 1e-9)
}

// Groups returns the steps of the picture alone.
func (p *Picture) Groups() []Group {
	w := after(nil)
	w.beforeSettings(p)
	w.afterSettings(p)
	return w.finished()
}
