package reading

import (
	"math"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// persistence is how a departure of the light under cloud goes on: the share of
// a reading's that holds just after it, and how long it takes until e times
// less of it does.
type persistence struct {
	share float64
	lasts time.Duration
}

// persistenceOf is that of a condition with cloud, fitted to three years of
// measurements with a meter good to 0.1 stop, each year tried on the others
// (testdata/daylight). Some oktas count as broken cloud with the sun out, whose
// departures go on least: an estimate.
func persistenceOf(c sky.Condition, k sky.Case) persistence {
	switch {
	case c == sky.Described(sky.Thin):
		return persistence{0.57, 85 * time.Minute}
	case c == sky.Described(sky.Broken) && k == sky.SunIn:
		return persistence{0.54, 85 * time.Minute}
	case c == sky.Described(sky.Overcast), c == sky.Oktas(8):
		return persistence{0.91, 156 * time.Minute}
	case c == sky.Described(sky.Heavy):
		return persistence{0.79, 55 * time.Minute}
	}
	return persistence{0.35, 97 * time.Minute}
}

// departure is by how many stops a light is off, and what share of its spread
// is open. What does not go on from minute to minute counts as the meter's
// error, so that one reading leaves what persistence says; further ones are
// taken in by what they tell on top (a Kalman filter).
type departure struct {
	off  float64 // stops
	open float64 // share of the spread of days, 0 to that of persistence
}

// readIn takes in by how many stops a reading lies off, and returns the share of
// it that is carried on.
func (d *departure) readIn(offset float64, p persistence) (weight float64) {
	weight = d.open / (d.open + 1 - p.share)
	d.off += weight * (offset - d.off)
	d.open *= 1 - weight
	return weight
}

// fade lets what is known fade to what is left of it.
func (d *departure) fade(left float64, p persistence) {
	d.off *= left
	d.open = p.share - (p.share-d.open)*left*left
}

// told is how much is known.
func (d *departure) told(p persistence) float64 { return math.Sqrt(max(0, p.share-d.open)) }

// cloud is what is known of the light under cloud beyond its condition. Without
// sun all light goes together. Where the sun comes through, planes that it is
// most of the light on tell of the beam, and nothing of the sky: to shift both
// made the shade worse than no reading. The others tell of the sky.
type cloud struct {
	persistence
	at        time.Time
	sun       bool // comes through
	beam, sky departure
}

func newCloud(c sky.Condition, k sky.Case) *cloud {
	p := persistenceOf(c, k)
	return &cloud{persistence: p, sun: sunThrough(c, k), beam: departure{open: p.share}, sky: departure{open: p.share}}
}

// sunThrough reports whether the sun comes through the cloud of a condition.
func sunThrough(c sky.Condition, k sky.Case) bool {
	return k != sky.SunIn && c != sky.Described(sky.Overcast) && c != sky.Described(sky.Heavy) && c != sky.Oktas(8)
}

// until lets what is known fade up to a time.
func (c *cloud) until(t time.Time) {
	if !c.at.IsZero() {
		left := math.Exp(-float64(t.Sub(c.at)) / float64(c.lasts))
		c.beam.fade(left, c.persistence)
		c.sky.fade(left, c.persistence)
	}
	c.at = t
}

// readIn takes in by how many stops a reading lies off the condition's light,
// and returns the share of it that is carried on. sun is the share of the
// plane's light that is direct sun: where it is most of it, all that is off is
// put down to it, where it is some, to both alike.
func (c *cloud) readIn(offset, sun float64) (weight float64) {
	const most, some = 0.5, 0.1
	switch {
	case c.sun && sun > some && sun < most:
		c.beam.readIn(offset, c.persistence)
		fallthrough
	case !c.sun || sun <= some:
		return c.sky.readIn(offset, c.persistence)
	}
	const least = 0.1 // of the beam, that a reading leaves
	beam := max(least, (math.Exp2(offset)-(1-sun))/sun)
	return c.beam.readIn(math.Log2(beam), c.persistence)
}

// correction is what the light is to be corrected by.
func (c *cloud) correction() sky.Correction {
	of := &c.sky
	if c.sun {
		of = &c.beam
	}
	return sky.Correction{Beam: sky.Stops(of.off), Sky: sky.Stops(c.sky.off), Told: of.told(c.persistence)}
}

func (c *cloud) fading() shoot.Fading { return shoot.Fading{Light: c.lasts, Told: c.lasts} }
