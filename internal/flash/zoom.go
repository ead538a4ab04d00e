package flash

import "math"

// typicalRows are how the guide number of a zooming head goes with its zoom
// position, 1 at 50 mm. From the tables at full power of four instruction
// manuals: from 24 to 105 mm each step is the geometric mean over the manuals
// whose table spans it, below 24 mm, where a wide panel lies before the head,
// over those that state the position. From any row to any other of the same
// manual it is right within a third of a stop. The step from 105 to 200 mm is from memory: heads marked GN 60
// at 200 mm state 58 at 105.
var typicalRows = [...]GuideNumber{
	{14, 0.391}, {16, 0.437}, {20, 0.501}, {24, 0.725}, {28, 0.764}, {35, 0.856},
	{50, 1}, {70, 1.122}, {85, 1.205}, {105, 1.325}, {200, 1.37},
}

// TypicalCurve returns the guide number of a typical zooming head at a zoom
// position in mm, against that at 50 mm: straight lines in logarithms. It
// stays level below 14 and above 200 mm.
func TypicalCurve(zoom float64) float64 {
	a, b := rowsAbout(typicalRows[:], zoom)
	return between(a, b, zoom)
}

// GuideAt returns the guide number with the head at a zoom position in mm, in
// m at ISO 100 and full power: between the rows of the unit's table by
// straight lines in logarithms. Where the table does not reach, the nearest
// row is scaled along the typical curve, and the number is estimated. A head
// without zoom has one number.
func (u *Unit) GuideAt(zoom float64) (number float64, estimated bool) {
	a, b := u.GuideRows(zoom)
	if a != b || a.Zoom == 0 || a.Zoom == zoom {
		return between(a, b, zoom), false
	}
	return a.Number * TypicalCurve(zoom) / TypicalCurve(a.Zoom), true
}

// GuideRows returns the rows of the unit's table that a zoom position lies
// between, the nearer end twice where it lies at or beyond it.
func (u *Unit) GuideRows(zoom float64) (a, b GuideNumber) { return rowsAbout(u.Guide, zoom) }

func rowsAbout(g []GuideNumber, zoom float64) (a, b GuideNumber) {
	if zoom <= g[0].Zoom {
		return g[0], g[0]
	}
	for i := 1; i < len(g); i++ {
		if zoom < g[i].Zoom {
			return g[i-1], g[i]
		}
	}
	return g[len(g)-1], g[len(g)-1]
}

// between returns the number at a zoom position on the line through two rows,
// that of the row where they are one.
func between(a, b GuideNumber, zoom float64) float64 {
	if a == b {
		return a.Number
	}
	f := math.Log(zoom/a.Zoom) / math.Log(b.Zoom/a.Zoom)
	return a.Number * math.Pow(b.Number/a.Number, f)
}

// Zooms reports whether the head has a zoom.
func (u *Unit) Zooms() bool { return u.LongestZoom() > 0 }

// LongestZoom returns the end of the unit's zoom range, mm; 0 of a head
// without zoom.
func (u *Unit) LongestZoom() float64 { return u.Guide[len(u.Guide)-1].Zoom }

// GuideInUse is the guide number of a head as it is set up.
type GuideInUse struct {
	Number    float64 // m at ISO 100 and full power, before any loss
	Zoom      float64 // mm; 0 of a head without zoom
	Estimated bool    // the kit states none at this position: along the typical curve
}

// Guide returns the guide number of one unit where its head really is.
func (h *Head) Guide() GuideInUse {
	zoom := h.HeadZoom()
	number, estimated := h.Unit.GuideAt(zoom)
	return GuideInUse{number, zoom, estimated}
}

// HeadZoom returns the zoom position the heads are set to, mm: a modifier sets
// that of the head inside it, and a bare head that nobody has set stands at the
// shortest that the kit states. It is 0 where the unit has no zoom.
func (h *Head) HeadZoom() float64 {
	switch {
	case !h.Unit.Zooms():
		return 0
	case h.Modifier.Zoom > 0:
		return h.Modifier.Zoom
	case h.Zoom > 0:
		return h.Zoom
	}
	return h.Unit.Guide[0].Zoom
}

// A zoom position lights what a lens of that focal length sees on a frame of
// 36 x 24 mm.
const frameWidth, frameHeight = 36, 24 // mm

// Cover returns what a bare head at a zoom position in mm lights, in m for each
// metre of its distance: 36/zoom wide and 24/zoom high, the head upright.
func Cover(zoom float64) (width, height float64) { return frameWidth / zoom, frameHeight / zoom }

// LongestZoomFor returns the longest zoom position, mm, at which a bare head
// still lights all of a framing, its size and distance in m; +Inf for a framing
// of no size.
func LongestZoomFor(width, height, distance float64) float64 {
	return distance * min(frameWidth/width, frameHeight/height)
}
