// Package plan solves aperture, shutter, ISO and flash power for every moment
// of a shoot and every way of working. It is pure: equal arguments give equal
// plans.
package plan

import (
	"slices"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Plan is a finished plan of a shoot.
type Plan struct {
	Shoot   *shoot.Shoot
	Day     sky.Day // of the local day the window starts in
	Rows    []Row   // in time order; two rows a moment where the sun is in and out
	Methods []Summary
}

// Row is one moment under one sky.
type Row struct {
	Time      time.Time
	Sun       sky.Sun
	Visible   bool      // some of the sun's disc stands clear of the horizon and the skyline
	Facing    sky.Angle // azimuth the subject faces
	Bearing   string    // side the sun comes from, see scene.Bearing
	Condition sky.Condition
	Case      sky.Case
	Light     sky.Light
	Methods   []Solution // one for each of Shoot.Methods, in that order
}

// Role is what the flash does.
type Role int

// The roles.
const (
	None Role = iota
	Fill      // from the camera, on lit side and shade alike
	Key       // with a ratio from the lit side alone, with a dark sky on the face
)

// String returns the role's name.
func (r Role) String() string { return [...]string{"none", "fill", "key"}[r] }

// Solution is what one method comes to at one moment.
type Solution struct {
	Method   shoot.Method
	Feasible bool
	Problem  *Problem // nil where feasible
	Cures    []Cure   // cheapest first; empty where feasible

	Ambient  scene.Ambient // on the subject under this method
	ScrimUp  bool          // a scrim stands between sun and subject
	Settings exposure.Settings

	Role  Role
	Power flash.Power         // with Fill and Key
	Added exposure.LuxSeconds // by the flash at the subject, after its own losses
	Gel   Gel                 // on the flash; the zero value is none
	// Headroom is the power to spare at full power; 0 with None.
	Headroom sky.Stops

	// Ratio is (key + fill) : fill that the rounded settings give; with a dark
	// sky the face in the flash against the shade without it.
	Ratio      float64
	Exposure   sky.Stops // offset of the subject from normal plus bias
	Background sky.Stops // of the sky or landscape behind the subject from normal
	LitSide    sky.Stops // of the lit side's ambient light from normal
	// Face is the face's offset from normal: the light on it with what the
	// flash adds there, all of a fill, a key from the lit side by the cosine
	// of its angle, which from behind is nothing.
	Face sky.Stops
	// ScrimInFrame tells that the scrim stands in the picture.
	ScrimInFrame bool
	Recycle      float64   // s, 0 with None
	RimFlash     *RimFlash // nil where the shoot has none
}

// Gel is the gel on the flash, and what it leaves between the flash's colour
// and the one wanted: positive where the flash is still too blue.
type Gel struct {
	flash.Gel
	Remains sky.Mired
}

// RimFlash is what the second group of flashes is set to.
type RimFlash struct {
	Power    flash.Power
	Added    exposure.LuxSeconds // at the subject
	Headroom sky.Stops           // to spare at full power
	Over     sky.Stops           // above a normal exposure plus bias, the key side's
	Recycle  float64             // s
}

// ProblemKind says why a method cannot hold the look.
type ProblemKind int

// The problems.
const (
	TooWeak       ProblemKind = iota + 1 // the flash at full power
	TooStrong                            // the flash at its lowest power
	TooBright                            // ambient, for the fastest and narrowest settings
	TooDark                              // ambient, for the slowest and widest settings
	AmbientOnFace                        // ambient alone brings the face above normal
	ShadowMissed                         // the scrim does not shade the whole figure
	NoScrim                              // none is carried
	NoFilter                             // no neutral-density filter is carried
	NoHighSpeed                          // the flash has no high-speed sync
	CoarseSteps                          // camera and flash have no setting close enough
	RimTooWeak                           // the rim flash at full power
	RimTooStrong                         // the rim flash at its lowest power
)

// Problem is why a method cannot hold the look, and by how much it misses.
type Problem struct {
	Kind   ProblemKind
	Misses sky.Stops // how far off, positive; 0 where it has no size
	Text   string    // in words, with the number
}

// Cure is one change that makes a method hold the look.
type Cure struct {
	Text string // in words, with the number
}

// Summary is what one method comes to over the window.
type Summary struct {
	Method shoot.Method
	Holds  int    // rows it can do
	Of     int    // rows there are
	Text   string // one sentence
}

// OutOfReach tells whether at some row no method can hold the look.
func (p *Plan) OutOfReach() bool {
	return slices.ContainsFunc(p.Rows, func(r Row) bool {
		return !slices.ContainsFunc(r.Methods, func(s Solution) bool { return s.Feasible })
	})
}
