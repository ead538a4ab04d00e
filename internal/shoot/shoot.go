// Package shoot is the model of one planned session: where and when, the sky,
// who stands where, what is held, the kit and the ways of working, with the
// rules of its window. Package shootfile reads it.
package shoot

import (
	"strconv"
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
	Sky     []SkySpan        // at least one; the first has no From
	Learned []Learned        // what readings say of the light, in order of time
	Wind    *scene.WindSpeed // stated mean; nil where nothing is known of it
	Subject Subject
	Look    Look
	Camera  exposure.Camera
	Frame   exposure.Millimetres // short side of the camera's picture
	Held    scene.Orientation
	Lens    exposure.Lens
	Flash   flash.Head
	Stand   FlashPlace
	Fill    *Fill // nil where there is none
	Rim     *Rim  // nil where there is none
	Wish    flash.ColourWish
	Gels    []flash.Gel  // carried, to choose from by the wish
	Scrim   *scene.Scrim // nil where none is carried
	Shade   scene.Shade  // open shade near by
	// Reflector is nil where none is carried.
	Reflector *scene.Reflector
	Filters   []Filter // neutral-density filters carried, weakest first
	Pace      Pace
	Methods   []Method // asked for, in the order asked
	Kit       *Library // all kit there is to choose from; nil where none is known
}

// Place is where the session is.
type Place struct {
	Name string
	Site sky.Place
	Zone *time.Location
	// ZoneAssumed reports that neither file nor flag names the zone: it is the
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
	// SkyAltitude is how high above the horizontal the frame's centre lies.
	SkyAltitude sky.Angle
	// CameraDistance is that from lens to subject, m. Where the shoot does not
	// say it, the whole figure just fills the frame, the camera held level.
	CameraDistance float64
	Background     scene.Background
}

// LookKind says what is held of the background.
type LookKind int

// The kinds of look: both hold the key side and the lighting ratio.
const (
	RatioLook      LookKind = iota // the background at most so far above normal
	BackgroundLook                 // the background held at an exact offset
)

// String returns the kind as it is called in JSON.
func (k LookKind) String() string {
	if k == BackgroundLook {
		return "background"
	}
	return "ratio"
}

// UsualBackgroundLimit is how far above a normal exposure a background may
// come out where a shoot does not say it.
const UsualBackgroundLimit sky.Stops = 1.5

// Look is what is held constant through the session.
type Look struct {
	Kind       LookKind
	Ratio      float64   // key side : shadow side, ambient light and flash together
	Background sky.Stops // of the background above a normal exposure, with BackgroundLook
	AtMost     sky.Stops // the most of it, with RatioLook; +Inf for any
	Bias       sky.Stops // of the key side's exposure against normal
}

// Offset returns what is asked of the background above a normal exposure: that
// offset with BackgroundLook, else the most of it; +Inf for any.
func (l *Look) Offset() sky.Stops {
	if l.Kind == BackgroundLook {
		return l.Background
	}
	return l.AtMost
}

// FlashPlace is what a shoot says of where the flash stands; what it leaves
// open is to be chosen.
type FlashPlace struct {
	// Angle is that between flash and camera, seen from the subject: positive
	// toward the key side, 0 beside the lens, -45 to 45 degrees; nil where it
	// is to be chosen.
	Angle *sky.Angle
	// Side is that of the picture it stands on, and the key side where the sun
	// does not settle it; neither where it is open.
	Side scene.Hand
}

// Fill is a second group of flashes in front, beside the lens or near it. The
// main ones then are the key. Its gel is theirs.
type Fill struct {
	flash.Head
	Angle sky.Angle // from the camera, positive toward the key side, less than the key's
}

// Rim is a group of flashes, from behind or on the background. It has
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

// String returns the filter by its loss, as 3-stop ND. Its name is for files
// only: makers mark the same filter in three ways.
func (f Filter) String() string { return FilterText(f.Loss) }

// FilterText returns how a neutral-density filter of a loss above 0 is called:
// 3-stop ND, 1.5-stop ND.
func FilterText(loss sky.Stops) string {
	return strconv.FormatFloat(float64(loss), 'g', 3, 64) + "-stop ND"
}

// Pace is how fast frames are taken, and how finely the light is followed.
type Pace struct {
	FramesPerMinute float64
	// CueStep is the most that the camera's exposure moves by at a cue, where
	// its clicks are not coarser; 0 for the usual.
	CueStep sky.Stops
}

// BetweenFrames returns the time from one frame to the next.
func (p Pace) BetweenFrames() time.Duration {
	return time.Duration(60 / p.FramesPerMinute * float64(time.Second))
}

// UsualCueStep is the step of cues where a shoot does not say it: small enough
// for the light to stay within the tolerance, large enough to be seldom.
const UsualCueStep sky.Stops = 2. / 3

// Step returns the step of cues.
func (p Pace) Step() sky.Stops {
	if p.CueStep > 0 {
		return p.CueStep
	}
	return UsualCueStep
}

// Method is a way of working: at or below the sync speed, with any of the
// aids.
type Method int

// The aids, and the ways of working that every kit is asked about. Any two of
// the first three may be put together, as in ND | Scrim.
const (
	Sync          Method = 0
	HSS           Method = 1 << (iota - 1) // high-speed sync
	ND                                     // a neutral-density filter
	Scrim                                  // diffusion between sun and subject
	OpenShade                              // the subject in open shade
	ReflectorSync                          // a reflector before the subject
	noFlash

	ScrimHSS  = Scrim | HSS
	Reflector = ReflectorSync | noFlash // a reflector in the place of the flash
)

// Methods lists the usual ways of working.
var Methods = [...]Method{Sync, HSS, ND, Scrim, ScrimHSS}

// AllMethods lists every way of working.
var AllMethods = [...]Method{
	Sync, HSS, ND, Scrim, ScrimHSS, Scrim | ND, ND | HSS, Scrim | ND | HSS, OpenShade, Reflector, ReflectorSync,
}

// String returns the method's name as it is typed.
func (m Method) String() string {
	switch m {
	case Sync:
		return "sync"
	case OpenShade:
		return "open-shade"
	case Reflector:
		return "reflector"
	case ReflectorSync:
		return "reflector+sync"
	}
	var parts []string
	for _, aid := range [...]struct {
		method Method
		name   string
	}{{Scrim, "scrim"}, {ND, "nd"}, {HSS, "hss"}} {
		if m&aid.method != 0 {
			parts = append(parts, aid.name)
		}
	}
	return strings.Join(parts, "+")
}

// UsesScrim reports whether the scrim is up.
func (m Method) UsesScrim() bool { return m&Scrim != 0 }

// UsesFilter reports whether a filter may be put on.
func (m Method) UsesFilter() bool { return m&ND != 0 }

// UsesHighSpeed reports whether the shutter may go beyond the sync speed.
func (m Method) UsesHighSpeed() bool { return m&HSS != 0 }

// UsesShade reports whether the subject stands in open shade.
func (m Method) UsesShade() bool { return m&OpenShade != 0 }

// UsesReflector reports whether a reflector is held.
func (m Method) UsesReflector() bool { return m&ReflectorSync != 0 }

// UsesFlash reports whether there is a flash in front. One for the rim stands
// under any method.
func (m Method) UsesFlash() bool { return m&noFlash == 0 }

// Optics returns the lens at an aperture, on the camera as it is held.
func (s *Shoot) Optics(a exposure.Aperture) scene.Optics {
	return scene.Optics{FocalLength: s.Lens.FocalLength, FNumber: a.FNumber(), FrameHeight: s.Frame, Orientation: s.Held}
}

// BeyondSync reports whether a method goes beyond the sync speed with the flash
// that is carried.
func (s *Shoot) BeyondSync(m Method) bool { return m.UsesHighSpeed() && s.Flash.Unit.HighSpeed }

// View is what the light is asked for, of a subject that faces an azimuth.
func (s *Shoot) View(facing sky.Angle) sky.View {
	return sky.View{Facing: facing, Frame: s.Optics(s.Lens.Wanted).Frame(s.Subject.SkyAltitude)}
}
