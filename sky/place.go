package sky

import "math"

// Place is a spot on Earth.
type Place struct {
	Latitude  Angle   // geodetic (WGS 84, as maps and receivers give it), north positive, -pi/2..pi/2
	Longitude Angle   // east positive
	Elevation float64 // m above sea level
}

// Air is what bends light on its way to the eye.
type Air struct {
	Pressure    float64 // hPa at the place, not reduced to sea level; 0 means no air
	Temperature float64 // deg C
}

// StandardAir returns the air of the standard atmosphere (ISO 2533:1975, the
// ICAO atmosphere) at an elevation in m: 1013.25 hPa and 15 deg C at sea level,
// 6.5 K colder for each km. The standard ends its first layer at 11 km; above
// it, and below -5 km, the nearest value it has is returned.
func StandardAir(elevation float64) Air {
	kelvin := seaTemperature - lapse*standardHeight(elevation)
	return Air{
		Pressure:    seaPressure * math.Pow(kelvin/seaTemperature, pressureExponent),
		Temperature: kelvin - freezing,
	}
}

// The standard atmosphere.
const (
	seaPressure      = 1013.25 // hPa
	seaTemperature   = 288.15  // K
	lapse            = 0.0065  // K/m
	pressureExponent = 5.25588 // g M / (R lapse)
	freezing         = 273.15  // K
)

// standardHeight returns the height that stands for an elevation, m.
func standardHeight(elevation float64) float64 { return min(max(elevation, -5000), 11000) }

// Observer is a place with everything that does not depend on time worked out.
// Build one with NewObserver; it is a value, free to copy and to share.
type Observer struct {
	site           Place
	sinLat, cosLat float64
	bend           float64  // refraction scale of the air, see Air.bend
	horizon        *Horizon // nil for the sea's; a pointer keeps what is copied small
}

// NewObserver returns the observer at p, in the standard atmosphere.
func NewObserver(p Place) Observer {
	sinLat, cosLat := math.Sincos(float64(p.Latitude))
	return Observer{site: p, sinLat: sinLat, cosLat: cosLat, bend: StandardAir(p.Elevation).bend()}
}

// Over returns the observer with a skyline to look over, so that Day has the
// moments at which the sun goes behind it and comes out.
func (o Observer) Over(h Horizon) Observer {
	o.horizon = &h
	return o
}

// Place returns the place the observer was built for.
func (o Observer) Place() Place { return o.site }

// Air returns the air the observer looks through, the standard atmosphere at
// the elevation of the place.
func (o Observer) Air() Air { return StandardAir(o.site.Elevation) }
