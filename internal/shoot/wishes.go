package shoot

import (
	"time"

	"evenfall/sky"
)

// Wishes say which hours of which dates are looked for. What is left at its
// zero value is not asked for.
type Wishes struct {
	Dates   DateRange
	On      []time.Weekday
	Between *Hours
	AtLeast time.Duration // of a window; above 0

	Light       NamedLight
	SunAltitude *AngleRange // of the sun's true altitude
	SunAzimuth  *AngleRange // clockwise from Low to High
	SunFrom     []string    // sides as scene.Bearing has them
	SunVisible  bool        // some of the disc over horizon and skyline, and not behind whole cloud

	Held         bool      // softer does not do
	Headroom     sky.Stops // of every flash that fires
	KeepAperture bool      // the aperture stays within a third of a stop of the wanted one

	// Odds are those of the sky's conditions, adding up to 1; without them the
	// shoot's own sky is what there will be. Where the forecast has an hour it
	// goes before both.
	Odds     []Odds
	Forecast Forecast
}

// DateRange is the days from one date to another, both included.
type DateRange struct{ First, Last Date }

// String returns the range as it is typed: 2027-05-01..2027-05-31, or one date.
func (r DateRange) String() string {
	if r.First == r.Last {
		return r.First.String()
	}
	return r.First.String() + ".." + r.Last.String()
}

// Hours are those of a day from one time to another. To may lie after midnight.
type Hours struct{ From, To Instant }

// String returns the hours as they are typed: sunset-2h..sunset+20m.
func (h Hours) String() string { return h.From.String() + ".." + h.To.String() }

// Backwards reports whether the hours can be those of no day: both ends go by the
// clock or by the same event, and the second is not behind the first, nor the
// next night's.
func (h Hours) Backwards() bool {
	if h.From.Event != h.To.Event || h.From.Morning != h.To.Morning {
		return false
	}
	length := h.To.Offset - h.From.Offset
	if length < 0 {
		length += 24 * time.Hour
		return length > LongestOvernight
	}
	return length == 0
}

// AngleRange is the angles from one to another, both included.
type AngleRange struct{ Low, High sky.Angle }

// NamedLight is a kind of light that photographers ask for by its name.
type NamedLight int

// The kinds of light.
const (
	AnyLight   NamedLight = iota
	GoldenHour            // true altitude of the sun from -4 to 6 degrees
	LastLight             // the sun sinks, not more than 6 degrees clear of the skyline under it
	BlueHour              // true altitude from -6 to -4 degrees
)

// String returns the light's name as it is typed; empty for any.
func (l NamedLight) String() string {
	return [...]string{"", "golden-hour", "last-light", "blue-hour"}[l]
}

// Odds are how likely a condition of the sky is, 0 to 1.
type Odds struct {
	Condition sky.Condition
	Share     float64
}

// Forecast is the cloud that is forecast, in order of time.
type Forecast []CloudFrom

// CloudFrom is the cloud from a time on, until the next of the forecast but for
// no longer than three hours.
type CloudFrom struct {
	Time  time.Time
	Oktas float64 // 0 to 8
}

// At returns the oktas forecast for a time, and whether there are any.
func (f Forecast) At(t time.Time) (oktas float64, ok bool) {
	const lasts = 3 * time.Hour
	for i := len(f) - 1; i >= 0; i-- {
		if !f[i].Time.After(t) {
			return f[i].Oktas, t.Sub(f[i].Time) < lasts
		}
	}
	return 0, false
}
