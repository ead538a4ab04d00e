package plan

import (
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// lamps are two flashes in front at their places: the key, and the fill beside
// the lens.
type lamps struct{ key, fill lamp }

// turn is above 0 where the key makes the higher ratio of the two, below 0 where
// the fill does, and 0 where both light the face alike.
func (p lamps) turn() float64 { return p.key.key*p.fill.shadow - p.fill.key*p.key.shadow }

// forSides returns the two flashes, on planes square to each, that give the key
// side a and the shadow side b: the two sides are two equations for two lights.
// One comes out negative where it would have to take light away.
func (p lamps) forSides(a, b sky.Lux) (key, fill sky.Lux) {
	turn := sky.Lux(p.turn())
	return (a*sky.Lux(p.fill.shadow) - b*sky.Lux(p.fill.key)) / turn,
		(b*sky.Lux(p.key.key) - a*sky.Lux(p.key.shadow)) / turn
}

// alike is how little turn two places have that make no two directions.
const alike = 1e-9

// forLook returns the two flashes that the look asks for. Where the background
// asks for more light than the ratio they bring both about; else, and where one
// of them would have to take light away, the other does what it does alone.
func (p lamps) forLook(look *shoot.Look, near, far, byBackground sky.Lux) (key, fill sky.Lux, alone Alone) {
	if math.Abs(p.turn()) < alike {
		return p.key.forLook(look, near, far, byBackground), 0, KeyOnly
	}
	r := sky.Lux(look.Ratio)
	a := byBackground - near
	key, fill = p.forSides(a, byBackground/r-far)
	raises := (near < r*far) == (p.turn() > 0)
	switch {
	case a > 0 && key >= 0 && fill >= 0:
		return key, fill, Both
	case a > 0 && fill < 0, a <= 0 && raises:
		return p.key.forLook(look, near, far, byBackground), 0, KeyOnly
	}
	return 0, p.fill.forLook(look, near, far, byBackground), FillOnly
}

// filling is the fill of a task.
type filling struct {
	there bool // else all is zero
	lamp  lamp
	angle sky.Angle
	full  exposure.LuxSeconds
	burst *burst
	flash sky.Lux // what it has to add, as a steady light square to it
	alone Alone
}

// available returns what the fill gives at full power at a setting.
func (f *filling) available(e *setting) exposure.LuxSeconds {
	return f.full * f.burst.caught(e.Shutter)
}

// filling returns the fill of a moment, through the flash's gel.
func (v *Solver) filling(at *Moment, g Gel) filling {
	angle := v.fillAngle(at)
	return filling{there: true, lamp: lampAt(angle), angle: angle,
		full: v.fill * exposure.LuxSeconds((-g.Loss).Factor()), burst: &v.ofFill}
}

// fillAngle is where the fill stands at a moment. It stays where it is: where
// the key side changes its angle changes its sign.
func (v *Solver) fillAngle(at *Moment) sky.Angle {
	if v.first != 0 && at.Stance.Key != v.first {
		return -v.shoot.Fill.Angle
	}
	return v.shoot.Fill.Angle
}

// fillPlace describes where the fill stands from a moment on.
func (v *Solver) fillPlace(m *Moment) Place {
	return v.placeOf(&v.shoot.Fill.Head, m, v.fillAngle(m))
}

// fillInFrame reports whether there is a fill that stands in the picture.
func (v *Solver) fillInFrame(at *Moment) bool {
	return v.shoot.Fill != nil && v.fillPlace(at).InFrame
}

// FillPlaceAt is where the fill stands at a moment. It comes with a fill.
func (p *Plan) FillPlaceAt(m *Moment) Place { return p.solver.fillPlace(m) }

// besideFill reports whether a flash at an angle makes a second direction beside
// the fill, where there is one: toward the key side of it, or where the shoot
// puts the flash on the shadow side elsewhere than the fill.
func (v *Solver) besideFill(angle sky.Angle) bool {
	const apart = 1e-6
	f := v.shoot.Fill
	return f == nil || angle > f.Angle+apart || angle < 0 && (angle-f.Angle).Abs() > apart
}

// lamps are the two flashes of a task with a fill.
func (t *task) lamps() lamps { return lamps{t.lamp, t.fill.lamp} }

// wantedPair returns what the flash and the fill have to add at a setting, see
// wanted.
func (v *Solver) wantedPair(t *task, e *setting) (flash, fill exposure.LuxSeconds) {
	key, other := t.flash, t.fill.flash
	if look := &v.shoot.Look; look.Kind == shoot.BackgroundLook {
		needs := sky.Lux(float64(e.need) * look.Bias.Factor() / e.seconds)
		key, other, _ = t.lamps().forLook(look, t.ambient.Key, t.ambient.Shadow, needs)
	}
	return exposure.LuxSeconds(float64(key) * e.seconds), exposure.LuxSeconds(float64(other) * e.seconds)
}

// softening returns the fill that brings the ratio down to the one asked for
// beside a flash of some light at a setting; 0 where there is nothing to bring
// down, or the fill does not.
func (v *Solver) softening(t *task, e *setting, flash exposure.LuxSeconds) exposure.LuxSeconds {
	r := v.shoot.Look.Ratio
	over := float64(t.ambient.Key)*e.seconds + t.lamp.key*float64(flash) -
		r*(float64(t.ambient.Shadow)*e.seconds+t.lamp.shadow*float64(flash))
	if softens := r*t.fill.lamp.shadow - t.fill.lamp.key; over > 0 && softens > 0 {
		return exposure.LuxSeconds(over / softens)
	}
	return 0
}

// about lists the settings of a flash that come nearest to the light wanted: the
// two clicks about it, or below the lowest power that and none; none where
// nothing is wanted or there.
func about(unit *flash.Unit, available, wanted exposure.LuxSeconds) []shot {
	if wanted <= 0 || available <= 0 {
		return []shot{{}}
	}
	headroom := sky.StopsOf(float64(available / wanted))
	lower, upper := unit.About(headroom)
	if -headroom < unit.LowestPower.Stops() {
		return []shot{{}, fired(upper, available)}
	}
	return []shot{fired(lower, available), fired(upper, available)}
}

// spare returns the headroom of a flash of which some light is wanted; plenty
// where none is.
func spare(available, wanted exposure.LuxSeconds) sky.Stops {
	if wanted <= 0 {
		return plenty
	}
	return max(-plenty, sky.StopsOf(float64(available/wanted)))
}

// pairs appends what may be chosen at a setting with a fill: the clicks about
// the flash that is wanted, each with those about the fill that it then takes.
func (v *Solver) pairs(list []choice, t *task, e *setting) []choice {
	key, fill := v.wantedPair(t, e)
	available, beside := t.available(e), t.fill.available(e)
	headroom := min(spare(available, key), spare(beside, fill))
	for _, flash := range about(v.shoot.Flash.Unit, available, key) {
		want := fill
		if key > 0 && fill > 0 {
			want = v.softening(t, e, flash.light)
		}
		for _, other := range about(v.shoot.Fill.Unit, beside, want) {
			if flash.light == 0 && other.light == 0 {
				continue
			}
			c := v.try(t, e, flash, other)
			c.headroom = headroom
			list = append(list, c)
		}
	}
	return list
}

// pairPowers appends, at a setting with a fill, each two powers that expose the
// key side within the tolerance; one of the flashes alone where the moment asks
// for no more.
func (v *Solver) pairPowers(list []choice, t *task, e *setting) []choice {
	try := func(flash, fill shot) bool {
		if under, over := v.underOver(t, e, flash, fill); under || over {
			return over
		}
		c := v.try(t, e, flash, fill)
		if c.off.exposure < -v.within {
			return false
		}
		if c.role != None && c.off.exposure <= v.within {
			c.headroom = min(c.flash.spare(), c.fill.spare())
			list = append(list, c)
		}
		return true
	}
	available, room := t.available(e), v.room(t, e, t.lamp)
	switch {
	case t.flash <= 0 && t.fill.flash <= 0:
		return list
	case t.fill.flash <= 0:
		exposing(v.shoot.Flash.Unit, available, room, func(flash shot) bool { return try(flash, shot{}) })
		return list
	case t.flash <= 0:
		exposing(v.shoot.Fill.Unit, t.fill.available(e), v.room(t, e, t.fill.lamp),
			func(fill shot) bool { return try(shot{}, fill) })
		return list
	}
	with := func(flash shot) bool {
		enough := try(flash, shot{})
		exposing(v.shoot.Fill.Unit, t.fill.available(e), v.softening(t, e, flash.light)*farFromWanted, func(fill shot) bool {
			if fill.light*farFromWanted < v.softening(t, e, flash.light) {
				return false
			}
			enough = try(flash, fill) || enough
			return true
		})
		return enough
	}
	exposing(v.shoot.Flash.Unit, available, room, with)
	with(shot{})
	return list
}

// farFromWanted is how many times as strong as the fill that brings the ratio
// about exactly one may be, or as weak, to be tried: what is farther off changes
// the ratio by more than the tolerance, or hardly counts beside the daylight.
const farFromWanted = 2

// spare is the headroom of a flash as it is set; plenty of one that does not
// fire.
func (s shot) spare() sky.Stops {
	if s.light == 0 {
		return plenty
	}
	return -s.power.Stops()
}

// approachPairs considers the pictures at a setting that may come nearest to a
// look that is missed: the flash as it is wanted, at full power and not at all,
// each with the fill that it then takes, at full power and without.
func (v *Solver) approachPairs(t *task, e *setting, consider func(choice)) {
	key, fill := v.wantedPair(t, e)
	available, beside := t.available(e), t.fill.available(e)
	flashes, most := []shot{{}}, []shot{{}}
	if t.flash > 0 {
		flashes = append(about(v.shoot.Flash.Unit, available, min(key, available)), shot{}, fired(0, available))
	}
	if t.fill.flash > 0 && beside > 0 {
		most = append(most, fired(0, beside))
	}
	for _, flash := range flashes {
		want := fill
		if t.fill.flash > 0 && t.flash > 0 {
			want = v.softening(t, e, flash.light)
		}
		for _, other := range append(about(v.shoot.Fill.Unit, beside, min(want, beside)), most...) {
			if flash.light > 0 || other.light > 0 {
				consider(v.try(t, e, flash, other))
			}
		}
	}
}

// filled adds what the fill does to a solution.
func (v *Solver) filled(s *Solution, t *task, fill shot) {
	f := &FillFlash{Angle: t.fill.angle}
	s.Fill = f
	if fill.light == 0 {
		return
	}
	unit := v.shoot.Fill.Unit
	f.Power, f.Flash, f.Headroom, f.Recycle = fill.power, fill.light, -fill.power.Stops(), unit.Recycle(fill.power)
	f.OnKey = fill.light * exposure.LuxSeconds(t.fill.lamp.key)
	f.OnShadow = fill.light * exposure.LuxSeconds(t.fill.lamp.shadow)
	_, inFrame := v.raised(&v.shoot.Fill.Head, t.fill.angle)
	if s.Fires() {
		s.Headroom, s.Recycle = min(s.Headroom, f.Headroom), max(s.Recycle, f.Recycle)
		s.FlashInFrame = s.FlashInFrame || inFrame
	} else {
		s.Headroom, s.Recycle, s.FlashInFrame = f.Headroom, f.Recycle, inFrame
	}
	s.OnKey, s.OnShadow = s.OnKey+f.OnKey, s.OnShadow+f.OnShadow
}

// shortfallOfTwo is shortfall where there is a fill: of flash and fill the one
// that lacks more counts, at the setting that comes nearest. A fill without
// high-speed sync, where only that would do, has no size.
func (v *Solver) shortfallOfTwo(j *job) (weak Problem, surplus sky.Stops) {
	t := &j.task
	weak, surplus = Problem{TooWeak, sky.Stops(math.Inf(1))}, sky.Stops(math.Inf(1))
	for _, p := range j.ways {
		for _, e := range p.near(t.target, v.within) {
			key, fill := v.wantedPair(t, &e)
			headroom := spare(t.available(&e), key)
			surplus = min(surplus, headroom+v.shoot.Flash.Unit.LowestPower.Stops())
			one := Problem{TooWeak, -headroom}
			if lacks := -spare(t.fill.available(&e), fill); lacks > one.Misses {
				one = Problem{FillTooWeak, lacks}
			}
			if one.Misses < weak.Misses {
				weak = one
			}
		}
	}
	if weak.Kind == FillTooWeak && weak.Misses >= plenty && !v.shoot.Fill.Unit.HighSpeed {
		weak = Problem{Kind: FillNoHighSpeed}
	}
	return weak, surplus
}
