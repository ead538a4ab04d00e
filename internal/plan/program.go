package plan

import (
	"slices"
	"sort"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// setting is one setting of the camera with what follows from it.
type setting struct {
	exposure.Settings
	ev      exposure.EV         // light it exposes normally
	need    exposure.LuxSeconds // at the subject, to be exposed normally
	seconds float64
}

func newSetting(set exposure.Settings) setting {
	return setting{Settings: set, ev: set.EV(), need: set.Need(), seconds: set.Shutter.Seconds()}
}

// burst is how much of a flash the shutter lets a row of the sensor catch: all up
// to the sync speed, in high-speed sync above it a part.
type burst struct {
	sync   exposure.Shutter
	shares []float64 // above the sync speed, by how far
}

// newBurst is that of a flash on a camera. One that is to fire without high-speed
// sync gives nothing above the sync speed.
func newBurst(c *exposure.Camera, fires bool, u *flash.Unit) burst {
	b := burst{c.Sync, make([]float64, max(0, c.Fastest-c.Sync)+1)}
	for i := range b.shares {
		if fires {
			b.shares[i] = (-u.HighSpeedLoss(c.Sync + exposure.Shutter(i))).Factor()
		}
	}
	return b
}

// caught is the share at a shutter time of the camera.
func (b *burst) caught(t exposure.Shutter) exposure.LuxSeconds {
	if t <= b.sync {
		return 1
	}
	return exposure.LuxSeconds(b.shares[t-b.sync])
}

// program is the photographer's order of settings for one way of working, from
// the most light let in to the least: as light grows the aperture closes to the
// wanted one, the ISO falls to the lowest, the shutter quickens, then a filter
// goes on, and last the aperture closes beyond the wanted. Read backwards it is
// what to do as the light falls: no control ever turns back, but for the ISO
// that a weaker filter takes down with it. No two entries have the same EV.
type program []setting

// newProgram lists the settings with the shutter between the slowest time that
// the lens is held at and the fastest that the method allows. Filters, weakest
// first, are taken as the light asks: each comes off once the wanted aperture
// holds without it at the lowest ISO, and gives way to the next weaker alike.
// While one is on, the shutter stays at the fastest and the ISO moves first.
func newProgram(s *shoot.Shoot, l *exposure.Lens, fastest exposure.Shutter, filters []shoot.Filter) program {
	p := unfiltered(s, l, fastest)
	from := baseOf(s, fastest)
	for _, f := range filters {
		p = slices.DeleteFunc(p, func(e setting) bool { return above(e, from) })
		for _, e := range filtered(s, l, fastest, f.Loss) {
			if above(e, from) {
				p = append(p, e)
			}
		}
		from = baseOf(s, fastest).Plus(f.Loss)
	}
	// Of settings that let in the same light the first added stands.
	sort.SliceStable(p, func(i, j int) bool { return p[i].ev < p[j].ev && !sameLight(p[i], p[j]) })
	return slices.CompactFunc(p, sameLight)
}

// baseOf is the most light that the wanted aperture exposes without a filter.
func baseOf(s *shoot.Shoot, fastest exposure.Shutter) exposure.EV {
	return exposure.Settings{Aperture: s.Lens.Wanted, Shutter: fastest, ISO: s.Camera.Lowest}.EV()
}

// above reports whether a setting is for more light than an exposure value.
func above(e setting, v exposure.EV) bool { return e.ev > v+1e-6 }

// unfiltered lists the settings without a filter.
func unfiltered(s *shoot.Shoot, l *exposure.Lens, fastest exposure.Shutter) program {
	c := &s.Camera
	slowest := min(l.Slowest, fastest)
	var p program
	add := func(a exposure.Aperture, t exposure.Shutter, i exposure.ISO) {
		p = append(p, newSetting(exposure.Settings{Aperture: a, Shutter: t, ISO: i}))
	}
	for _, t := range clicks(slowest, fastest, c.Click) {
		add(l.Wanted, t, c.Lowest)
	}
	for _, a := range clicks(l.Wanted, l.Narrowest, c.Click) {
		add(a, fastest, c.Lowest)
	}
	for _, i := range clicks(c.Lowest, c.Highest, c.ISOClick) {
		add(l.Wanted, slowest, i)
	}
	for _, a := range clicks(l.Widest, l.Wanted, c.Click) {
		add(a, slowest, c.Highest)
	}
	return p
}

// filtered lists the settings with a filter of some loss on.
func filtered(s *shoot.Shoot, l *exposure.Lens, fastest exposure.Shutter, nd sky.Stops) program {
	c := &s.Camera
	var p program
	add := func(a exposure.Aperture, i exposure.ISO) {
		p = append(p, newSetting(exposure.Settings{Aperture: a, Shutter: fastest, ISO: i, ND: nd}))
	}
	for _, a := range clicks(l.Wanted, l.Narrowest, c.Click) {
		add(a, c.Lowest)
	}
	for _, i := range clicks(c.Lowest, c.Highest, c.ISOClick) {
		add(l.Wanted, i)
	}
	return p
}

// sameLight tells rounding errors from the smallest click, 1/6 stop.
func sameLight(a, b setting) bool { return max(a.ev-b.ev, b.ev-a.ev) < 1e-6 }

// clicks lists the places of a scale from one end to the other: both ends and
// every click between.
func clicks[T ~int](from, to T, by exposure.Increment) []T {
	list := []T{from}
	for v := from + 1; v < to; v++ {
		if int(v)%int(by) == 0 {
			list = append(list, v)
		}
	}
	if to > from {
		list = append(list, to)
	}
	return list
}

// near returns the settings within reach stops of an EV; where there are
// none, the nearest end.
func (p program) near(v exposure.EV, reach sky.Stops) []setting {
	return p.from(v-exposure.EV(reach), v+exposure.EV(reach))
}

// from returns the settings from one EV to another; where there are none, the
// nearest.
func (p program) from(low, high exposure.EV) []setting {
	const rounding = 1e-6
	lo := sort.Search(len(p), func(i int) bool { return p[i].ev >= low-rounding })
	hi := lo
	for hi < len(p) && p[hi].ev <= high+rounding {
		hi++
	}
	switch {
	case lo < hi:
		return p[lo:hi]
	case lo == len(p):
		return p[lo-1:]
	}
	return p[lo : lo+1]
}

// darkest and brightest are the ends of what the program can expose.
func (p program) darkest() exposure.EV   { return p[0].ev }
func (p program) brightest() exposure.EV { return p[len(p)-1].ev }
