package sky

import "math"

// screen is what a skyline leaves of the light of an even sky, in shares: an
// estimate for others, which are brighter or darker low down. What stands up is
// taken to throw nothing back. Trees and shaded walls return a tenth or so of
// what they hide (common practice, no source), a wall in the sun more; but nobody
// states of what a skyline is made and where the sun falls on it, and a plan that
// counts on too little light is the safer one.
type screen struct {
	line    skyline
	level   float64                  // of a plane that faces up
	upright [screenSteps + 1]float64 // of upright planes, from north on clockwise
}

const screenSteps = 360 // to the full circle

// screen returns what the skyline leaves; nil where nothing stands up.
//
// An even sky up to an altitude h gives the level the share sin^2 h of what it
// gives as a whole, and each of the directions d from the square of an upright
// plane cos d (h / 2 + sin(2 h) / 4) of pi / 2 in all.
func (s skyline) screen() *screen {
	if s == nil || s[skylineSteps] == 0 {
		return nil
	}
	var left [skylineSteps]float64 // of the share of each strip in an upright plane's light
	c := screen{line: s, level: 1}
	for i := range left {
		sin := max(0, min(s[i+1]-s[i], 1))
		c.level -= sin * sin / skylineSteps
		left[i] = 1 - (math.Asin(sin)+sin*math.Sqrt(1-sin*sin))/(math.Pi/2)
	}
	c.level = max(0, c.level)
	var cos [skylineSteps / 4]float64 // of the middles of the strips on either side of the square
	whole := 0.0
	for k := range cos {
		cos[k] = math.Cos((float64(k) + 0.5) / skylineSteps * 2 * math.Pi)
		whole += 2 * cos[k]
	}
	const strips = skylineSteps / screenSteps
	for i := range c.upright {
		sum := 0.0
		for k := range cos {
			right, other := (i*strips+k)%skylineSteps, (i*strips-1-k+skylineSteps)%skylineSteps
			sum += cos[k] * (left[right] + left[other])
		}
		c.upright[i] = max(0, sum/whole)
	}
	return &c
}

// on returns what is left on an upright plane that faces an azimuth.
func (c *screen) on(azimuth Angle) float64 {
	if c == nil {
		return 1
	}
	x := float64(azimuth.Normal()) * (screenSteps / (2 * math.Pi))
	i := max(0, min(int(x), screenSteps-1))
	return c.upright[i] + (x-float64(i))*(c.upright[i+1]-c.upright[i])
}

// onLevel returns what is left on the level.
func (c *screen) onLevel() float64 {
	if c == nil {
		return 1
	}
	return c.level
}

// HasSkyline reports whether something stands up before the sky.
func (l *Light) HasSkyline() bool { return l.screen != nil }

// SkyLeft returns the share that the skyline leaves of the light of the sky on an
// upright plane that faces an azimuth counted from the sun's: an estimate, for an
// even sky before things that throw nothing back. It is 1 where nothing stands up.
func (l *Light) SkyLeft(azimuthFromSun Angle) float64 {
	return l.screen.on(l.sunAzimuth + azimuthFromSun)
}

// Seen returns the share of a patch of sky that is seen over the skyline: of one
// so wide and high, about an azimuth counted from the sun's and an altitude.
func (l *Light) Seen(azimuthFromSun, altitude, size Angle) float64 {
	if l.screen == nil {
		return 1
	}
	low := math.Sin(max(float64(altitude-size/2), 0))
	high := math.Sin(min(float64(altitude+size/2), math.Pi/2))
	if high <= low {
		return 0
	}
	line := l.screen.line.mean(l.sunAzimuth+azimuthFromSun-size/2, size)
	return max(0, min((high-line)/(high-low), 1))
}
