package plan

import (
	"fmt"
	"math"

	"evenfall/internal/flash"
	"evenfall/internal/shoot"
)

// cure names, for every row that method number n of the shoot cannot do, the
// smallest single changes that would make it, cheapest first. Each is solved
// again before it is named.
func (v *Solver) cure(rows []Row, n int) {
	for i := range rows {
		s := &rows[i].Methods[n]
		if s.Feasible {
			continue
		}
		at := rows[i].Moment()
		for _, kind := range v.remedies(s) {
			for _, r := range kind {
				if NewSolver(r.shoot).Holds(s.Method, at) {
					s.Cures = append(s.Cures, Cure{r.text})
					break
				}
			}
		}
		for _, other := range rows[i].Methods {
			if other.Feasible {
				s.Cures = append(s.Cures, Cure{"method " + other.Method.String()})
			}
		}
		for _, later := range rows[i+1:] {
			if later.Case == rows[i].Case && later.Methods[n].Feasible {
				s.Cures = append(s.Cures, Cure{"wait until " + clock(later.Time)})
				break
			}
		}
	}
}

// remedy is a changed shoot that may make a method work.
type remedy struct {
	text  string
	shoot *shoot.Shoot
}

// The ends of where a flash on a stand is set up, m.
const (
	nearestStand  = 0.5
	farthestStand = 30
)

// mostUnits is how many units a cure asks for at the most.
const mostUnits = 12

// remedies lists the changes worth trying on the problem at hand, by kind;
// within a kind the smallest first.
func (v *Solver) remedies(s *Solution) [][]remedy {
	var list [][]remedy
	change := func(text string, edit func(*shoot.Shoot)) remedy {
		c := *v.shoot
		edit(&c)
		return remedy{text, &c}
	}
	head := v.shoot.Flash
	// Distances are measured to a tenth of a metre.
	distance := math.Round(head.Distance * math.Exp2(float64(s.Headroom)/2) * 10)
	move := func(tenths float64) remedy {
		d := tenths / 10
		return change(fmt.Sprintf("flash at %.1f m instead of %.1f m", d, head.Distance),
			func(c *shoot.Shoot) { c.Flash.Distance = d })
	}
	switch s.Problem.Kind {
	case TooWeak:
		var nearer, more []remedy
		for d := min(distance, head.Distance*10-1); d >= max(distance-3, nearestStand*10); d-- {
			nearer = append(nearer, move(d))
		}
		var bare []remedy
		if zoom := head.Unit.LongestZoom(); head.Modifier.Loss > 0 || head.Zoom < zoom {
			text := "bare head"
			if zoom > 0 {
				text = fmt.Sprintf("bare head at %g mm", zoom)
			}
			bare = append(bare, change(text, func(c *shoot.Shoot) {
				c.Flash.Modifier, c.Flash.Zoom = flash.Modifier{}, zoom
			}))
		}
		for n := head.Units + 1; n <= mostUnits; n++ {
			more = append(more, change(fmt.Sprintf("%d units instead of %d", n, head.Units),
				func(c *shoot.Shoot) { c.Flash.Units = n }))
		}
		list = append(list, nearer, bare, more)
	case TooStrong:
		distance = math.Round(head.Distance * math.Exp2(float64(s.Problem.Misses)/2) * 10)
		var farther, fewer []remedy
		for d := max(distance, head.Distance*10+1); d <= min(distance+3, farthestStand*10); d++ {
			farther = append(farther, move(d))
		}
		for n := head.Units - 1; n > 0; n-- {
			fewer = append(fewer, change(fmt.Sprintf("%d units instead of %d", n, head.Units),
				func(c *shoot.Shoot) { c.Flash.Units = n }))
		}
		list = append(list, farther, fewer)
	case RimTooWeak, RimTooStrong:
		return append(list, v.moveRim(s))
	case CoarseSteps:
		// A flash between two clicks is trimmed by its distance.
		var trim []remedy
		distance = math.Round(head.Distance * 10)
		for d := 1.0; d <= 5; d++ {
			trim = append(trim, move(max(distance-d, nearestStand*10)), move(distance+d))
		}
		return append(list, trim)
	case TooBright, AmbientOnFace, ShadowMissed, NoScrim, NoFilter:
		return nil
	}
	lens := v.shoot.Lens
	wider := clicks(lens.Widest, lens.Wanted, v.shoot.Camera.Click)
	var open []remedy
	for i := len(wider) - 2; i >= 0; i-- {
		a := wider[i]
		open = append(open, change(a.String()+" instead of "+lens.Wanted.String(),
			func(c *shoot.Shoot) { c.Lens.Wanted = a }))
	}
	return append(list, open)
}

// moveRim lists the distances at which the rim flash may do.
func (v *Solver) moveRim(s *Solution) []remedy {
	var list []remedy
	was := v.shoot.Rim.Distance
	// The headroom of the lowest power is that of full power less its range.
	room := s.RimFlash.Headroom
	if s.Problem.Kind == RimTooStrong {
		room = s.Problem.Misses
	}
	tenths := math.Round(was * math.Exp2(float64(room)/2) * 10)
	for _, by := range [...]float64{0, -1, 1, -2, 2} {
		d := (tenths + by) / 10
		if d < nearestStand || d > farthestStand {
			continue
		}
		c := *v.shoot
		rim := *v.shoot.Rim
		rim.Distance = d
		c.Rim = &rim
		list = append(list, remedy{fmt.Sprintf("rim flash at %.1f m instead of %.1f m", d, was), &c})
	}
	return list
}
