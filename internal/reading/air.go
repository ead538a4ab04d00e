package reading

import (
	"math"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// The spread of days around a condition, as standard deviations: of the
// turbidity under a word, and where it is stated; of the sky's light beyond
// what its turbidity says, in stops, by day and with the sun down. Those by day
// are fitted to three years of measurements, each tried on the others
// (testdata/daylight); the other two are judgement, after the bands.
const (
	wordSpread   = 0.5
	statedSpread = 0.25
	skySpread    = 0.15
	duskSpread   = 0.35
	duskBegins   = 3 // deg of the sun, from where skySpread goes over to duskSpread at 0
)

// How long it takes until e times less of a departure holds: haze is the day's,
// what the sky's light has beyond it the hour's. Fitted likewise.
const (
	airLasts = 12 * time.Hour
	skyLasts = 150 * time.Minute
)

// mostTurbidity is where the search for a turbidity ends: beyond, the lit side
// under a high sun brightens again.
const mostTurbidity = 6.0

// air is what is known of a cloudless sky beyond its condition: how far its
// turbidity lies off, and in stops its light beyond that, with the covariance
// of what is open. Readings are taken in one after the other, each by what it
// tells on top of those before (an extended Kalman filter); between them what
// is known fades toward the spread of days.
type air struct {
	at                         time.Time
	usual                      float64 // turbidity of the condition
	turbidity, sky             float64
	openAir, openSky, openBoth float64
	spread                     float64 // of the turbidity, variance
	skySpread                  float64 // variance
}

// newAir is what is known before any reading.
func newAir(c sky.Condition, usual float64) *air {
	spread := wordSpread
	if !isWord(c) && c != sky.Oktas(0) {
		spread = statedSpread
	}
	return &air{usual: usual, spread: spread * spread, openAir: spread * spread}
}

// isWord reports whether a condition is named by a word.
func isWord(c sky.Condition) bool {
	for _, w := range sky.Words {
		if c == sky.Described(w) {
			return true
		}
	}
	return false
}

// until lets what is known fade up to a time with the sun at an altitude.
func (a *air) until(t time.Time, altitude sky.Angle) {
	share := max(0, min(1-altitude.Degrees()/duskBegins, 1))
	now := skySpread + share*(duskSpread-skySpread)
	a.openSky += max(0, now*now-a.skySpread) // what the dusk opens
	a.skySpread = now * now
	if !a.at.IsZero() {
		ofAir, ofSky := math.Exp(-float64(t.Sub(a.at))/float64(airLasts)), math.Exp(-float64(t.Sub(a.at))/float64(skyLasts))
		a.turbidity *= ofAir
		a.sky *= ofSky
		a.openAir = a.spread - (a.spread-a.openAir)*ofAir*ofAir
		a.openSky = a.skySpread - (a.skySpread-a.openSky)*ofSky*ofSky
		a.openBoth *= ofAir * ofSky
	}
	a.at = t
}

// What one reading does away with of the spread of days, by which the bands
// after readings were worked out: of the turbidity's under a sun of 15 deg, and
// of the sky's light beyond it.
const (
	fullyAir = 0.8
	fullySky = 0.4
)

// correction is what the light is to be corrected by.
func (a *air) correction() sky.Correction {
	told := func(open, spread, fully float64) float64 {
		return math.Sqrt(max(0, min((1-open/spread)/fully, 1)))
	}
	return sky.Correction{
		Turbidity: a.turbidity, Sky: sky.Stops(a.sky),
		Told: told(a.openAir, a.spread, fullyAir), SkyTold: told(a.openSky, a.skySpread, fullySky),
	}
}

// readIn takes a reading in: what was read of a plane, on the scale of stops,
// by a meter good to within, where plane gives what the model has of it under a
// correction. It returns the share of a departure that is carried on.
//
// It finds the turbidity and the sky's light for which the sum of three squares
// is least, each by its spread: the meter's error, and how far the two lie from
// what was known. It goes by Gauss and Newton, for light does not go straight
// with turbidity.
func (a *air) readIn(read, within float64, plane func(sky.Correction) float64) (weight float64) {
	const (
		rounds = 8
		h      = 0.05 // of the differences
		stride = 1.   // the most that the turbidity moves by in a round
	)
	least, most := min(sky.LowestTurbidity+h-a.usual, 0), max(mostTurbidity-a.usual, 0)
	model := func(turbidity, beyond float64) float64 {
		return plane(sky.Correction{Turbidity: turbidity, Sky: sky.Stops(beyond)})
	}
	x, y := a.turbidity, a.sky
	before := model(x, y)
	var byAir, bySky, gainAir, gainSky float64
	for range rounds {
		at := model(x, y)
		byAir = (model(x+h, y) - model(x-h, y)) / (2 * h)
		bySky = (model(x, y+h) - model(x, y-h)) / (2 * h)
		toAir := a.openAir*byAir + a.openBoth*bySky
		toSky := a.openBoth*byAir + a.openSky*bySky
		open := byAir*toAir + bySky*toSky
		gainAir, gainSky = toAir/(open+within*within), toSky/(open+within*within)
		weight = open / (open + within*within)
		miss := read - at - byAir*(a.turbidity-x) - bySky*(a.sky-y)
		nextX := x + max(-stride, min(a.turbidity+gainAir*miss-x, stride))
		x = max(least, min(nextX, most))
		y = a.sky + gainSky*miss
	}
	if off := read - before; math.Abs(off) > 0.01 {
		weight = (model(x, y) - before) / off // not all of it may fit into the range
	}
	a.turbidity, a.sky = x, y
	toAir := a.openAir*byAir + a.openBoth*bySky
	toSky := a.openBoth*byAir + a.openSky*bySky
	a.openAir -= gainAir * toAir
	a.openBoth -= gainAir * toSky
	a.openSky -= gainSky * toSky
	return weight
}

// fading is how what the air has told fades.
func (a *air) fading() shoot.Fading {
	return shoot.Fading{Turbidity: airLasts, Light: skyLasts, Told: airLasts, SkyTold: skyLasts}
}
