package plan

import (
	"math"
	"testing"

	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

// ratioLook is a look with a ratio and no limit for the background.
func ratioLook(r float64) *shoot.Look {
	return &shoot.Look{Kind: shoot.RatioLook, Ratio: r, AtMost: sky.Stops(math.Inf(1))}
}

// What a look asks of a face in the two planes: worked examples of the
// relations H0 = R far or near + (near - R far) / (R - 1), F = sqrt(a^2 + b^2),
// tan phi = (a - b) / (a + b), by hand.
func TestAsked(t *testing.T) {
	for _, c := range []struct {
		name          string
		near, far, r  sky.Lux
		background    sky.Lux // light that the background asks for; 0 for none
		wanted, flash float64
		degrees       float64
	}{
		{"key", 1000, 1000, 3, 0, 3000, 2000, 45},
		{"fill", 8000, 1000, 3, 0, 10500, 3536, 0},
		{"no flash", 3000, 1000, 3, 0, 3000, 0, 0},
		{"background decides", 1000, 1000, 3, 12000, 12000, 11402, 29.7},
	} {
		look := ratioLook(float64(c.r))
		known := c.background > 0
		background := exposure.EV(0)
		if known {
			look.AtMost = 1.5
			background = exposure.Incident(c.background).Plus(1.5)
		}
		a := askedOf(look, c.near, c.far, background, known)
		assert.InDelta(t, c.wanted, float64(a.Wanted), 0.5, c.name)
		assert.InDelta(t, c.flash, float64(a.Flash), 0.5, c.name)
		if c.flash > 0 {
			assert.InDelta(t, c.degrees, a.Angle.Degrees(), 0.05, c.name)
		}
	}
}

// The flash at a place: worked examples, by hand, exact R = 3.
func TestFlashForRatioAtAPlace(t *testing.T) {
	for _, c := range []struct {
		near, far, degrees, flash float64
	}{
		{1000, 1000, 30, 10560}, {8000, 1000, 15, 7886}, {8000, 1000, 0, 3536}, {8000, 1000, -15, 2383},
		{3000, 1000, 20, 0},
		{1000, 1000, 45, 2000},
		{1000, 1000, 0, 2000 / math.Sqrt(0.5)}, // cannot reach it: the key side gets R far
		{8000, 1000, 45, 0},                    // cannot reach it: a fill gives nothing
	} {
		p := lampAt(sky.Degrees(c.degrees))
		flash := float64(p.forRatio(sky.Lux(c.near), sky.Lux(c.far), 3))
		assert.InDelta(t, c.flash, flash, 0.0005*c.flash, "%+v: the figures are rounded to four digits", c)
	}
}

// The one flash that the look asks for gives both sides just what they lack,
// whatever the ambient light.
func TestFreeFlashGivesBothSidesTheirLight(t *testing.T) {
	for near := 100.; near < 1e5; near *= 1.7 {
		for far := 100.; far < 1e5; far *= 1.9 {
			for _, r := range []float64{1.5, 2, 3, 6} {
				a := askedOf(ratioLook(r), sky.Lux(near), sky.Lux(far), 0, false)
				p := lampAt(a.Angle)
				assert.InEpsilon(t, float64(a.OnKey)+1, p.key*float64(a.Flash)+1, 1e-6)
				assert.InEpsilon(t, float64(a.OnShadow)+1, p.shadow*float64(a.Flash)+1, 1e-6)
				key, shadow := near+float64(a.OnKey), far+float64(a.OnShadow)
				assert.InEpsilon(t, r, key/shadow, 1e-6, "near %g far %g", near, far)
				assert.GreaterOrEqual(t, float64(a.Wanted)+1e-6, near, "a flash adds light")
			}
		}
	}
}

func TestOutcome(t *testing.T) {
	const third = 1. / 3
	for _, c := range []struct {
		kind   shoot.LookKind
		off    offsets
		within sky.Stops
		soft   bool
		want   Outcome
	}{
		{shoot.RatioLook, offsets{}, third, false, Held},
		{shoot.RatioLook, offsets{third, third, third}, third, false, Held},
		{shoot.RatioLook, offsets{-third, -third, -5}, third, false, Held},
		{shoot.RatioLook, offsets{0.34, 0, 0}, third, false, Missed},
		{shoot.RatioLook, offsets{-0.34, 0, 0}, third, false, Missed},
		{shoot.RatioLook, offsets{0, 0.34, 0}, third, false, Missed},
		{shoot.RatioLook, offsets{0, -0.34, 0}, third, false, Softer},
		{shoot.RatioLook, offsets{0, -1, 0}, third, false, Softer},
		{shoot.RatioLook, offsets{0, -1.01, 0}, third, false, Missed},
		{shoot.RatioLook, offsets{0, -3, 0}, third, true, Softer},
		{shoot.RatioLook, offsets{0, -3, 0.4}, third, true, Missed},
		{shoot.RatioLook, offsets{0, 0, 0.34}, third, false, Missed},
		{shoot.BackgroundLook, offsets{0, 0, -0.34}, third, false, Missed},
		{shoot.BackgroundLook, offsets{0, 0, -0.3}, third, false, Held},
		{shoot.BackgroundLook, offsets{0, -0.9, 0.3}, third, false, Softer},
		{shoot.RatioLook, offsets{0.5, 0.5, 0.5}, coarseTolerance, false, Held},
		{shoot.RatioLook, offsets{0.51, 0, 0}, coarseTolerance, false, Missed},
	} {
		assert.Equal(t, c.want, c.off.outcome(c.kind, c.within, c.soft), "%+v", c)
	}
	assert.Equal(t, usualTolerance, Tolerance(&exposure.Camera{Click: exposure.Third}))
	assert.Equal(t, usualTolerance, Tolerance(&exposure.Camera{Click: exposure.Half}))
	assert.Equal(t, coarseTolerance, Tolerance(&exposure.Camera{Click: exposure.Full}))
}
