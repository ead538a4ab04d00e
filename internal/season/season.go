// Package season finds the windows of a range of dates in which everything that
// is wished for holds, and ranks them. It is pure: equal arguments give equal
// answers. It states facts; their wording is left to others.
package season

import (
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Question is what is asked of a range of dates.
type Question struct {
	Shoot  *shoot.Shoot // its date, hours and step do not count
	Wishes shoot.Wishes
	Most   int // windows to plan and to return, at the most
}

// Answer is what a search finds.
type Answer struct {
	Question Question
	Days     int      // looked at
	Windows  []Window // the best first
	// Found is how many windows fit by the search; those that are not among
	// Windows have not been planned whole.
	Found     int
	Obstacles []Obstacle // where there is no window: the wishes, what to give up first
}

// Window is a stretch of a day in which all wishes hold, its whole run planned
// with one place for the flash.
type Window struct {
	From, To time.Time      // whole minutes; at both all holds
	Method   shoot.Method   // of those that hold through it the one of the verdict
	Others   []shoot.Method // that hold through it too, in the order of the shoot
	Plan     *plan.Plan     // of the window, by all asked methods, without cures
	Merits   plan.Merits    // of Method
	Sky      sky.Condition  // that it was planned for
	Start    Sun
	End      Sun
	Begins   Edge // why it does not begin earlier
	Ends     Edge // why it does not end later

	// Useful is the expected share of the window at which all holds, over the
	// skies there may be, 0 to 1; 1 where only one is.
	Useful float64
	Skies  []Chance // the likeliest first; empty where only one sky is counted with

	rank rank
}

// Sun is where the sun stands at one end of a window.
type Sun struct {
	Altitude, Azimuth sky.Angle // true altitude; azimuth clockwise from true north
	Apparent          sky.Angle // altitude as it is seen, with refraction
	Bearing           string    // side it comes from, see scene.Bearing
	Visible           bool
}

// Chance is one sky that a window may come under.
type Chance struct {
	Condition sky.Condition
	Odds      float64 // mean over the window, 0 to 1
	Holds     float64 // share of the window at which all holds under it by the best run, 0 to 1
	Useful    float64 // the same share by how likely the sky is at each minute: what it adds to the window's
}

// Wish is one thing that is wished for.
type Wish int

// The wishes.
const (
	Day        Wish = iota // a day begins and ends
	Hours                  // from and to a time of day
	Light                  // a named light
	SunHeight              // a range of its altitude
	SunAzimuth             // a range of its azimuth
	SunSide                // where it comes from, seen from the camera
	SunVisible             // over the skyline
	Look                   // held, or softer, by one of the methods with the flash at one place
	Headroom               // of the flash
	Aperture               // near the one wanted
	Length                 // of the window
)

// Edge is the wish that fails beyond an end of a window; several may at once, the
// first in the order above is told.
type Edge struct {
	Wish Wish
	// Place reports that each minute alone would do, but not with the flash
	// where it stands in this window.
	Place bool
}

// Obstacle is a wish for want of which no window is found.
type Obstacle struct {
	Wish Wish
	// Excludes is the share of the minutes of the days at which it fails; of what
	// the picture decides, of the minutes at which the sun stands as wished; of
	// Day, of the days; 0 of Length.
	Excludes float64
	Without  int // windows that there would be without it
	// Gives is by how little it would have to give for one window: degrees,
	// stops or minutes, as the wish goes; of Length the longest window there
	// is, in minutes. NaN where nothing is known of it.
	Gives float64
	When  time.Time // the beginning of that window; zero where there is none
}
