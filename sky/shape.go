package sky

import "math"

// shape is a standard sky tabulated, for what needs the luminance of many
// directions at once. Interpolated, it is within 0.0005 stop of the equations.
type shape struct {
	gradation  curve // phi by the sine of the altitude
	indicatrix curve // f by the sine of half the angle from the sun
}

// about returns the indicatrix, given the cosine of the angle from the sun.
func (s *shape) about(cosChi float64) float64 {
	return s.indicatrix.at(math.Sqrt(max(0, (1-cosChi)/2)))
}

// shapes holds that of every sky type.
var shapes = tabulated()

func tabulated() (all [len(skyTypes)]shape) {
	for k := SkyType(1); k.Valid(); k++ {
		for i := range curveSteps + 1 {
			x := float64(i) / curveSteps
			all[k].gradation[i] = skyTypes[k].gradation(x)
			all[k].indicatrix[i] = skyTypes[k].indicatrix(1 - 2*x*x)
		}
	}
	return all
}

const curveSteps = 256

// curve is a function on [0, 1] as straight lines between even steps.
type curve [curveSteps + 1]float64

// at returns the function's value; beyond the ends, that on the line through
// the last two points.
func (c *curve) at(x float64) float64 {
	x *= curveSteps
	i := max(0, min(int(x), curveSteps-1))
	return c[i] + (x-float64(i))*(c[i+1]-c[i])
}
