// Package picture draws the pictures of a sheet as SVG: charts of the light and
// the flash's power against time, and where things stand, seen from above. A
// stylesheet colours them by class. No two of their labels overlap, and none
// leaves the picture.
package picture

import (
	"fmt"
	"html"
	"math"
	"strings"
	"unicode/utf8"
)

// Sizes in the unit of all drawings, about a pixel of a phone.
const (
	fullWidth  = 360.0
	textSize   = 13.0
	lineHeight = 15.0
)

// point is a place in a drawing, y downward.
type point struct{ x, y float64 }

func (p point) plus(q point) point    { return point{p.x + q.x, p.y + q.y} }
func (p point) times(k float64) point { return point{p.x * k, p.y * k} }

// box is an upright rectangle.
type box struct{ left, top, right, bottom float64 }

// around returns the box about a point, so far to each side.
func around(p point, x, y float64) box { return box{p.x - x, p.y - y, p.x + x, p.y + y} }

func (b box) meets(c box) bool {
	return b.left < c.right && c.left < b.right && b.top < c.bottom && c.top < b.bottom
}

// anchor is the point of a label's lines that is given.
type anchor string

// The anchors.
const (
	start  anchor = "start"
	middle anchor = "middle"
	end    anchor = "end"
)

// label is text in a drawing.
type label struct {
	lines  []string
	at     point // of the first line: its anchor, on the baseline
	anchor anchor
}

// box returns what a label takes at the most.
func (l *label) box() box {
	width := 0.0
	for _, line := range l.lines {
		width = max(width, widest(line))
	}
	left := l.at.x
	switch l.anchor {
	case middle:
		left -= width / 2
	case end:
		left -= width
	}
	top := l.at.y - 0.8*textSize
	return box{left, top, left + width, top + lineHeight*float64(len(l.lines))}
}

// widest returns how wide text may be, in the wider of the usual fonts.
func widest(s string) float64 {
	sum := 0.0
	for _, r := range s {
		switch {
		case r >= utf8.RuneSelf && r != '°' && r != '−' && r != '–':
			sum += 1
		case strings.ContainsRune(" .,:;/|'ijlI°", r):
			sum += 0.42
		case strings.ContainsRune("mwMW%@", r):
			sum += 1
		case r >= 'A' && r <= 'Z', r == '+', r == '−':
			sum += 0.84
		default:
			sum += 0.65
		}
	}
	return sum * textSize
}

// drawing is a picture in the making.
type drawing struct {
	width, height float64
	b             strings.Builder
	labels        []label
	taken         []box // by labels and by marks that none may cover
}

func newDrawing(height float64) *drawing { return &drawing{width: fullWidth, height: height} }

// free reports whether a box lies in the picture and on nothing taken.
func (d *drawing) free(b box) bool {
	if b.left < 0 || b.top < 0 || b.right > d.width || b.bottom > d.height {
		return false
	}
	for _, t := range d.taken {
		if b.meets(t) {
			return false
		}
	}
	return true
}

// set sets a label if there is room for it.
func (d *drawing) set(l label) bool {
	b := l.box()
	if !d.free(b) {
		return false
	}
	const apart = 4 // from a label beside it
	d.taken = append(d.taken, box{b.left - apart, b.top, b.right + apart, b.bottom})
	d.labels = append(d.labels, l)
	return true
}

// beside sets lines beside a mark, so far from its middle or somewhat farther
// with a line to it; where there is no room they are left out, and false is
// returned.
func (d *drawing) beside(p point, away float64, lines ...string) bool {
	const farthest, further, led = 170.0, 6.0, 12.0
	height := lineHeight * float64(len(lines))
	for far := away; far < farthest; far += further {
		for _, turn := range [...]float64{0, 180, 90, 270, 45, 315, 135, 225, 22, 338, 158, 202, 67, 293, 113, 247} {
			sin, cos := math.Sincos(turn * math.Pi / 180)
			l := label{lines: lines, at: point{p.x + far*cos, p.y + far*sin}, anchor: middle}
			switch {
			case cos > 0.3:
				l.anchor = start
			case cos < -0.3:
				l.anchor = end
			}
			// The baseline for a text that stands below, above or level.
			l.at.y += 0.8*textSize - height/2 + height/2*sin
			from, to := p.plus(point{cos, sin}.times(away-4)), p.plus(point{cos, sin}.times(far-2))
			needsLine := far > away+led
			if needsLine && d.crosses(from, to) || !d.set(l) {
				continue
			}
			if needsLine {
				d.line("leader", from, to)
				d.takeLine(from, to)
			}
			return true
		}
	}
	return false
}

// crosses reports whether a line would run through a label.
func (d *drawing) crosses(a, b point) bool {
	for i := range d.labels {
		for _, on := range along(a, b) {
			if d.labels[i].box().meets(around(on, 1, 1)) {
				return true
			}
		}
	}
	return false
}

// along returns points of a line, close together.
func along(a, b point) []point {
	const every = 5.0
	steps := max(1, math.Ceil(math.Hypot(b.x-a.x, b.y-a.y)/every))
	var list []point
	for i := 0.0; i <= steps; i++ {
		list = append(list, point{a.x + (b.x-a.x)*i/steps, a.y + (b.y-a.y)*i/steps})
	}
	return list
}

// take keeps labels off a mark.
func (d *drawing) take(b box) { d.taken = append(d.taken, b) }

// takeLine keeps labels off a line.
func (d *drawing) takeLine(a, b point) {
	for _, on := range along(a, b) {
		d.take(around(on, 3, 3))
	}
}

func (d *drawing) line(class string, a, b point) {
	fmt.Fprintf(&d.b, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`, class, n(a.x), n(a.y), n(b.x), n(b.y))
}

func (d *drawing) circle(class string, p point, r float64) {
	fmt.Fprintf(&d.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, n(p.x), n(p.y), n(r))
}

// path draws a line through points, closed or open: each where it lies from the one
// before, which is shorter.
func (d *drawing) path(class string, closed bool, points ...point) {
	if len(points) == 0 {
		return
	}
	fmt.Fprintf(&d.b, `<path class="%s" d="m`, class)
	var before point // in tenths, as they are written, so that nothing adds up
	for i, p := range points {
		if i > 0 {
			d.b.WriteString(" ")
		}
		at := point{math.Round(p.x * 10), math.Round(p.y * 10)}
		d.b.WriteString(n((at.x-before.x)/10) + " " + n((at.y-before.y)/10))
		before = at
	}
	if closed {
		d.b.WriteString("z")
	}
	d.b.WriteString(`"/>`)
}

// n writes a coordinate.
func n(v float64) string {
	s := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.1f", v), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// svg returns the finished picture with its name and what it shows, both said
// by screen readers.
func (d *drawing) svg(name, title, description string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img"`, n(d.width), n(d.height))
	fmt.Fprintf(&b, ` aria-labelledby="%s-t" aria-describedby="%s-d">`, name, name)
	fmt.Fprintf(&b, `<title id="%s-t">%s</title><desc id="%s-d">%s</desc>`,
		name, html.EscapeString(title), name, html.EscapeString(description))
	b.WriteString(d.b.String())
	for i := range d.labels {
		l := &d.labels[i]
		for k, text := range l.lines {
			fmt.Fprintf(&b, `<text x="%s" y="%s" text-anchor="%s">%s</text>`, n(l.at.x), n(l.at.y+lineHeight*float64(k)),
				l.anchor, html.EscapeString(text))
		}
	}
	b.WriteString("</svg>")
	return b.String()
}
