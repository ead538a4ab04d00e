package sky

import "math"

// HorizonPoint is one point of a skyline.
type HorizonPoint struct{ Azimuth, Altitude Angle }

// Horizon is a skyline as points by rising azimuth; between two the line is
// straight, from the last it runs on to the first. Empty, it is the sea's.
type Horizon []HorizonPoint

// At returns the altitude of the skyline at an azimuth.
func (h Horizon) At(azimuth Angle) Angle {
	a, b, f := h.Between(azimuth)
	return a.Altitude + Angle(f)*(b.Altitude-a.Altitude)
}

// highest returns the altitude of its highest point; 0 where there is none above
// the sea's horizon.
func (h Horizon) highest() Angle {
	top := Angle(0)
	for _, p := range h {
		top = max(top, p.Altitude)
	}
	return top
}

// Between returns the two points that an azimuth lies between, and how far
// along from the one to the other, 0 to 1; zero values where there is no
// skyline.
func (h Horizon) Between(azimuth Angle) (a, b HorizonPoint, f float64) {
	if len(h) == 0 {
		return a, b, 0
	}
	azimuth = azimuth.Normal()
	// The segment ends at the first point beyond the azimuth, or wraps.
	next := 0
	for next < len(h) && h[next].Azimuth <= azimuth {
		next++
	}
	a = h[(next+len(h)-1)%len(h)]
	b = h[next%len(h)]
	if width := float64((b.Azimuth - a.Azimuth).Normal()); width > 0 {
		f = float64((azimuth - a.Azimuth).Normal()) / width
	}
	return a, b, f
}

// SunRadius is the sun's apparent radius, 16 arcmin (the almanac value).
const SunRadius Angle = 16. / 60 * math.Pi / 180

// Visible returns the share of the sun's disc that stands above the sea's
// horizon and above the skyline: 1 clear of it, 0 behind it.
func (h Horizon) Visible(s Sun) float64 {
	line := max(0, h.At(s.Azimuth))
	x := float64((s.Altitude - line) / SunRadius) // -1 gone, +1 all there
	switch {
	case x <= -1:
		return 0
	case x >= 1:
		return 1
	}
	// Area of a disc above a chord.
	return 0.5 + (math.Asin(x)+x*math.Sqrt(1-x*x))/math.Pi
}
