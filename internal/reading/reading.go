// Package reading turns meter readings taken on location into what a shoot has
// learned of its light: it reads them and their log, weighs them, and refuses
// what no sky could give. It is handed text; files are opened elsewhere.
package reading

import (
	"fmt"
	"math"
	"time"

	"evenfall/sky"
)

// Reading is what an incident meter read on location.
type Reading struct {
	Time  time.Time
	Light sky.Lux
	Plane Plane
	Given string // the value as it is typed: ev12.3, 41200lx, f/5.6,1/250,iso200
	Line  int    // of the log it comes from; 0 where it comes from none
}

// Plane is how the meter was held.
type Plane int

// The planes.
const (
	Lit   Plane = iota // upright, facing the sun's azimuth
	Shade              // upright, facing the camera, direct sun kept off
	Face               // upright, facing the camera, with whatever falls on it
	Level              // flat, facing up
)

// Planes lists all planes.
var Planes = [...]Plane{Lit, Shade, Face, Level}

// String returns the plane as it is typed.
func (p Plane) String() string { return [...]string{"lit", "shade", "face", "level"}[p] }

// on returns the light that a plane has.
func (p Plane) on(l *sky.Light) sky.Lux {
	return [...]sky.Lux{l.Lit, l.Shade, l.Face, l.Level}[p]
}

// sun returns what of a plane's light is direct sun.
func (p Plane) sun(l *sky.Light, sun sky.Sun) sky.Lux {
	sin, cos := math.Sincos(float64(sun.Altitude))
	upright, level := l.DirectNormal*sky.Lux(max(0, cos)), l.DirectNormal*sky.Lux(max(0, sin))
	return [...]sky.Lux{upright, 0, l.Face - l.Shade, level}[p]
}

// band returns where eight of ten readings lie around a plane's light. The
// face's is that of the shade side, or of the lit side where the sun is on it.
func (p Plane) band(l *sky.Light) sky.Band {
	switch {
	case p == Level:
		return l.LevelBand
	case p == Lit, p == Face && l.Face > 2*l.Shade:
		return l.LitBand
	}
	return l.ShadeBand
}

// String returns the reading as it is typed, its time to the second where it
// has seconds: 18:05=ev12.3@lit.
func (r *Reading) String() string {
	clock := "15:04"
	if r.Time.Second() != 0 {
		clock += ":05"
	}
	return r.Time.Format(clock) + "=" + r.Given + "@" + r.Plane.String()
}

// Same reports whether two readings are one, entered twice: of one time, plane and
// light.
func (r *Reading) Same(as *Reading) bool {
	return r.Time.Equal(as.Time) && r.Plane == as.Plane && r.Light == as.Light
}

// Fault is what is wrong with a reading, and something to type instead.
type Fault struct {
	What, Hint string
	Line       int // of the log; 0 for none
}

// Error returns the fault without its hint.
func (f Fault) Error() string { return f.What }

// Faults are all that are wrong, in the order of the readings.
type Faults []Fault

// Error returns the first fault, and how many more there are.
func (f Faults) Error() string {
	if len(f) == 1 {
		return f[0].What
	}
	return fmt.Sprintf("%s, and %d more", f[0].What, len(f)-1)
}
