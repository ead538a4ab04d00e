// Package sky computes the light that sun and sky throw on the planes a
// photographer meters: where the sun stands, when it rises, sets and passes
// the altitudes of twilight, how much light its beam and the sky give under a
// condition of the sky, and how that light is spread over the sky.
//
// Two lines give the light of a moment:
//
//	sun := sky.NewObserver(place).Sun(t)
//	light := sky.NewDaylight(place, 0.2, nil).At(sky.Described(sky.Clear), sky.SunOut, sun, view)
//
// An [Observer] and a [Daylight] are worth keeping: what does not change with
// the time is worked out when they are built. [Observer.Day] lists the events
// of a date, [Observer.Moon] tells about where the moon stands, [Light.Colour] gives the colour temperatures of the light.
//
// The package needs nothing but the standard library, and for where the moon
// stands github.com/sixdouglas/suncalc. The module's path names no host, so that
// another module points at a copy on the disk before it imports evenfall/sky:
//
//	go mod edit -require=evenfall@v0.0.0 -replace=evenfall=../evenfall
//
// Angles are radians in the type [Angle], azimuths count clockwise from true
// north, altitudes up from the horizon. Illuminance is in [Lux], luminance in
// cd/m2. The quantities print themselves with their units, rounded as one
// reads them. Nothing here reads a clock, does I/O or keeps state: equal
// arguments give equal results.
package sky

//go:generate go run spread_gen.go
