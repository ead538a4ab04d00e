package plan

import (
	"math"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// session is a shoot placed in its day.
type session struct {
	shoot    *shoot.Shoot
	observer sky.Observer
	daylight *sky.Daylight
	planned  sky.Day // the shoot's date
	day      sky.Day // the local day the window starts in
	from, to time.Time
}

func newSession(s *shoot.Shoot) (*session, error) {
	o := s.Observer()
	date := s.When.Date
	planned := o.Day(date.Year, date.Month, date.Day, s.Place.Zone)
	from, to, err := s.Window(planned)
	if err != nil {
		return nil, err
	}
	// An event of the planned day may fall on the date after.
	y, m, d := from.In(s.Place.Zone).Date()
	return &session{
		shoot: s, observer: o, daylight: sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon),
		planned: planned, day: o.Day(y, m, d, s.Place.Zone), from: from, to: to,
	}, nil
}

// rows appends the light of a moment: a row for each case of the sky.
func (n *session) rows(list []Row, t time.Time) []Row {
	s := n.shoot
	sun := n.observer.Sun(t)
	condition := s.ConditionAt(t, n.planned)
	facing := s.Subject.Facing.At(sun.Azimuth)
	view := n.view(facing)
	for k := range sky.Case(condition.Cases()) {
		list = append(list, Row{
			Time:      t.In(s.Place.Zone),
			Sun:       sun,
			Visible:   s.Place.Horizon.Visible(sun) > 0,
			Facing:    facing,
			Bearing:   scene.Bearing(facing, sun.Azimuth),
			Condition: condition,
			Case:      k,
			Light:     n.daylight.At(condition, k, sun, view),
		})
	}
	return list
}

// view is what the light is asked for, of a subject that faces an azimuth.
func (n *session) view(facing sky.Angle) sky.View {
	return sky.View{Facing: facing, Backdrop: n.shoot.Subject.SkyAltitude}
}

// every returns the rows of the window at a step.
func (n *session) every(step time.Duration) []Row {
	var list []Row
	for t := n.from; !t.After(n.to); t = t.Add(step) {
		list = n.rows(list, t)
	}
	return list
}

// Make plans every step of the shoot's window. The error tells that the
// window cannot be placed in the day.
func Make(s *shoot.Shoot) (*Plan, error) {
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	return n.plan(NewSolver(s)), nil
}

// plan plans every step of the session.
func (n *session) plan(v *Solver) *Plan {
	s := n.shoot
	p := &Plan{Shoot: s, Day: n.day, Rows: n.every(s.When.Step)}
	for _, m := range s.Methods {
		v.hold(p.Rows, m, nearest)
	}
	for i, m := range s.Methods {
		v.cure(p.Rows, i)
		p.Methods = append(p.Methods, summarise(p.Rows, i, m))
	}
	return p
}

// Moment returns what the solver needs of a row.
func (r *Row) Moment() *Moment { return &Moment{Sun: r.Sun, Facing: r.Facing, Light: r.Light} }

// patience says how much nearness to the look may be given up to leave the
// controls where they are. Costs are squared stops.
type patience struct {
	within sky.Stops // how far exposure and ratio may lie from the look
	slack  float64   // beyond the best choice, and still in the running
	miss   float64   // weight of a miss, for each row
	weaker float64   // for each row, and each filter weaker than the one that keeps the wanted aperture
	each   float64   // for each unit of motion from one row to the next
	any    float64   // for moving anything at all
}

// nearest takes the choice nearest the look, and of equals the one that moves
// less: 0.0008 is what a miss of 0.03 stop costs.
var nearest = patience{within: tolerance, slack: 0.0016, miss: 1, each: 0.0008}

// hold solves one method for all rows, the sun out and the sun in each for
// itself, and appends the solutions to the rows. Of the choices in the running
// it takes the run that costs least in nearness and in moves: a shortest path
// through the rows, which comes out the same from either end of the day.
func (v *Solver) hold(rows []Row, m shoot.Method, p patience) {
	for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
		var steps []step
		for i := range rows {
			if rows[i].Case == k {
				steps = append(steps, v.step(&rows[i], m, &p))
			}
		}
		for i := range steps {
			steps[i].link(steps[:i], &p)
		}
		if len(steps) == 0 {
			continue
		}
		at := cheapest(steps[len(steps)-1].sum)
		for i := len(steps) - 1; i >= 0; i-- {
			s := &steps[i]
			s.row.Methods = append(s.row.Methods, v.solution(&s.job, s.running[at], p.within))
			at = s.from[at]
		}
	}
}

// step is one row on the path: its choices in the running, the cost of the
// cheapest way to each, and where that way comes from.
type step struct {
	row     *Row
	job     job
	running []choice
	sum     []float64
	from    []int
}

func (v *Solver) step(r *Row, m shoot.Method, p *patience) step {
	s := step{row: r, job: v.job(m, r.Moment(), nil)}
	list := v.every(&s.job, p.within)
	least := math.Inf(1)
	for i := range list {
		least = min(least, list[i].cost())
	}
	for _, c := range list {
		if c.cost() <= least+p.slack {
			s.running = append(s.running, c)
		}
	}
	s.sum, s.from = make([]float64, len(s.running)), make([]int, len(s.running))
	return s
}

// link finds the cheapest way to each choice from the step before.
func (s *step) link(before []step, p *patience) {
	for i := range s.running {
		s.sum[i] = p.miss*s.running[i].cost() + p.weaker*float64(s.running[i].weaker)
		if len(before) == 0 {
			continue
		}
		last := &before[len(before)-1]
		least := math.Inf(1)
		for k := range last.running {
			way := last.sum[k]
			if n := motion(&last.running[k], &s.running[i]); n > 0 {
				way += p.any + p.each*n
			}
			if way < least {
				least, s.from[i] = way, k
			}
		}
		s.sum[i] += least
	}
}

// cheapest returns where the least cost stands.
func cheapest(costs []float64) int {
	at, least := 0, math.Inf(1)
	for i, c := range costs {
		if c < least {
			at, least = i, c
		}
	}
	return at
}

// motion weighs what has to be moved between two choices: every control by the
// square of its thirds of a stop, so that small moves come before large ones;
// a filter, or the flash to another place, as much as two thirds.
func motion(a, b *choice) float64 {
	const elsewhere = 4
	thirds := func(sixths int) float64 { return float64(sixths*sixths) / 4 }
	n := thirds(int(a.Aperture-b.Aperture)) + thirds(int(a.Shutter-b.Shutter)) + thirds(int(a.ISO-b.ISO))
	if a.ND != b.ND {
		n += elsewhere
	}
	if a.role != b.role {
		n += elsewhere
	} else {
		n += thirds(int(a.power - b.power))
	}
	return n
}
