// Package plan solves aperture, shutter, ISO, flash power and where the flash
// stands, for every minute of a shoot and every way of working. It is pure:
// equal arguments give equal plans. It states facts; their wording is left to
// others.
package plan

import (
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Plan is a finished plan of a shoot.
type Plan struct {
	Shoot *shoot.Shoot
	Day   sky.Day // of the local day the window starts in
	// Runs are the window minute by minute, for each method one run, or one
	// with the sun out and one with it in where the sky has two cases: the
	// methods in the order of Shoot.Methods, the sun out first.
	Runs []Run
	Rows []Row // the steps of the window, read off the runs, in time order

	session *session
	solver  *Solver
}

// Moment is one instant under one sky, and what the camera sees of it.
type Moment struct {
	Time      time.Time
	Sun       sky.Sun
	Visible   bool         // some of the sun's disc stands clear of the horizon and the skyline
	Stance    scene.Stance // where the sitter faces, and which is the key side
	Bearing   string       // side the sun comes from, see scene.Bearing
	Condition sky.Condition
	Case      sky.Case
	// Correction is what readings say of the light, and is in it.
	Correction sky.Correction
	Moon       sky.Moon // that is in the light; the zero value by day
	Light      sky.Light
	Sight      scene.SunFacts // how the sun stands to the camera
	// Backdrop is the luminance of what stands behind the sitter; false in
	// Known where the frame shows no sky and no landscape is stated.
	Backdrop     sky.Luminance
	BackdropBand sky.Band
	Known        bool
}

// Row is one moment with the answer of every method.
type Row struct {
	Moment
	Methods []Solution // one for each of Shoot.Methods, in that order
}

// Role is what the flash does.
type Role int

// The roles.
const (
	None Role = iota
	Fill      // it lowers the lighting ratio
	Key       // it raises it
)

// String returns the role's name.
func (r Role) String() string { return [...]string{"none", "fill", "key"}[r] }

// Solution is what one method comes to at one moment.
type Solution struct {
	Method  shoot.Method
	Outcome Outcome
	Problem *Problem // nil unless missed
	Cures   []Cure   // cheapest first; only where missed

	Ambient scene.Ambient // on the sitter under this method
	ScrimUp bool          // a scrim stands between sun and sitter
	// Reflected is what a reflector does; the zero value where there is none or
	// it is down.
	Reflected Reflected
	Settings  exposure.Settings

	Role  Role      // of all flashes in front together
	Angle sky.Angle // of the flash from the camera, positive toward the key side
	Power flash.Power
	// Flash is the light it gives on a plane square to it at the sitter, after
	// its own losses; OnKey and OnShadow are what the two sides get of it and of
	// the fill together.
	Flash, OnKey, OnShadow exposure.LuxSeconds
	Gel                    Gel // on the flash and the fill; the zero value is none
	// Headroom is the flash's power to spare at full power, of two that fire the
	// lesser; negative where it is missed for weakness; 0 with None.
	Headroom sky.Stops
	Fill     *FillFlash // nil where there is no fill

	Ratio      float64   // key side : shadow side, ambient light and flash together
	Exposure   sky.Stops // of the key side from normal plus bias
	Background sky.Stops // of the background from normal; NaN where it is not known
	Rim        sky.Stops // of the lit side's ambient light from normal
	Face       sky.Stops // of the plane facing the camera, flash included, from normal

	ScrimInFrame bool
	FlashInFrame bool
	Recycle      time.Duration // the longer where two fire; 0 with None
	RimFlash     *RimFlash     // nil where the shoot has none, or it cannot fire
}

// Reflected is what a reflector does at one moment.
type Reflected struct {
	Turn        scene.Turn
	Key, Shadow sky.Lux // more than without it on the two sides
	InFrame     bool
}

// Gel is the gel on the flash, and what it leaves between the flash's colour
// and the one wanted: positive where the flash is still too blue.
type Gel struct {
	flash.Gel
	Remains sky.Mired
	Light   sky.Kelvin // of the key side, that it was chosen by; 0 where it was not
}

// Fires reports whether the flash fires; where it does not, a fill may.
func (s *Solution) Fires() bool { return s.Role != None && (s.Fill == nil || s.Flash > 0) }

// FillFlash is what the fill is set to.
type FillFlash struct {
	Angle sky.Angle // from the camera, positive toward the key side
	Power flash.Power
	// Flash is its light on a plane square to it at the sitter, 0 where it does
	// not fire; OnKey and OnShadow are what of it the two sides get.
	Flash, OnKey, OnShadow exposure.LuxSeconds
	Headroom               sky.Stops // to spare at full power
	Recycle                time.Duration
}

// Fires reports whether there is a fill that fires.
func (f *FillFlash) Fires() bool { return f != nil && f.Flash > 0 }

// RimFlash is what the group of flashes for the rim is set to.
type RimFlash struct {
	Power    flash.Power
	Added    exposure.LuxSeconds // at the sitter
	Headroom sky.Stops           // to spare at full power
	Over     sky.Stops           // above a normal exposure plus bias, the key side's
	Recycle  time.Duration
}
