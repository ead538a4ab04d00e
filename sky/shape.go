package sky

import (
	"math"
	"sync"
)

// shape is a sky tabulated, for what needs the luminance of many directions at
// once.
type shape struct {
	gradation  curve // by the square root of the sine of the altitude: steep near the horizon
	indicatrix curve // by the sine of half the angle from the sun
	shadow     curve // the earth's, by the square root of the sine of the altitude
}

func shapeOf(d Distribution) (s shape) {
	for i := range curveSteps + 1 {
		x := float64(i) / curveSteps
		s.gradation[i] = d.gradation(x * x)
		s.indicatrix[i] = d.indicatrix(1 - 2*x*x)
		s.shadow[i] = d.shadow(x * x)
	}
	return s
}

// shapes holds that of every type by day.
var shapes = byDay()

func byDay() (all [len(skyTypes)]shape) {
	for k := SkyType(1); k.Valid(); k++ {
		all[k] = shapeOf(k.Distribution(math.Pi / 2))
	}
	return all
}

// lowShapes are those of the types that go over with a low sun, so many a degree;
// each is worked out once, when it is asked for.
var lowShapes = [len(skyTypes)]*[shapeRows]func() *shape{
	BrokenSky: lowShapesOf(BrokenSky), ClearSky: lowShapesOf(ClearSky), HazySky: lowShapesOf(HazySky),
}

const (
	shapesADegree = 2
	shapeRows     = shapesADegree*(lowBegins-lowEnds) + 1
)

func lowShapesOf(k SkyType) *[shapeRows]func() *shape {
	var rows [shapeRows]func() *shape
	for i := range rows {
		rows[i] = sync.OnceValue(func() *shape {
			s := shapeOf(k.Distribution(Degrees(lowEnds + float64(i)/shapesADegree)))
			return &s
		})
	}
	return &rows
}

// tabulated is a sky with the sun at one altitude, read off tables. It is
// within 0.04 stop of its Distribution, by day within 0.0005.
type tabulated struct {
	from, to *shape
	along    float64 // from the one to the other
	sun      Angle
}

func (k SkyType) tabulated(sunAltitude Angle) tabulated {
	if rows := lowShapes[k]; rows != nil && sunAltitude.Degrees() < lowBegins {
		i, f := lowStretch(sunAltitude, shapesADegree)
		return tabulated{rows[i](), rows[i+1](), f, max(sunAltitude, 0)}
	}
	return tabulated{&shapes[k], &shapes[k], 0, max(sunAltitude, 0)}
}

// gradation returns that at the sine of an altitude.
func (t *tabulated) gradation(sin float64) float64 {
	return between(&t.from.gradation, &t.to.gradation, t.along, math.Sqrt(max(0, sin)))
}

// about returns the indicatrix, given the cosine of the angle from the sun.
func (t *tabulated) about(cosChi float64) float64 {
	return between(&t.from.indicatrix, &t.to.indicatrix, t.along, math.Sqrt(max(0, (1-cosChi)/2)))
}

// shadow returns the share that the earth's shadow takes right opposite to the
// sun at the sine of an altitude.
func (t *tabulated) shadow(sin float64) float64 {
	if t.from == t.to {
		return 0
	}
	return between(&t.from.shadow, &t.to.shadow, t.along, math.Sqrt(max(0, sin)))
}

// zenith returns the luminance there that the others stand to.
func (t *tabulated) zenith() float64 {
	return t.gradation(1) * t.about(math.Sin(float64(t.sun))) * (1 - t.shadow(1)*opposite(0))
}

// Dome is the sky of a light, for what needs the luminance of many directions. It
// is read off tables, within 0.06 stop of Light.Luminance, by day within 0.0005.
type Dome struct {
	light          *Light
	sky            tabulated
	sinSun, cosSun float64
	zenith         float64
}

// Dome returns the sky of the light.
func (l *Light) Dome() Dome {
	d := Dome{light: l, sky: l.kind.tabulated(l.spreadAltitude)}
	d.sinSun, d.cosSun = math.Sincos(float64(d.sky.sun))
	d.zenith = d.sky.zenith()
	return d
}

// Luminance returns that in a direction above the horizon, by the sine of its
// altitude and the cosine of its azimuth from the sun's.
func (d *Dome) Luminance(sin, cosAzimuth float64) Luminance {
	return d.light.faded(d.relative(sin, math.Sqrt(max(0, 1-sin*sin)), cosAzimuth))
}

// relative returns the luminance as a multiple of that at the zenith, by sine and
// cosine of an altitude and the cosine of an azimuth from the sun's.
func (d *Dome) relative(sin, cos, cosAzimuth float64) float64 {
	return d.sky.gradation(sin) * d.sky.about(d.sinSun*sin+d.cosSun*cos*cosAzimuth) *
		(1 - d.sky.shadow(sin)*opposite(cosAzimuth)) / d.zenith
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

// between returns the value a share of the way from one curve to another.
func between(from, to *curve, share, x float64) float64 {
	v := from.at(x)
	if share > 0 {
		v += share * (to.at(x) - v)
	}
	return v
}
