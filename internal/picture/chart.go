package picture

import (
	"math"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/words"
	"evenfall/sky"
)

// chart is a drawing of values against time.
type chart struct {
	*drawing
	from, to  time.Time
	low, high float64 // of the values
	plot      box
}

// newChart begins a chart of a window and a range of values, nothing drawn yet.
func newChart(height float64, from, to time.Time, low, high float64) *chart {
	const left, right, top, bottom = 46, 10, 24, 28
	return &chart{drawing: newDrawing(height), from: from, to: to, low: low, high: high,
		plot: box{left, top, fullWidth - right, height - bottom}}
}

func (c *chart) x(t time.Time) float64 {
	whole := c.to.Sub(c.from)
	if whole <= 0 {
		return (c.plot.left + c.plot.right) / 2
	}
	return c.plot.left + (c.plot.right-c.plot.left)*float64(t.Sub(c.from))/float64(whole)
}

func (c *chart) y(v float64) float64 {
	return c.plot.bottom - (c.plot.bottom-c.plot.top)*(v-c.low)/(c.high-c.low)
}

func (c *chart) at(t time.Time, v float64) point { return point{c.x(t), c.y(v)} }

// level draws a value's line across the chart, its label at the axis.
func (c *chart) level(v float64, text string) {
	y := c.y(v)
	if c.set(label{[]string{text}, point{c.plot.left - 6, y + 0.35*textSize}, end}) {
		c.line("grid", point{c.plot.left, y}, point{c.plot.right, y})
	}
}

// hours draws the times, at round ones, as many as there is room for.
func (c *chart) hours() {
	c.line("axis", point{c.plot.left, c.plot.bottom}, point{c.plot.right, c.plot.bottom})
	for _, every := range [...]time.Duration{time.Minute, 5 * time.Minute, 10 * time.Minute, 15 * time.Minute,
		30 * time.Minute, time.Hour, 2 * time.Hour, 3 * time.Hour, 6 * time.Hour} {
		if most := 6; int(c.to.Sub(c.from)/every) >= most {
			continue
		}
		y, m, d := c.from.Date()
		for t := time.Date(y, m, d, 0, 0, 0, 0, c.from.Location()); !t.After(c.to); t = t.Add(every) {
			if t.Before(c.from) {
				continue
			}
			text := words.Clock{}.Time(t)
			half := widest(text) / 2
			x := min(max(c.x(t), half), c.width-half)
			if c.set(label{[]string{text}, point{x, c.plot.bottom + 19}, middle}) {
				c.line("axis", point{c.x(t), c.plot.bottom}, point{c.x(t), c.plot.bottom + 5})
			}
		}
		return
	}
}

// events marks what of the day falls into the window: sunrise and sunset, and when
// the sun goes behind the skyline and comes out.
func (c *chart) events(p *plan.Plan) {
	for _, name := range [...]sky.EventName{sky.Sunrise, sky.Sunset} {
		for _, e := range p.Day.Events {
			if e.Name == name {
				c.event(e.Time, string(name))
			}
		}
	}
	for _, e := range p.SkylineEvents() {
		c.event(e.Time, string(e.Name))
	}
}

// event marks a time of the window, its name over the middle of the line or where
// there is room for it to one side.
func (c *chart) event(t time.Time, name string) {
	if t.Before(c.from) || t.After(c.to) {
		return
	}
	x, half := c.x(t), widest(name)/2
	for _, aside := range [...]float64{0, -half, half} {
		middleOf := min(max(x+aside, half), c.width-half)
		if c.set(label{[]string{name}, point{middleOf, c.plot.top - 7}, middle}) {
			c.line("event", point{x, c.plot.top}, point{x, c.plot.bottom})
			return
		}
	}
}

// stepFor returns the distance of lines across a range of values.
func stepFor(low, high float64, most int) float64 {
	for _, step := range [...]float64{1, 2, 5, 10} {
		if (high-low)/step <= float64(most) {
			return step
		}
	}
	return 20
}

// curve is a value along time; breaks are NaN.
type curve []point

// draw draws a curve, in parts where it has no value.
func (c *chart) draw(class string, points curve) {
	var part curve
	for _, p := range append(points, point{math.NaN(), math.NaN()}) {
		if !math.IsNaN(p.y) {
			part = append(part, p)
			continue
		}
		c.path(class, false, part...)
		part = nil
	}
}

// side is on which a curve's name stands if it can.
type side float64

// The sides.
const (
	above side = -1
	below side = 1
)

// name sets a curve's name beside it, or where there is no room on either side
// with a line to it.
func (c *chart) name(points curve, text string, s side) bool {
	for _, far := range [...]float64{8, 22, 36, 50, 64, 78} {
		for _, on := range [...]side{s, -s} {
			for _, share := range [...]float64{0.15, 0.3, 0.5, 0.7, 0.85, 0, 1} {
				if len(points) > 0 && c.nameAt(points[int(share*float64(len(points)-1))], far, on, text) {
					return true
				}
			}
		}
	}
	return false
}

// nameAt sets a name so far to a side of a point of a curve.
func (c *chart) nameAt(p point, far float64, s side, text string) bool {
	const near = 8
	off := -far
	if s == below {
		off = far + 0.8*textSize
	}
	if math.IsNaN(p.y) {
		return false
	}
	for _, a := range [...]anchor{start, middle, end} {
		if !c.set(label{[]string{text}, point{p.x, p.y + off}, a}) {
			continue
		}
		if far > near {
			c.line("leader", point{p.x, p.y + 2*float64(s)}, point{p.x, p.y + (far-4)*float64(s)})
		}
		return true
	}
	return false
}

// keepOff keeps labels off a curve.
func (c *chart) keepOff(points curve) {
	for i := 1; i < len(points); i++ {
		if !math.IsNaN(points[i-1].y) && !math.IsNaN(points[i].y) {
			c.takeLine(points[i-1], points[i])
		}
	}
}
