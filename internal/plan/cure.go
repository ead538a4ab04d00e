package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
)

// cure names, for every row that method number n of the shoot cannot do, the
// smallest single changes that would make it, cheapest first: what costs
// nothing, then other settings, other methods, other kit, another look, and
// last another time. Each is solved again before it is named.
func (v *Solver) cure(rows []Row, n int) {
	changed := map[string]*Solver{} // by what was changed, the same in many rows
	first := func(kind []remedy, m shoot.Method, at *Moment) (Cure, bool) {
		for _, c := range kind {
			if changed[c.text] == nil {
				changed[c.text] = c.solver()
			}
			if changed[c.text].Holds(m, at) {
				return Cure{c.text}, true
			}
		}
		return Cure{}, false
	}
	for i := range rows {
		r := &rows[i]
		s := &r.Methods[n]
		if s.Feasible {
			continue
		}
		at := r.Moment()
		for _, kind := range v.remedies(s) {
			if c, ok := first(kind, s.Method, at); ok {
				s.Cures = append(s.Cures, c)
			}
		}
		for _, m := range shoot.Methods {
			if m != s.Method && v.Holds(m, at) {
				s.Cures = append(s.Cures, otherMethod(m))
			}
		}
		for _, kind := range v.purchases(s) {
			if c, ok := first(kind, s.Method, at); ok {
				s.Cures = append(s.Cures, c)
			}
		}
		for _, later := range rows[i+1:] {
			if later.Case == r.Case && later.Methods[n].Feasible {
				s.Cures = append(s.Cures, Cure{"wait until " + clock(later.Time)})
				break
			}
		}
	}
}

// remedy is a changed shoot that may make a method work.
type remedy struct {
	text string
	from *Solver
	edit func(*shoot.Shoot)
}

// solver returns the solver of the changed shoot. Programs are taken over
// where the change leaves them alone.
func (r *remedy) solver() *Solver {
	c := *r.from.shoot
	r.edit(&c)
	was := r.from.shoot
	if c.Camera != was.Camera || c.Lens != was.Lens || c.Flash.Unit != was.Flash.Unit || len(c.Filters) != len(was.Filters) {
		return NewSolver(&c)
	}
	s := *r.from
	s.shoot, s.full = &c, fullBare(&c.Flash)
	return &s
}

func (v *Solver) change(edit func(*shoot.Shoot), format string, values ...any) remedy {
	return remedy{fmt.Sprintf(format, values...), v, edit}
}

// The ends of where a flash on a stand is set up, m, and of the units and
// times that a cure asks for.
const (
	nearestStand  = 0.5
	farthestStand = 30
	mostUnits     = 12
	onTripod      = exposure.Shutter(0) // 1 s
)

// remedies lists the changes worth trying with the kit at hand, by kind, the
// cheapest kind first; within a kind the smallest change.
func (v *Solver) remedies(s *Solution) [][]remedy {
	switch s.Problem.Kind {
	case TooWeak:
		return [][]remedy{v.distances(s), v.bare(), v.apertures(true), v.moreUnits()}
	case TooStrong:
		return [][]remedy{v.distances(s), v.apertures(true), v.tripod(), v.fewerUnits()}
	case CoarseSteps:
		return [][]remedy{v.trims()}
	case RimTooWeak, RimTooStrong:
		return [][]remedy{v.rimDistances(s)}
	case TooDark:
		return [][]remedy{v.apertures(true), v.tripod()}
	case TooBright:
		return [][]remedy{v.apertures(false)}
	case AmbientOnFace:
		return [][]remedy{{v.change(func(c *shoot.Shoot) {
			c.Subject.Facing = scene.Facing{Side: scene.Backlit}
		}, "turn the back to the sun")}}
	case ShadowMissed:
		return [][]remedy{v.aimed(), v.headOnly()}
	}
	return nil
}

// purchases lists the changes that take other kit or another look.
func (v *Solver) purchases(s *Solution) [][]remedy {
	var list [][]remedy
	switch s.Problem.Kind {
	case TooWeak:
		list = append(list, v.modifiers(), v.flashes(true))
	case TooStrong:
		list = append(list, v.flashes(false))
	case NoScrim:
		list = append(list, v.scrims())
	case NoFilter:
		list = append(list, v.filters())
	case NoHighSpeed:
		list = append(list, v.highSpeed())
	}
	switch s.Problem.Kind {
	case TooWeak, TooStrong, CoarseSteps, AmbientOnFace:
		list = append(list, v.looks(s))
	}
	return list
}

// distances moves the flash by tenths of a metre, beginning near where the
// inverse square law says.
func (v *Solver) distances(s *Solution) []remedy {
	was := v.shoot.Flash.Distance
	room := s.Headroom
	step := -1.0
	if s.Problem.Kind == TooStrong {
		room, step = s.Problem.Misses, 1
	}
	var list []remedy
	tenths := math.Round(was * math.Exp2(float64(room)/2) * 10)
	if s.Problem.Kind == TooWeak {
		tenths = min(tenths+1, math.Ceil(was*10)-1)
	} else {
		tenths = max(tenths-1, math.Floor(was*10)+1)
	}
	for range 6 {
		if d := tenths / 10; d >= nearestStand && d <= farthestStand {
			list = append(list, v.change(func(c *shoot.Shoot) { c.Flash.Distance = d }, "flash at %.1f m instead of %.1f m", d, was))
		}
		tenths += step
	}
	return list
}

// trims moves a flash that stands between two clicks by some tenths.
func (v *Solver) trims() []remedy {
	was := v.shoot.Flash.Distance
	var list []remedy
	tenths := math.Round(was * 10)
	for by := 1.0; by <= 5; by++ {
		for _, d := range [2]float64{(tenths - by) / 10, (tenths + by) / 10} {
			if d >= nearestStand {
				list = append(list, v.change(func(c *shoot.Shoot) { c.Flash.Distance = d }, "flash at %.1f m instead of %.1f m", d, was))
			}
		}
	}
	return list
}

// bare takes the modifier off and zooms the head.
func (v *Solver) bare() []remedy {
	head := &v.shoot.Flash
	zoom := head.Unit.LongestZoom()
	if head.Modifier.Loss == 0 && head.Zoom >= zoom {
		return nil
	}
	text := "bare head, hard light"
	if zoom > 0 {
		text = fmt.Sprintf("bare head at %g mm, hard light", zoom)
	}
	return []remedy{v.change(func(c *shoot.Shoot) { c.Flash.Modifier, c.Flash.Zoom = flash.Modifier{}, zoom }, "%s", text)}
}

// apertures opens, or closes, the wanted aperture click by click.
func (v *Solver) apertures(wider bool) []remedy {
	lens := &v.shoot.Lens
	scale := clicks(lens.Wanted, lens.Narrowest, v.shoot.Camera.Click)
	if wider {
		scale = clicks(lens.Widest, lens.Wanted, v.shoot.Camera.Click)
		slices.Reverse(scale)
	}
	var list []remedy
	for _, a := range scale[1:] {
		list = append(list, v.change(func(c *shoot.Shoot) { c.Lens.Wanted = a }, "%s instead of %s", a, lens.Wanted))
	}
	return list
}

// tripod slows the shutter beyond what is held by hand.
func (v *Solver) tripod() []remedy {
	var list []remedy
	for t := v.shoot.Lens.Slowest - exposure.Shutter(v.shoot.Camera.Click); t >= onTripod; t -= exposure.Shutter(v.shoot.Camera.Click) {
		list = append(list, v.change(func(c *shoot.Shoot) { c.Lens.Slowest = t }, "%s from a tripod", t))
	}
	return list
}

func (v *Solver) moreUnits() []remedy {
	var list []remedy
	for n := v.shoot.Flash.Units + 1; n <= mostUnits; n++ {
		list = append(list, v.units(n))
	}
	return list
}

func (v *Solver) fewerUnits() []remedy {
	var list []remedy
	for n := v.shoot.Flash.Units - 1; n > 0; n-- {
		list = append(list, v.units(n))
	}
	return list
}

func (v *Solver) units(n int) remedy {
	return v.change(func(c *shoot.Shoot) { c.Flash.Units = n }, "%d units instead of %d", n, v.shoot.Flash.Units)
}

// rimDistances moves the rim flash about where the inverse square law says.
func (v *Solver) rimDistances(s *Solution) []remedy {
	was := v.shoot.Rim.Distance
	room := s.RimFlash.Headroom
	if s.Problem.Kind == RimTooStrong {
		room = s.Problem.Misses
	}
	tenths := math.Round(was * math.Exp2(float64(room)/2) * 10)
	var list []remedy
	for _, by := range [...]float64{0, -1, 1, -2, 2} {
		if d := (tenths + by) / 10; d >= nearestStand && d <= farthestStand {
			list = append(list, v.change(func(c *shoot.Shoot) {
				rim := *c.Rim
				rim.Distance = d
				c.Rim = &rim
			}, "rim flash at %.1f m instead of %.1f m", d, was))
		}
	}
	return list
}

// aimed carries an overhead panel square to the sun instead.
func (v *Solver) aimed() []remedy {
	if v.shoot.Scrim.Distance > 0 {
		return nil
	}
	return []remedy{v.change(func(c *shoot.Shoot) {
		panel := *c.Scrim
		panel.Height, panel.Tilt, panel.Reach, panel.Distance = 0, 0, 0, aimedDistance
		c.Scrim = &panel
	}, "the scrim aimed at the sun, %g m off, instead of overhead", aimedDistance)}
}

// aimedDistance is how far off an aimed panel is held, m.
const aimedDistance = 1.0

// headOnly frames closer, so that less has to be shaded.
func (v *Solver) headOnly() []remedy {
	if v.shoot.Subject.Figure == scene.HeadAndShoulders {
		return nil
	}
	return []remedy{v.change(func(c *shoot.Shoot) { c.Subject.Figure = scene.HeadAndShoulders }, "shade head and shoulders only")}
}

// stillSoft is the least size, m, of a modifier that still makes soft light of a
// head and shoulders. Common practice, no source.
const stillSoft = 0.4

// modifiers puts on ones that lose less, the one that loses most first, but
// none that makes the light harder than a small umbrella does.
func (v *Solver) modifiers() []remedy {
	if v.shoot.Kit == nil {
		return nil
	}
	kit := slices.DeleteFunc(slices.Clone(v.shoot.Kit.Modifiers), func(m flash.Modifier) bool {
		return m.Size < stillSoft || m.Loss >= v.shoot.Flash.Modifier.Loss
	})
	slices.SortStableFunc(kit, func(a, b flash.Modifier) int { return cmp.Compare(b.Loss, a.Loss) })
	var list []remedy
	for _, m := range kit {
		list = append(list, v.change(func(c *shoot.Shoot) { c.Flash.Modifier = m }, "%s on the flash", m.Name))
	}
	return list
}

// flashes tries the others of the kit, by rising output, or falling.
func (v *Solver) flashes(stronger bool) []remedy {
	if v.shoot.Kit == nil {
		return nil
	}
	head := v.shoot.Flash
	output := func(u *flash.Unit) float64 {
		h := head
		h.Unit = u
		h.Zoom = min(h.Zoom, u.LongestZoom())
		return float64(h.Full())
	}
	now := output(head.Unit)
	kit := slices.Clone(v.shoot.Kit.Flashes)
	kit = slices.DeleteFunc(kit, func(u flash.Unit) bool { return u.Name == head.Unit.Name || (output(&u) > now) != stronger })
	slices.SortStableFunc(kit, func(a, b flash.Unit) int {
		if stronger {
			return cmp.Compare(output(&a), output(&b))
		}
		return cmp.Compare(output(&b), output(&a))
	})
	var list []remedy
	for i := range kit {
		list = append(list, v.instead(&kit[i]))
	}
	return list
}

// highSpeed tries the flashes of the kit that have high-speed sync.
func (v *Solver) highSpeed() []remedy {
	if v.shoot.Kit == nil {
		return nil
	}
	var list []remedy
	for i := range v.shoot.Kit.Flashes {
		if u := &v.shoot.Kit.Flashes[i]; u.HighSpeed {
			list = append(list, v.instead(u))
		}
	}
	return list
}

// instead puts another flash in the place of the shoot's.
func (v *Solver) instead(u *flash.Unit) remedy {
	return v.change(func(c *shoot.Shoot) {
		c.Flash.Unit, c.Flash.Zoom = u, min(c.Flash.Zoom, u.LongestZoom())
	}, "%s instead of %s", u.Name, v.shoot.Flash.Unit.Name)
}

// scrims carries one of the kit, aimed at the sun, the smallest first.
func (v *Solver) scrims() []remedy {
	if v.shoot.Kit == nil {
		return nil
	}
	kit := slices.Clone(v.shoot.Kit.Scrims)
	slices.SortStableFunc(kit, func(a, b scene.Scrim) int { return cmp.Compare(a.Width*a.Length, b.Width*b.Length) })
	var list []remedy
	for _, panel := range kit {
		panel.Distance = aimedDistance
		list = append(list, v.change(func(c *shoot.Shoot) { c.Scrim = &panel }, "carry %s", panel.Name))
	}
	return list
}

// filters carries one of the kit, the weakest first.
func (v *Solver) filters() []remedy {
	if v.shoot.Kit == nil {
		return nil
	}
	kit := slices.Clone(v.shoot.Kit.Filters)
	slices.SortStableFunc(kit, func(a, b shoot.Filter) int { return cmp.Compare(a.Loss, b.Loss) })
	var list []remedy
	for _, f := range kit {
		list = append(list, v.change(func(c *shoot.Shoot) { c.Filters = []shoot.Filter{f} }, "carry %s", f.Name))
	}
	return list
}

// looks gives up some of the look: the nearest other ratio, by halves up to
// twice or down to half of it, or a sky less dark, by thirds of a stop.
func (v *Solver) looks(s *Solution) []remedy {
	var list []remedy
	look := v.shoot.Look
	if look.Kind == shoot.DarkSky {
		for dark := look.Dark - 1./3; dark > -1e-9; dark -= 1. / 3 {
			list = append(list, v.change(func(c *shoot.Shoot) { c.Look.Dark = dark }, "sky %.1f instead of %.1f stops dark", max(dark, 0), look.Dark))
		}
		return list
	}
	if s.Ratio <= 0 || math.IsInf(s.Ratio, 0) || math.IsNaN(s.Ratio) {
		return nil
	}
	step := 0.5
	if s.Ratio < look.Ratio {
		step = -0.5
	}
	for r := math.Round(look.Ratio*2)/2 + step; r <= 2*look.Ratio && r >= max(look.Ratio/2, 1.5); r += step {
		list = append(list, v.change(func(c *shoot.Shoot) { c.Look.Ratio = r }, "ratio %g instead of %g", r, look.Ratio))
	}
	return list
}

// fullBare returns the light of a head at full power without its gel.
func fullBare(h *flash.Head) exposure.LuxSeconds {
	bare := *h
	bare.Gel = flash.Gel{}
	return bare.Full()
}
