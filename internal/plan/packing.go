package plan

import (
	"slices"

	"evenfall/internal/flash"
	"evenfall/internal/shoot"
)

// ItemKind is a kind of thing to pack.
type ItemKind int

// The kinds.
const (
	FlashItem       ItemKind = iota + 1 // Name
	BatteryItem                         // sets for each flash
	ModifierItem                        // Name
	GelItem                             // Name
	FillItem                            // Name
	FillBatteryItem                     // sets for each flash of the fill
	RimItem                             // Name
	RimBatteryItem                      // sets for each rim flash
	ScrimItem                           // Name
	FilterItem                          // Name
	StandItem
	SandbagItem       // of SandbagMass each
	HandItem          // people to hold Name
	ReflectorItem     // Name
	ReflectorHandItem // people to hold the reflector
)

// Item is a thing to pack for the method that the verdict takes.
type Item struct {
	Kind  ItemKind
	Count int
	Name  string
}

// Packing lists what the verdict's method takes along, by the plan's count:
// what only other methods need stays at home.
func (p *Plan) Packing() []Item {
	s := p.Shoot
	best := p.Verdict().Best
	use := p.totals()[p.Index(best)]
	var list []Item
	add := func(k ItemKind, n int, name string) {
		if n > 0 {
			list = append(list, Item{k, n, name})
		}
	}
	stands, bagged, gelled := 0, 0, 0
	fills := p.Fills(best)
	shared := fills && p.Flashes(best) && s.Flash.Modifier.Name == s.Fill.Modifier.Name
	stand := func(h *flash.Head) {
		if p.standsDown() {
			add(HandItem, 1, h.Unit.Name)
			return
		}
		stands, bagged = stands+1, bagged+bags(p.standBallast(h))
	}
	if p.Flashes(best) {
		stand(&s.Flash)
		add(FlashItem, s.Flash.Units, s.Flash.Unit.Name)
		add(BatteryItem, max(1, use.Key.Sets), "")
		if m := &s.Flash.Modifier; !m.Bare() {
			add(ModifierItem, 1+ones(shared), m.Name)
		}
		gelled += s.Flash.Units
	}
	if fills {
		stand(&s.Fill.Head)
		add(FillItem, s.Fill.Units, s.Fill.Unit.Name)
		add(FillBatteryItem, max(1, use.Fill.Sets), "")
		if m := &s.Fill.Modifier; !m.Bare() {
			add(ModifierItem, ones(!shared), m.Name)
		}
		gelled += s.Fill.Units
	}
	if g := p.run(best, 0).Gel; g.Name != "" {
		add(GelItem, gelled, g.Name)
	}
	if s.Rim != nil {
		stand(&s.Rim.Head)
		add(RimItem, s.Rim.Units, s.Rim.Unit.Name)
		add(RimBatteryItem, max(1, use.Rim.Sets), "")
	}
	for _, f := range p.filters(best) {
		add(FilterItem, 1, f.Name)
	}
	if best.UsesScrim() && s.Scrim != nil {
		rig := p.Rig()
		stands, bagged = stands+rig.Stands, bagged+rig.Stands*bags(rig.Ballast)
		add(ScrimItem, 1, s.Scrim.Name)
		add(HandItem, rig.Hands, s.Scrim.Name)
	}
	if best.UsesReflector() && s.Reflector != nil {
		add(ReflectorItem, 1, s.Reflector.Name)
		add(ReflectorHandItem, 1, "")
	}
	add(StandItem, stands, "")
	add(SandbagItem, bagged, "")
	return list
}

// ones is 1 where something is so.
func ones(is bool) int {
	if is {
		return 1
	}
	return 0
}

// Flashes reports whether the flash ever fires under a method.
func (p *Plan) Flashes(m shoot.Method) bool {
	return p.does(m, func(s *Minute) bool { return s.Fires() })
}

// Fills reports whether a fill ever does.
func (p *Plan) Fills(m shoot.Method) bool {
	return p.does(m, func(s *Minute) bool { return s.Fill.Fires() })
}

// does reports whether something is so at some minute of a method.
func (p *Plan) does(m shoot.Method, is func(*Minute) bool) bool {
	return slices.ContainsFunc(p.RunsOf(p.Index(m)), func(r *Run) bool {
		for i := range r.Minutes {
			if is(&r.Minutes[i]) {
				return true
			}
		}
		return false
	})
}

// filters returns those that a method puts on at some minute.
func (p *Plan) filters(m shoot.Method) []shoot.Filter {
	var list []shoot.Filter
	for _, f := range p.Shoot.Filters {
		if p.does(m, func(s *Minute) bool { return (s.Settings.ND - f.Loss).Abs() < 1e-9 }) {
			list = append(list, f)
		}
	}
	return list
}

// Index returns the place of a method among those asked for.
func (p *Plan) Index(m shoot.Method) int {
	for i, of := range p.Shoot.Methods {
		if of == m {
			return i
		}
	}
	return 0
}
