// Package shoot is one planned session: the TOML file that describes it, its
// defaults, its faults, and the library of kit it may name.
package shoot

import (
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/sky"
)

// Shoot is a session, checked and complete.
type Shoot struct {
	Name    string
	Place   Place
	When    When
	Sky     []SkySpan // at least one; the first has no From
	Subject Subject
	Look    Look
	Camera  exposure.Camera
	Frame   float64 // height of the camera's picture, mm
	Lens    exposure.Lens
	Flash   flash.Head
	Rim     *Rim // nil where there is none
	Wish    flash.ColourWish
	Gels    []flash.Gel  // carried, to choose from by the wish
	Scrim   *scene.Scrim // nil where none is carried
	Filters []Filter     // neutral-density filters carried, weakest first
	Pace    Pace
	Methods []Method // asked for, in the order asked
	Kit     *Library // all kit there is to choose from; nil where none is known
}

// Place is where the session is.
type Place struct {
	Name string
	Site sky.Place
	Zone *time.Location
	// ZoneAssumed tells that neither file nor flag names the zone: it is the
	// environment's.
	ZoneAssumed bool
	Ground      float64     // share of the light the ground throws back, 0 to 1
	Horizon     sky.Horizon // what stands above the horizon; may be empty
}

// Date is a day of the calendar.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// Instant is a time of day as it is written: a clock time, or an event of the
// day with an offset.
type Instant struct {
	Event   sky.EventName // empty for a clock time
	Morning bool          // the morning's, of an event that comes twice a day
	Offset  time.Duration // from the event, or from midnight by the clock
}

// When is the window of the session.
type When struct {
	Date     Date
	From, To Instant // To may lie after midnight
	Step     time.Duration
}

// SkySpan is the condition of the sky from a time on.
type SkySpan struct {
	From      *Instant // nil: from the start
	Condition sky.Condition
}

// Subject is who stands where.
type Subject struct {
	Facing scene.Facing
	Figure scene.Figure
	// SkyAltitude is how high above the horizon the patch of sky lies that
	// stands behind the subject in the frame.
	SkyAltitude sky.Angle
	// CameraDistance is that from lens to subject, m. Where the shoot does not
	// say it, the figure fills the frame's height, the camera held level.
	CameraDistance float64
	Background     scene.Background
}

// LookKind says what is held constant.
type LookKind int

// The kinds of look.
const (
	Ratio LookKind = iota
	DarkSky
)

// String returns the kind in words.
func (k LookKind) String() string {
	if k == DarkSky {
		return "dark sky"
	}
	return "ratio"
}

// Look is what is held constant through the session.
type Look struct {
	Kind  LookKind
	Ratio float64   // (key + fill) : fill, with Ratio
	Dark  sky.Stops // the sky below its metered value, with DarkSky
	Bias  sky.Stops // of the subject's exposure against normal
}

// Rim is a second group of flashes, from behind or on the background. It has
// no part in the lighting ratio.
type Rim struct {
	flash.Head
	Over sky.Stops // its light above that of the key side, held at that
}

// Filter is a neutral-density filter.
type Filter struct {
	Name string
	Loss sky.Stops
}

// Pace is how fast frames are taken.
type Pace struct {
	FramesPerMinute float64
}

// Method is a way of working: at or below the sync speed, with any of the
// three aids.
type Method int

// The aids, and the ways of working that every kit is asked about. Any two
// aids may be put together, as in ND | Scrim.
const (
	Sync  Method = 0
	HSS   Method = 1 << (iota - 1) // high-speed sync
	ND                             // a neutral-density filter
	Scrim                          // diffusion between sun and subject

	ScrimHSS = Scrim | HSS
)

// Methods lists the usual ways of working.
var Methods = [...]Method{Sync, HSS, ND, Scrim, ScrimHSS}

// AllMethods lists every way of putting the aids together.
var AllMethods = [...]Method{Sync, HSS, ND, Scrim, ScrimHSS, Scrim | ND, ND | HSS, Scrim | ND | HSS}

// String returns the method's name as it is typed.
func (m Method) String() string {
	var parts []string
	for _, aid := range [...]struct {
		method Method
		name   string
	}{{Scrim, "scrim"}, {ND, "nd"}, {HSS, "hss"}} {
		if m&aid.method != 0 {
			parts = append(parts, aid.name)
		}
	}
	if len(parts) == 0 {
		return "sync"
	}
	return strings.Join(parts, "+")
}

// UsesScrim tells whether the scrim is up.
func (m Method) UsesScrim() bool { return m&Scrim != 0 }

// UsesFilter tells whether a filter may be put on.
func (m Method) UsesFilter() bool { return m&ND != 0 }

// UsesHighSpeed tells whether the shutter may go beyond the sync speed.
func (m Method) UsesHighSpeed() bool { return m&HSS != 0 }

// Optics returns the lens at an aperture, on the camera.
func (s *Shoot) Optics(a exposure.Aperture) scene.Optics {
	return scene.Optics{FocalLength: s.Lens.FocalLength, FNumber: a.FNumber(), FrameHeight: s.Frame}
}
