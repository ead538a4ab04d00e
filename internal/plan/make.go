package plan

import (
	"math"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Make plans every step of the shoot's window. The error tells that the
// window cannot be placed in the day.
func Make(s *shoot.Shoot) (*Plan, error) {
	o := sky.NewObserver(s.Place.Site)
	date := s.When.Date
	planned := o.Day(date.Year, date.Month, date.Day, s.Place.Zone)
	from, to, err := s.Window(planned)
	if err != nil {
		return nil, err
	}
	y, m, d := from.In(s.Place.Zone).Date()
	// An event of the planned day may fall on the date after.
	day := o.Day(y, m, d, s.Place.Zone)
	p := &Plan{Shoot: s, Day: day}
	light := sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon)
	for t := from; !t.After(to); t = t.Add(s.When.Step) {
		sun := o.Sun(t)
		condition := s.ConditionAt(t, planned)
		facing := s.Subject.Facing.At(sun.Azimuth)
		for k := range sky.Case(condition.Cases()) {
			p.Rows = append(p.Rows, Row{
				Time:      t.In(s.Place.Zone),
				Sun:       sun,
				Visible:   s.Place.Horizon.Visible(sun) > 0,
				Facing:    facing,
				Bearing:   scene.Bearing(facing, sun.Azimuth),
				Condition: condition,
				Case:      k,
				Light:     light.At(condition, k, sun, sky.View{Facing: facing, Backdrop: s.Subject.SkyAltitude}),
			})
		}
	}
	v := NewSolver(s)
	for _, m := range s.Methods {
		v.hold(p.Rows, m)
	}
	for i, m := range s.Methods {
		v.cure(p.Rows, i)
		p.Methods = append(p.Methods, summarise(p.Rows, i, m))
	}
	return p, nil
}

// Moment returns what the solver needs of a row.
func (r *Row) Moment() *Moment { return &Moment{Sun: r.Sun, Facing: r.Facing, Light: r.Light} }

// How much nearness to the look may be given up to leave the controls where
// they are. Both are squared stops: 0.0004 is what a miss of 0.02 stop costs.
const (
	moveCost = 0.0004 // for each control moved from one row to the next
	equals   = 0.0016 // beyond the best choice, and still an equal of it
)

// hold solves one method for all rows, the sun out and the sun in each for
// itself, and appends the solutions to the rows. Of choices equally near the
// look it takes the run that moves the fewest controls: a shortest path
// through the rows, which comes out the same from either end of the day.
func (v *Solver) hold(rows []Row, m shoot.Method) {
	for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
		var steps []step
		for i := range rows {
			if rows[i].Case == k {
				steps = append(steps, v.step(&rows[i], m))
			}
		}
		for i := range steps {
			steps[i].link(steps[:i])
		}
		if len(steps) == 0 {
			continue
		}
		at := cheapest(steps[len(steps)-1].sum)
		for i := len(steps) - 1; i >= 0; i-- {
			s := &steps[i]
			s.row.Methods = append(s.row.Methods, v.solution(&s.job, s.equals[at]))
			at = s.from[at]
		}
	}
}

// step is one row on the path: its equal choices, the cost of the cheapest
// way to each, and where that way comes from.
type step struct {
	row    *Row
	job    job
	equals []choice
	sum    []float64
	from   []int
}

func (v *Solver) step(r *Row, m shoot.Method) step {
	s := step{row: r, job: v.job(m, r.Moment(), nil)}
	list := v.every(&s.job)
	b, _ := best(list)
	for _, c := range list {
		if c.cost() <= b.cost()+equals {
			s.equals = append(s.equals, c)
		}
	}
	s.sum, s.from = make([]float64, len(s.equals)), make([]int, len(s.equals))
	return s
}

// link finds the cheapest way to each choice from the step before.
func (s *step) link(before []step) {
	for i := range s.equals {
		s.sum[i] = s.equals[i].cost()
		if len(before) == 0 {
			continue
		}
		last := &before[len(before)-1]
		way := make([]float64, len(last.equals))
		for k := range last.equals {
			way[k] = last.sum[k] + moveCost*float64(moves(&last.equals[k], &s.equals[i]))
		}
		s.from[i] = cheapest(way)
		s.sum[i] += way[s.from[i]]
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

// moves counts the controls that differ between two choices.
func moves(a, b *choice) int {
	n := 0
	for _, differs := range [...]bool{
		a.Aperture != b.Aperture, a.Shutter != b.Shutter, a.ISO != b.ISO, a.ND != b.ND,
		a.role != b.role, a.power != b.power,
	} {
		if differs {
			n++
		}
	}
	return n
}
