package plan

import (
	"cmp"
	"slices"
	"sort"

	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// entry is one setting of the camera with what follows from it.
type entry struct {
	exposure.Settings
	ev      exposure.EV         // light it exposes normally
	need    exposure.LuxSeconds // at the subject, to be exposed normally
	seconds float64
	caught  float64 // share of the flash that the shutter lets a row of the sensor catch
}

func newEntry(s *shoot.Shoot, set exposure.Settings) entry {
	e := entry{Settings: set, ev: set.EV(), need: set.Need(), seconds: set.Shutter.Seconds(), caught: 1}
	if set.Shutter > s.Camera.Sync {
		e.caught = (-s.Flash.Unit.HighSpeedLoss(set.Shutter)).Factor()
	}
	return e
}

// program is the photographer's order of settings for one filter, from the
// most light let in to the least: as light grows the aperture closes to the
// wanted one, the ISO falls to the lowest, the shutter quickens, and last the
// aperture closes beyond the wanted. Read backwards it is what to do as the
// light falls. No two entries have the same EV.
type program []entry

// newProgram lists the settings with the shutter between the slowest time
// held by hand and the fastest the method allows.
func newProgram(s *shoot.Shoot, l *exposure.Lens, fastest exposure.Shutter, nd sky.Stops) program {
	c := &s.Camera
	slowest := min(l.Slowest, fastest)
	var p program
	add := func(a exposure.Aperture, t exposure.Shutter, i exposure.ISO) {
		p = append(p, newEntry(s, exposure.Settings{Aperture: a, Shutter: t, ISO: i, ND: nd}))
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
	// Between two clicks of a coarse shutter or aperture, a finer ISO helps.
	for _, e := range p[:len(p):len(p)] {
		for by := exposure.ISO(c.ISOClick); by < exposure.ISO(c.Click); by += exposure.ISO(c.ISOClick) {
			for _, i := range [2]exposure.ISO{e.ISO + by, e.ISO - by} {
				if i >= c.Lowest && i <= c.Highest {
					add(e.Aperture, e.Shutter, i)
				}
			}
		}
	}
	// Of settings that let in the same light the first added stands.
	slices.SortStableFunc(p, func(a, b entry) int {
		if sameLight(a, b) {
			return 0
		}
		return cmp.Compare(a.ev, b.ev)
	})
	return slices.CompactFunc(p, sameLight)
}

// sameLight tells rounding errors from the smallest click, 1/6 stop.
func sameLight(a, b entry) bool { return max(a.ev-b.ev, b.ev-a.ev) < 1e-6 }

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
func (p program) near(v exposure.EV, reach sky.Stops) []entry {
	lo := sort.Search(len(p), func(i int) bool { return p[i].ev >= v-exposure.EV(reach) })
	hi := lo
	for hi < len(p) && p[hi].ev <= v+exposure.EV(reach) {
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

// keeps returns the EV up to which the program keeps the aperture.
func (p program) keeps(wanted exposure.Aperture) exposure.EV {
	v := p.darkest()
	for _, e := range p {
		if e.Aperture <= wanted {
			v = e.ev
		}
	}
	return v
}
