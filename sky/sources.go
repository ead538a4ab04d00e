package sky

import "math"

// The sun's beam and the sky's light under each condition. The forms are
// physical, the numbers fitted by least absolute deviation to three years of
// one-minute irradiance at Kgs. Lyngby, Denmark (DTU solar station, 2015-17),
// each year alike, turned into light by the luminous efficacies of Perez et al.
// (1990, Solar Energy 44, 271). testdata/daylight/README.md tells how, and how
// steady they are from year to year.

// solarIlluminance is the light of the sun outside the air at 1 au, in lx
// (Darula & Kittler 2002).
const solarIlluminance = 133.8e3

// horizonLight is the light on the level, in lx, of a clear sky when the
// sun's centre is seen on the horizon: clearTwilight at seenOnHorizon.
const horizonLight = 537.562

// AirMass returns the optical air mass at an apparent altitude, relative to
// the zenith: 38 on the horizon (Kasten & Young 1989, Applied Optics 28, 4735,
// eq. 3). Below, it stays what it is when the last of the disc is seen.
func AirMass(altitude Angle) float64 {
	a := max(altitude, -SunRadius)
	return 1 / (math.Sin(float64(a)) + massScale*math.Pow(a.Degrees()+massRaise, -massPower))
}

// Kasten & Young's numbers.
const (
	massScale = 0.50572
	massRaise = 6.07995
	massPower = 1.6364
)

// depth returns the optical depth, for light, of an air mass m of the cleanest
// air. It has the form of Kittler & Darula's m / (9.9 + 0.043 m), but 0.225 is
// fitted: what has passed much air has lost already what is lost most easily,
// and with their number the beam is 0.3 stop too dark at 8 deg, 0.6 at 4.5.
func depth(m float64) float64 { return m / (depthAlone + depthByMass*m) }

const (
	depthAlone  = 9.9
	depthByMass = 0.225
)

// lowSun returns what the beam loses near the horizon beyond depth: nothing
// above 3 deg, 0.3 stop at 2, 0.9 at 1, 1.6 at 0. The luminous efficacy that
// depth was fitted through is too high there; the loss is fitted by hand to
// the spectra of Bird & Riordan (SPECTRL2, 1986; aerosol depth 0.05 and 0.1)
// at 1 and 2 deg. An estimate.
func lowSun(altitude Angle) Stops {
	x := 1 - altitude.Degrees()/lowSunBegins
	if x <= 0 {
		return 0
	}
	return Stops(-lowSunMost * x * math.Sqrt(x))
}

const (
	lowSunBegins = 3   // deg
	lowSunMost   = 1.6 // stops, on the horizon
)

// The luminous turbidity of cloudless skies at sea level: how many cleanest
// atmospheres would dim the sun as much.
const (
	meanTurbidity   = 2.6
	seasonTurbidity = 0.2 // more at midsummer, less at midwinter
	hazyTurbidity   = 3.78
)

// Haze keeps low: of the turbidity beyond cleanAir so much is left at a height
// as it falls to 1/e over hazeHeight. Fitted at Golden, Colorado (1792 m) the
// height is 4180 m, at Alamosa (2317 m) 4190 m, each on winter days.
const (
	cleanAir   = 1.3
	hazeHeight = 4200 // m
)

// hazeLeft returns the share of the haze at sea level that lies over an
// elevation, in m; below the sea as much as there.
func hazeLeft(elevation float64) float64 {
	return math.Exp(-max(0, standardHeight(elevation)) / hazeHeight)
}

// seasonWeight returns how much of the seasonal turbidity a latitude has, and
// of which sign: all of it where it was measured, none in the tropics, the
// opposite in the south. An estimate away from 56 N.
func seasonWeight(latitude Angle) float64 {
	degrees := latitude.Degrees()
	return math.Copysign(max(0, min((math.Abs(degrees)-seasonsBegin)/seasonsGrow, 1)), degrees)
}

// The latitude, in degrees, that seasons begin at, and over how many more they
// come in.
const (
	seasonsBegin = 15
	seasonsGrow  = 20
)

// path is the way of the light through the air at one altitude of the sun.
type path struct {
	outside float64 // sun's light outside the air, lx
	beam    float64 // the share of it that comes through but for turbid air
	depth   float64 // of the cleanest air under the pressure of the place
	atSea   float64 // depth at sea level
	mass    float64 // optical air mass at sea level, not beyond the horizon's
	sin     float64 // of the apparent altitude, not below 0
	dusk    float64 // share of the sky's light left with the sun below the horizon
}

func (d *Daylight) path(sun Sun) path {
	beamMass := AirMass(sun.Altitude)
	mass := beamMass
	if sun.Altitude < 0 {
		mass = AirMass(0)
	}
	return path{
		outside: solarIlluminance * sun.DistanceFactor(),
		beam:    lowSun(max(sun.Altitude, -SunRadius)).Factor(),
		depth:   depth(beamMass * d.pressure), atSea: depth(mass), mass: mass,
		sin:  max(0, math.Sin(float64(sun.Altitude))),
		dusk: duskShare(sun),
	}
}

// light returns the beam and the sky's light on the level, in lx, at a
// turbidity without cloud. On the level the sky gives a share of what the air
// takes out of the beam, 0.48 mu^1.12 exp(-0.26 mu^2) with mu the rounded sine.
// More turbid air sends more of it on, by the square root of the turbidity,
// less what it swallows.
func (p *path) light(turbidity float64) (beam, sky float64) {
	beam = p.outside * p.beam * math.Exp(-p.depth*turbidity)
	ln := lnRounded(p.sin, airLeast)
	sky = p.outside * airShare * (1 - math.Exp(-p.atSea*turbidity)) * math.Sqrt(turbidity/airAnchor) *
		math.Exp(airPower*ln-airBend*math.Exp(2*ln)-airSwallows*p.atSea*(turbidity-airAnchor)) * p.dusk
	return beam, sky
}

const (
	airShare    = 0.48
	airPower    = 1.12
	airBend     = 0.26 // less from a high sun
	airSwallows = 0.133
	airAnchor   = 2.5      // turbidity about which the form is written
	airLeast    = 0.014046 // makes the sky of that turbidity give horizonLight
)

// lnRounded returns the logarithm of a sine held up near zero, so that light that
// goes with a power of it keeps what is left when the sun sets: the rounded sine
// is (sin^1.5 + least^1.5)^(2/3).
func lnRounded(sin, least float64) float64 {
	return math.Log(sin*math.Sqrt(sin)+least*math.Sqrt(least)) * 2 / 3
}

// clouds are a sky with cloud: on the level it gives share * mu^power of the
// sun's light outside the air.
type clouds struct {
	share, power float64
	least        float64 // rounds the sine
	sun          bool    // comes through
	dims         Stops   // the beam, by this
	dimsByMass   Stops   // and this for each air mass
	heavy        Stops   // on the sky, beyond the rest
	open         float64 // share of the cloudless sky seen between them
}

// The skies with cloud. least is such that with the sun on the horizon they
// give horizonLight times 2 to 0, 0, -0.6 and -1.3 stops, chosen by what was measured up to 3 deg.
// open only bears on the colour; it is an estimate.
var (
	thinCloud = clouds{share: 0.375, power: 1.008, least: 0.011106, sun: true, dims: 0.91, dimsByMass: 0.051,
		open: 0.4}
	brokenSunOut  = clouds{share: 0.326, power: 0.948, least: 0.009683, sun: true, dims: 0.19, open: 0.5}
	brokenSunIn   = clouds{share: 0.355, power: 1.137, least: 0.013471, open: 0.5}
	overcastCloud = clouds{share: 0.217, power: 1.200, least: 0.016988}
	heavyCloud    = clouds{share: 0.217, power: 1.200, least: 0.016988, heavy: 1.25}
)

// light returns the beam and the sky's light on the level, in lx, given the
// cloudless beam.
func (c *clouds) light(p *path, cloudless float64) (beam, sky float64) {
	if c.sun {
		beam = cloudless * (-c.dims - c.dimsByMass*Stops(p.mass)).Factor()
	}
	sky = p.outside * c.share * math.Exp(c.power*lnRounded(p.sin, c.least)) * p.dusk
	if c.heavy != 0 {
		sky *= (-c.heavy).Factor()
	}
	return beam, sky
}

// weather is what a condition makes of beam and sky.
type weather struct {
	turbidity float64 // of the air; 0 is the season's, or the one stated
	cloud     *clouds // nil for none
	kind      SkyType
	bands     *bands
}

// The weather that words name, that of broken cloud with the sun behind it,
// and that of a stated turbidity.
var (
	weathers = [...]weather{
		Clear:    {kind: ClearSky, bands: &clearBands},
		Hazy:     {turbidity: hazyTurbidity, kind: HazySky, bands: &hazyBands},
		Thin:     {cloud: &thinCloud, kind: BrokenSky, bands: &thinBands},
		Broken:   {cloud: &brokenSunOut, kind: BrokenSky, bands: &sunOutBands},
		Overcast: {cloud: &overcastCloud, kind: OvercastSky, bands: &overcastBands},
		Heavy:    {cloud: &heavyCloud, kind: OvercastSky, bands: &heavyBands},
	}
	sunInWeather  = weather{cloud: &brokenSunIn, kind: BrokenSky, bands: &sunInBands}
	statedWeather = weather{kind: ClearSky, bands: &turbidityBands}
)

// weatherOf returns that of a word; of one that is none, a clear sky.
func weatherOf(w Word, k Case) *weather {
	switch {
	case w == Broken && k == SunIn:
		return &sunInWeather
	case w < Clear || w > Heavy:
		return &weathers[Clear]
	}
	return &weathers[w]
}

// air returns the turbidity under a condition and its weather, corrected.
func (d *Daylight) air(w *weather, c Condition, sun *Sun) float64 {
	usual := d.usualAir(w, c, sun)
	if d.by.Turbidity == 0 {
		return usual
	}
	return max(LowestTurbidity, min(usual+d.by.Turbidity, HighestTurbidity))
}

// usualAir returns the turbidity before any correction. One that is stated is
// that of the place, whatever its height.
func (d *Daylight) usualAir(w *weather, c Condition, sun *Sun) float64 {
	if c.kind == byTurbidity {
		return c.value
	}
	return cleanAir + (d.airAtSea(w, sun)-cleanAir)*d.haze
}

// airAtSea returns the turbidity of a weather at sea level.
func (d *Daylight) airAtSea(w *weather, sun *Sun) float64 {
	if w.turbidity > 0 {
		return w.turbidity
	}
	return meanTurbidity + seasonTurbidity*d.season*sun.Season
}

// source is what throws the light: the beam on a plane square to it, for the
// whole disc, and the sky on the level, with how it is spread.
type source struct {
	beam, sky float64 // lx
	kind      SkyType
	bands     *bands
	tint      tint
	night     night // of the moon besides
}

// source returns the sources of a weather under its condition.
func (d *Daylight) source(w *weather, c Condition, sun Sun) source {
	p := d.path(sun)
	turbidity := d.air(w, c, &sun)
	beam, sky := p.light(turbidity)
	s := source{beam: beam, sky: sky, kind: w.kind, bands: w.bands, tint: d.cloudless(&p, turbidity)}
	if w.cloud != nil {
		s.beam, s.sky = w.cloud.light(&p, beam)
		s.tint = s.tint.among(w.cloud.open * sky / s.sky)
	}
	return s
}

// word returns the sources of a word other than broken.
func (d *Daylight) word(w Word, sun Sun) source {
	return d.source(&weathers[w], Described(w), sun)
}

const oktaPower = 3.4 // of Kasten & Czeplak

// oktas returns the sources under n eighths of cloud, those without cloud, and
// how much of the time the sun is about out. On the level they give what Kasten & Czeplak (1980,
// Solar Energy 24, 177) found, clear * (1 - 0.75 (n/8)^3.4), but running to
// this package's overcast, which is nearly a quarter of clear. Their share of
// sky in it, from memory 0.3 + 0.7 (n/8)^2, splits the rest. It is the mean
// over sun out and in: a light that seldom is there. Nothing here was measured
// by oktas.
func (d *Daylight) oktas(n float64, sun Sun) (s, clear source, out float64) {
	clear = d.word(Clear, sun)
	overcast := d.word(Overcast, sun)
	sin := max(0, math.Sin(float64(sun.Altitude)))
	whole := clear.beam*sin + clear.sky
	level := whole - (whole-overcast.sky)*math.Pow(n/8, oktaPower)
	out = level / whole * (1 - n*n/64)
	s = source{beam: clear.beam * out, kind: BrokenSky}
	s.sky = level - s.beam*sin
	s.tint = clear.tint.among((1 - n/8) * clear.sky / s.sky)
	if n <= 2 {
		s.kind = ClearSky
	}
	return s, clear, out
}
