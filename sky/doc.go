// Package sky computes the light that sun and sky throw on the planes a
// photographer meters: where the sun stands, when it rises, sets and passes
// the altitudes of twilight, how much light its beam and the sky give under a
// condition of the sky, and how that light is spread over the sky.
//
// Angles are radians in the type [Angle], azimuths count clockwise from true
// north, altitudes up from the horizon. Illuminance is in [Lux], luminance in
// cd/m2. Nothing here reads a clock, does I/O or keeps state: equal arguments
// give equal results.
package sky

//go:generate go run spread_gen.go
