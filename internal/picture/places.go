package picture

import (
	"math"

	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/scene"
	"evenfall/internal/words"
	"evenfall/sky"
)

// placesHeight is the height of the plan view.
const placesHeight = 360.0

// places draws where things stand, seen from above, north up, at the first
// minute that the verdict's method works at; and from where the sun comes
// through the window, as ticks at the edge.
func places(p *plan.Plan) *drawing {
	r := best(p)[0]
	v := newView(p, r)
	v.frame()
	v.scrim()
	v.reflector()
	v.camera()
	v.sitter()
	v.flash()
	v.fill()
	v.rim()
	v.sun()
	v.scale()
	v.names()
	v.skyline()
	return v.drawing
}

// view is a plan view in the making.
type view struct {
	*drawing
	plan   *plan.Plan
	run    *plan.Run
	minute *plan.Minute
	later  *plan.Minute // the last, where all turns with the sun by then; else nil
	middle point        // of the sitter
	edge   box          // the sun's ticks stand on
	unit   float64      // of the drawing, for a metre
	lens   float64      // distance of the camera as drawn, m
	marks  []mark       // to be named
}

// mark is what has a name beside it.
type mark struct {
	at    point
	away  float64
	lines []string
}

func newView(p *plan.Plan, r *plan.Run) *view {
	first, last := r.Span()
	v := &view{drawing: newDrawing(placesHeight), plan: p, run: r, minute: &r.Minutes[first]}
	if end := &r.Minutes[last]; report.Turned(v.minute, end) {
		v.later = end
	}
	v.middle = point{v.width / 2, v.height / 2}
	const aside, above = 62, 52
	v.edge = around(v.middle, v.width/2-aside, v.height/2-above)
	far := v.farthest()
	v.lens = min(p.Shoot.Subject.CameraDistance, 2*far)
	const radius = 98
	v.unit = radius / max(far, v.lens)
	return v
}

// flashes reports whether a flash stands there, if only for the other case of
// the sky.
func (v *view) flashes() bool { return v.plan.Flashes(v.run.Method) }

// farthest is how far from the sitter what stands around reaches, m, the camera
// apart.
func (v *view) farthest() float64 {
	s := v.plan.Shoot
	far := 1.0
	if v.flashes() {
		far = max(far, s.Flash.Distance)
	}
	if v.plan.Fills(v.run.Method) {
		far = max(far, s.Fill.Distance)
	}
	if s.Rim != nil {
		far = max(far, s.Rim.Distance)
	}
	if v.run.Method.UsesReflector() && s.Reflector != nil {
		far = max(far, s.Reflector.Distance)
	}
	if at := v.shaded(); at != nil {
		far = max(far, math.Hypot(at.Out+s.Scrim.Length*math.Cos(float64(at.Tilt))/2, s.Scrim.Width/2))
	}
	return far
}

// to returns the place at an azimuth and so many m from the sitter.
func (v *view) to(azimuth sky.Angle, metres float64) point {
	return v.middle.plus(direction(azimuth).times(metres * v.unit))
}

// direction returns the unit step toward an azimuth, north up.
func direction(azimuth sky.Angle) point {
	sin, cos := math.Sincos(float64(azimuth))
	return point{sin, -cos}
}

// frame draws the edge, and says where north is.
func (v *view) frame() {
	e := v.edge
	corners := [...]point{{e.left, e.top}, {e.right, e.top}, {e.right, e.bottom}, {e.left, e.bottom}}
	v.path("edge", true, corners[:]...)
	for i, c := range corners {
		v.takeLine(c, corners[(i+1)%len(corners)])
	}
	v.set(label{[]string{"north"}, point{v.middle.x, e.top + 18}, middle})
}

func (v *view) sitter() {
	const size, nose = 11, 9
	facing := direction(v.minute.Stance.Facing)
	across := point{-facing.y, facing.x}
	v.path("mark", true, v.middle.plus(facing.times(size+nose)), v.middle.plus(across.times(6)).plus(facing.times(size-3)),
		v.middle.plus(across.times(-6)).plus(facing.times(size-3)))
	v.circle("mark", v.middle, size)
	v.take(around(v.middle, size+3, size+3))
	v.marks = append(v.marks, mark{v.middle, size + 7, []string{"sitter"}})
}

// camera draws the camera, and where all turns with the sun that at the end.
func (v *view) camera() {
	distance := v.plan.Shoot.Subject.CameraDistance
	lines := []string{"camera", words.Metres(distance)}
	if v.lens < distance {
		lines = append(lines, "not to scale")
	}
	v.aim(v.minute.Stance.Facing, lines)
	if v.later != nil {
		v.dot(v.later.Stance.Facing, v.lens, "camera", words.Clock{}.Time(v.later.Time))
	}
}

// dot marks where something stands later.
func (v *view) dot(bearing sky.Angle, metres float64, lines ...string) {
	const radius = 4
	at := v.to(bearing, metres)
	v.circle("dot", at, radius)
	v.take(around(at, radius, radius))
	v.marks = append(v.marks, mark{at, radius + 6, lines})
}

// aim draws the camera at an azimuth, looking at the sitter; the line to it is
// broken where it is not to scale.
func (v *view) aim(facing sky.Angle, lines []string) {
	out := direction(facing)
	across := point{-out.y, out.x}
	at := v.to(facing, v.lens)
	v.line("axis", v.middle, at)
	v.takeLine(v.middle, at)
	corner := func(along, aside float64) point { return at.plus(out.times(along)).plus(across.times(aside)) }
	v.path("mark", true, corner(0, -12), corner(0, 12), corner(15, 12), corner(15, -12))
	v.path("mark", true, corner(0, -5), corner(0, 5), corner(-8, 8), corner(-8, -8))
	v.take(around(corner(4, 0), 16, 16))
	if v.lens < v.plan.Shoot.Subject.CameraDistance {
		half := v.to(facing, v.lens*0.75)
		for _, shift := range [...]float64{-3, 3} {
			c := half.plus(out.times(shift))
			v.line("mark", c.plus(across.times(-7)).plus(out.times(3)), c.plus(across.times(7)).plus(out.times(-3)))
		}
	}
	v.marks = append(v.marks, mark{corner(4, 0), 20, lines})
}

// flash draws the flash where it stands at first, and where it is moved to or
// stands at the end.
func (v *view) flash() {
	if !v.flashes() {
		return
	}
	h := &v.plan.Shoot.Flash
	bearing := v.plan.PlaceAt(v.minute.Moment, &v.minute.Solution).Bearing
	v.head(bearing, h, "flash")
	for _, place := range v.run.Places[1:] {
		v.dot(place.Bearing, h.Distance, "flash", "from "+words.Clock{}.Time(place.From))
	}
	if v.later != nil {
		bearing := v.plan.PlaceAt(v.later.Moment, &v.later.Solution).Bearing
		v.dot(bearing, h.Distance, "flash", words.Clock{}.Time(v.later.Time))
	}
}

// head draws a head where it stands, to be named with its distance and more.
func (v *view) head(bearing sky.Angle, h *flash.Head, name string, more ...string) {
	lines := append([]string{name, words.Metres(h.Distance)}, more...)
	v.marks = append(v.marks, mark{v.lamp(bearing, h.Distance, h.Modifier.Size), 14, lines})
}

// lamp draws a flash that shines on the sitter, with the width of its modifier
// in m.
func (v *view) lamp(bearing sky.Angle, metres, width float64) point {
	out := direction(bearing)
	across := point{-out.y, out.x}
	at := v.to(bearing, metres)
	corner := func(along, aside float64) point { return at.plus(out.times(along)).plus(across.times(aside)) }
	half := max(width/2*v.unit, 7)
	v.path("mark", true, corner(0, -half), corner(0, half), corner(9, 5), corner(9, -5))
	v.path("mark", true, corner(9, -5), corner(9, 5), corner(19, 5), corner(19, -5))
	v.takeLine(corner(0, -half), corner(0, half))
	v.take(around(corner(10, 0), 10, 10))
	return corner(9, 0)
}

// fill draws the fill.
func (v *view) fill() {
	if !v.plan.Fills(v.run.Method) {
		return
	}
	h := &v.plan.Shoot.Fill.Head
	bearing := v.plan.FillPlaceAt(v.minute.Moment).Bearing
	v.head(bearing, h, "fill")
	if v.later != nil {
		v.dot(v.plan.FillPlaceAt(v.later.Moment).Bearing, h.Distance, "fill", words.Clock{}.Time(v.later.Time))
	}
}

// rim draws the second group behind the sitter, on the other side than the
// flash: which side is free.
func (v *view) rim() {
	if v.plan.Shoot.Rim == nil {
		return
	}
	behind := v.minute.Stance.Toward(sky.Degrees(-145))
	v.head(behind, &v.plan.Shoot.Rim.Head, "rim flash", "side free")
}

// shaded returns how the scrim stands at the first minute that it is up; nil
// where it never is.
func (v *view) shaded() *scene.Setup {
	if !v.run.Method.UsesScrim() || v.plan.Shoot.Scrim == nil {
		return nil
	}
	for i := range v.run.Minutes {
		if m := &v.run.Minutes[i]; m.ScrimUp && !m.Time.Before(v.minute.Time) {
			at := v.plan.Shoot.Scrim.Setup(m.Sun, m.Stance.Facing, v.plan.Shoot.Subject.Figure)
			return &at
		}
	}
	return nil
}

func (v *view) scrim() {
	at := v.shaded()
	if at == nil {
		return
	}
	s := v.plan.Shoot.Scrim
	out := direction(at.Azimuth)
	across := point{-out.y, out.x}.times(s.Width / 2 * v.unit)
	along := out.times(max(s.Length*math.Cos(float64(at.Tilt))/2*v.unit, 1.5))
	middle := v.to(at.Azimuth, at.Out)
	far, near := middle.plus(along), middle.plus(along.times(-1))
	corners := []point{far.plus(across), far.plus(across.times(-1)), near.plus(across.times(-1)), near.plus(across)}
	v.path("scrim", true, corners...)
	for i, c := range corners {
		v.takeLine(c, corners[(i+1)%len(corners)])
	}
	v.marks = append(v.marks, mark{far, 10, []string{"scrim", words.Metres(at.AboveGround) + " up"}})
}

func (v *view) reflector() {
	s := v.plan.Shoot
	if !v.run.Method.UsesReflector() || s.Reflector == nil {
		return
	}
	at := v.to(v.minute.Stance.Toward(s.Reflector.Angle), s.Reflector.Distance)
	across := direction(s.Reflector.Across(v.minute.Sun, v.minute.Stance, v.minute.Reflected.Turn)).
		times(s.Reflector.Width / 2 * v.unit)
	a, b := at.plus(across), at.plus(across.times(-1))
	v.path("panel", false, a, b)
	v.takeLine(a, b)
	v.marks = append(v.marks, mark{at, 10, []string{"reflector", words.Metres(s.Reflector.Distance)}})
}

// sun marks the directions that the sun shines from as ticks at the edge, as
// many as there is room to name.
func (v *view) sun() {
	var list []*plan.Minute
	for i := range v.run.Minutes {
		list = append(list, &v.run.Minutes[i])
	}
	last := len(list) - 1
	v.tick(list[0], "sun")
	v.tick(list[last])
	for _, parts := range [...]int{2, 4} {
		for i := 1; i < parts; i += 2 {
			v.tick(list[last*i/parts])
		}
	}
}

// tick marks where the sun stands at a minute, with its time and altitude under
// what comes first, if there is room for them.
func (v *view) tick(m *plan.Minute, first ...string) {
	lines := append(first, words.Clock{}.Time(m.Time), words.Degrees(m.Sun.Altitude, 0))
	if !m.Visible {
		lines[len(lines)-1] = "hidden"
	}
	step := direction(m.Sun.Azimuth)
	at := v.onEdge(step)
	if v.set(v.outside(at, lines)) {
		v.line("tick", at.plus(step.times(-7)), at.plus(step.times(7)))
	}
}

// onEdge returns the point of the edge that lies in a direction.
func (v *view) onEdge(step point) point {
	reach := math.Inf(1)
	if step.x != 0 {
		reach = (v.edge.right - v.middle.x) / math.Abs(step.x)
	}
	if step.y != 0 {
		reach = min(reach, (v.edge.bottom-v.middle.y)/math.Abs(step.y))
	}
	return v.middle.plus(step.times(reach))
}

// outside returns a label beside a point of the edge, outside of it.
func (v *view) outside(at point, lines []string) label {
	lower := lineHeight * float64(len(lines)-1)
	l := label{lines: lines, at: point{at.x, at.y}, anchor: middle}
	const away = 10
	switch {
	case at.y <= v.edge.top+0.5:
		l.at.y -= away + lower
	case at.y >= v.edge.bottom-0.5:
		l.at.y += away + 0.8*textSize
	case at.x < v.middle.x:
		l.at, l.anchor = point{at.x - away, at.y + 5 - lower/2}, end
	default:
		l.at, l.anchor = point{at.x + away, at.y + 5 - lower/2}, start
	}
	b := l.box()
	l.at.x += max(0, -b.left) - max(0, b.right-v.width)
	l.at.y += max(0, -b.top) - max(0, b.bottom-v.height)
	return l
}

// skyline marks inside the edge where the sun goes behind the skyline and comes
// out, with the time, if there is room for it.
func (v *view) skyline() {
	const length, most = 16, 4
	events := v.plan.SkylineEvents()
	for _, e := range events[:min(len(events), most)] {
		step := direction(e.Azimuth)
		from := v.onEdge(step)
		to := from.plus(step.times(-length))
		if v.beside(to, 6, string(e.Name), words.Clock{}.Time(e.Time)) {
			v.line("mark", from, to)
		}
	}
}

// scale draws a length of some metres.
func (v *view) scale() {
	const shortest = 30
	length := 0.5
	for _, longer := range [...]float64{1, 2, 5, 10, 20, 50, 100} {
		if length*v.unit < shortest {
			length = longer
		}
	}
	a := point{v.edge.left + 8, v.edge.bottom - 8}
	b := point{a.x + length*v.unit, a.y}
	v.line("mark", a, b)
	for _, p := range [...]point{a, b} {
		v.line("mark", point{p.x, p.y - 3}, point{p.x, p.y + 3})
	}
	v.take(box{a.x - 2, a.y - 4, b.x + 2, a.y + 4})
	v.set(label{[]string{words.Metres(length)}, point{a.x, a.y - 10}, start})
}

// names names the marks.
func (v *view) names() {
	for i := range v.marks {
		v.beside(v.marks[i].at, v.marks[i].away, v.marks[i].lines...)
	}
}
