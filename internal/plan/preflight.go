package plan

import (
	"math"
	"slices"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/sky"
)

// CheckKind is a kind of thing to see to before the first frame.
type CheckKind int

// The kinds, in the order in which they are seen to. What Check.Value holds
// stands behind each.
const (
	StandbyCheck    CheckKind = iota + 1 // flashes whose standby is switched off
	TriggerCheck                         // flashes on one channel, with fresh cells
	RadioCheck                           // flashes out of the camera's sight
	ZoomCheck                            // zoom position set by hand, mm
	FillZoomCheck                        // that of the fill
	RimZoomCheck                         // that of the rim flash
	FastSyncOnCheck                      // none; Shutter is the fastest
	SyncOnlyCheck                        // none; Shutter is the sync speed: high-speed sync off
	SparesCheck                          // sets of batteries for each flash beyond those in it
	FillSparesCheck                      // for each flash of the fill
	RimSparesCheck                       // for each rim flash
	GelCheck                             // 2 where key and fill have it, else none; Name
	FilterCheck                          // stops
	FocusCheck                           // stops of the dense filter: focus before it goes on
	FinderCheck                          // none: sun on the finder behind a dense filter
	BalanceCheck                         // white balance, K
	SandbagCheck                         // kg on each stand; Name of what is on it
	HandsCheck                           // people to hold Name
	CapCheck                             // none: sun in or near the frame
)

// Check is a thing to see to.
type Check struct {
	Kind    CheckKind
	Value   float64
	Name    string
	Shutter exposure.Shutter
}

// Preflight lists what to see to before the first frame of the verdict's
// method.
func (p *Plan) Preflight() []Check {
	n := p.Index(p.Verdict().Best)
	f, use := p.Facts(n), p.totals()[n]
	var list []Check
	add := func(k CheckKind, applies bool, value float64, name string) {
		if applies {
			list = append(list, Check{Kind: k, Value: value, Name: name})
		}
	}
	s := p.Shoot
	flashes, hidden := 0, 0
	key, fill := use.Key.BurstFrames > 0, use.Fill != nil && use.Fill.BurstFrames > 0
	if key {
		flashes += s.Flash.Units
		hidden += p.hidden(n)
	}
	if fill {
		flashes += s.Fill.Units
		if p.outOfSight(&s.Fill.Head, s.Fill.Angle) {
			hidden += s.Fill.Units
		}
	}
	if s.Rim != nil {
		flashes, hidden = flashes+s.Rim.Units, hidden+s.Rim.Units
	}
	add(StandbyCheck, flashes > 0, float64(flashes), "")
	add(TriggerCheck, flashes > 0, float64(flashes), "")
	add(RadioCheck, hidden > 0, float64(hidden), "")
	add(ZoomCheck, key && s.Flash.HeadZoom() > 0, s.Flash.HeadZoom(), s.Flash.Unit.Name)
	if fill {
		add(FillZoomCheck, s.Fill.HeadZoom() > 0, s.Fill.HeadZoom(), s.Fill.Unit.Name)
	}
	if s.Rim != nil {
		add(RimZoomCheck, s.Rim.HeadZoom() > 0, s.Rim.HeadZoom(), s.Rim.Unit.Name)
	}
	list = append(list, p.syncMode(n)...)
	add(SparesCheck, use.Key.Sets > 1, float64(use.Key.Sets-1), "")
	if fill {
		add(FillSparesCheck, use.Fill.Sets > 1, float64(use.Fill.Sets-1), "")
	}
	if s.Rim != nil {
		add(RimSparesCheck, use.Rim.Sets > 1, float64(use.Rim.Sets-1), "")
	}
	gels := 0.0
	if key && fill {
		gels = 2
	}
	g := p.RunsOf(n)[0].Gel.Name
	add(GelCheck, (key || fill) && g != "", gels, g)
	add(FilterCheck, f.Filter > 0, float64(f.Filter), "")
	add(FocusCheck, f.Filter >= DenseFilter, float64(f.Filter), "")
	add(FinderCheck, f.FromBehindCamera, 0, "")
	add(BalanceCheck, f.WhiteBalance > 0, float64(f.WhiteBalance), "")
	list = append(list, p.held(n, key, fill)...)
	add(CapCheck, p.facesSun(n), 0, "")
	return list
}

// held lists what weighs down and holds what stands under method number n.
func (p *Plan) held(n int, key, fill bool) []Check {
	s := p.Shoot
	var list []Check
	stand := func(h *flash.Head) {
		if p.standsDown() {
			list = append(list, Check{Kind: HandsCheck, Value: 1, Name: h.Unit.Name})
			return
		}
		bags := Check{Kind: SandbagCheck, Value: max(SandbagMass, p.standBallast(h)), Name: h.Unit.Name}
		if !slices.Contains(list, bags) { // it speaks of each stand
			list = append(list, bags)
		}
	}
	if key {
		stand(&s.Flash)
	}
	if fill {
		stand(&s.Fill.Head)
	}
	if s.Rim != nil {
		stand(&s.Rim.Head)
	}
	if s.Methods[n].UsesScrim() && s.Scrim != nil {
		rig := p.Rig()
		if rig.Stands > 0 {
			list = append(list, Check{Kind: SandbagCheck, Value: max(SandbagMass, rig.Ballast), Name: s.Scrim.Name})
		}
		if rig.Hands > 0 {
			list = append(list, Check{Kind: HandsCheck, Value: float64(rig.Hands), Name: s.Scrim.Name})
		}
	}
	return list
}

// hidden returns how many of the main flashes the camera does not see, so that
// no light from it sets them off: beside or behind it, or in a modifier that
// closes round the head.
func (p *Plan) hidden(n int) int {
	for _, r := range p.RunsOf(n) {
		for _, at := range r.Places {
			if h := &p.Shoot.Flash; p.outOfSight(h, at.Angle) {
				return h.Units
			}
		}
	}
	return 0
}

// outOfSight reports whether the camera does not see a head that stands at an
// angle.
func (p *Plan) outOfSight(h *flash.Head, at sky.Angle) bool {
	return !h.Modifier.Bare() || h.Distance*math.Cos(float64(at)) >= p.Shoot.Subject.CameraDistance
}

// syncMode says whether high-speed sync is to be enabled for the minutes with
// flash, up to the fastest of them, or to be kept off; nothing without flash.
func (p *Plan) syncMode(n int) []Check {
	var fastest exposure.Shutter
	any := false
	for _, r := range p.RunsOf(n) {
		for i := range r.Minutes {
			if m := &r.Minutes[i]; m.Role != None || m.RimFlash != nil {
				fastest, any = max(fastest, m.Settings.Shutter), true
			}
		}
	}
	switch sync := p.Shoot.Camera.Sync; {
	case !any:
		return nil
	case fastest > sync:
		return []Check{{Kind: FastSyncOnCheck, Shutter: fastest}}
	case p.Shoot.Flash.Unit.HighSpeed, p.Shoot.Fill != nil && p.Shoot.Fill.Unit.HighSpeed:
		return []Check{{Kind: SyncOnlyCheck, Shutter: sync}}
	}
	return nil
}

// facesSun reports whether the sun stands in the frame or near it at some
// minute.
func (p *Plan) facesSun(n int) bool {
	return p.does(p.Shoot.Methods[n], func(m *Minute) bool { return m.Sight.InFrame || m.Sight.Flare })
}
