package season

import (
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/sky"
)

// long reports whether long tests are asked for.
func long() bool { return os.Getenv("EVENFALL_LONG") != "" }

// demonstration is the shoot of the demonstration.
func demonstration(tb testing.TB) *shoot.Shoot {
	d, err := shootfile.Demo()
	require.NoError(tb, err)
	s, err := d.Resolve(shootfile.Environment{
		Today: shoot.Date{Year: 2027, Month: time.September, Day: 1}, Zone: time.UTC, Zones: time.LoadLocation,
	})
	require.NoError(tb, err)
	return s
}

func dates(tb testing.TB, from, to string) shoot.DateRange {
	date := func(text string) shoot.Date {
		t, err := time.Parse(time.DateOnly, text)
		require.NoError(tb, err)
		return shoot.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
	}
	return shoot.DateRange{First: date(from), Last: date(to)}
}

// everything is more windows than there are.
const everything = 100000

func find(t *testing.T, s *shoot.Shoot, w shoot.Wishes) *Answer {
	a, err := Search(t.Context(), Question{Shoot: s, Wishes: w, Most: everything}, nil)
	require.NoError(t, err)
	return a
}

// Every window is one that the plan of its hours, made as anybody would make it,
// holds at every minute; and it is as long as wished for.
func TestWindowsHoldWhenPlanned(t *testing.T) {
	s := demonstration(t)
	for name, w := range map[string]shoot.Wishes{
		"golden hour": {Light: shoot.GoldenHour, AtLeast: 45 * time.Minute},
		"held, with headroom": {AtLeast: time.Hour, Held: true, Headroom: 0.7, KeepAperture: true,
			SunAltitude: &shoot.AngleRange{Low: sky.Degrees(0), High: sky.Degrees(20)}},
		"afternoon": {AtLeast: 30 * time.Minute, Between: &shoot.Hours{
			From: shoot.Instant{Offset: 15 * time.Hour}, To: shoot.Instant{Event: sky.CivilDusk}}},
	} {
		w.Dates = dates(t, "2027-05-01", "2027-05-08")
		a := find(t, s, w)
		require.NotEmpty(t, a.Windows, name)
		for _, found := range a.Windows {
			assert.GreaterOrEqual(t, found.To.Sub(found.From), w.AtLeast, name)
			one := *s
			y, m, d := found.From.Date()
			one.When.Date = shoot.Date{Year: y, Month: m, Day: d}
			one.When.From, one.When.To = clockOf(found.From, s.Place.Zone), clockOf(found.To, s.Place.Zone)
			p, err := plan.Make(t.Context(), &one)
			require.NoError(t, err)
			for _, by := range append([]shoot.Method{found.Method}, found.Others...) {
				account := p.Account(by, termsOf(&w))
				assert.True(t, account.Met(), "%s: %v by %v", name, found.From, by)
				assert.Len(t, account.Times, int(found.To.Sub(found.From)/time.Minute)+1)
			}
		}
		t.Logf("%s: %d windows", name, len(a.Windows))
	}
}

// minuteHolds asks the planner of one minute alone at which angles a method meets
// the terms: what the scout is to find, by another way.
func minuteHolds(t *testing.T, s *shoot.Shoot, day sky.Day, at time.Time, w *shoot.Wishes) [][]bool {
	p, err := plan.Outline(t.Context(), s, day, at, at)
	require.NoError(t, err)
	v := plan.NewSolver(s)
	terms := termsOf(w)
	var list [][]bool
	for n, m := range s.Methods {
		var angles []bool
		for a := 0; a <= 45; a += 5 {
			worst := true
			for i := range p.Rows {
				r := &p.Rows[i]
				one := v.Solve(m, &r.Moment, sky.Degrees(float64(a)), r.Methods[n].Gel)
				worst = worst && terms.Meets(&one, s.Lens.Wanted)
			}
			angles = append(angles, worst)
		}
		list = append(list, angles)
	}
	return list
}

// Nothing is lost between the samples: every stretch of a month that holds at
// every minute by the planner's word lies within one that the search found.
func TestNothingIsLostByMinutes(t *testing.T) {
	s := demonstration(t)
	last := "2027-04-28"
	if long() {
		last = "2027-05-11"
	}
	if os.Getenv("EVENFALL_LONG") == "2" {
		last = "2027-05-27"
	}
	for name, facing := range map[string]scene.Facing{
		"backlit": {Side: scene.Backlit}, "before a wall": {Azimuth: sky.Degrees(120)},
	} {
		s.Subject.Facing = facing
		w := shoot.Wishes{Dates: dates(t, "2027-04-27", last), AtLeast: 30 * time.Minute,
			SunAltitude: &shoot.AngleRange{Low: sky.Degrees(-5), High: sky.Degrees(12)}}
		q := Question{Shoot: s, Wishes: w}
		found := newSearch(&q, nil)
		require.NoError(t, found.look(t.Context()))
		stretches, minutes, lost := 0, 0, 0
		for i := range found.days {
			d := &found.days[i]
			var held [][][]bool // by minute, method, angle; nil where the sun stands elsewhere
			for at := d.day.Start; at.Before(d.day.End); at = at.Add(time.Minute) {
				altitude := s.Observer().Sun(at).TrueAltitude
				if altitude < sky.Degrees(-5) || altitude > sky.Degrees(12) {
					held = append(held, nil)
					continue
				}
				minutes++
				held = append(held, minuteHolds(t, s, d.day, at, &w))
			}
			for m := range s.Methods {
				for a := range 10 {
					for _, one := range runsOf(held, m, a, 30) {
						stretches++
						from, to := d.day.Start.Add(time.Duration(one.from)*time.Minute), d.day.Start.Add(time.Duration(one.to)*time.Minute)
						if !covered(d.list, m, from, to) {
							if lost++; lost <= 5 {
								assert.Fail(t, "lost", "%s: %v with %d deg from %v to %v", name, s.Methods[m], a*5, from, to)
							}
						}
					}
				}
			}
		}
		require.Positive(t, stretches)
		assert.Zero(t, lost, name)
		t.Logf("%s: %d days, %d minutes, %d stretches of 5 methods and 10 angles, %d lost", name, len(found.days), minutes,
			stretches, lost)
	}
}

// runsOf lists the stretches that hold for so many minutes and more.
func runsOf(held [][][]bool, method, angle, least int) []minutes {
	var list []minutes
	start := -1
	for i := 0; i <= len(held); i++ {
		on := i < len(held) && held[i] != nil && held[i][method][angle]
		switch {
		case on && start < 0:
			start = i
		case !on && start >= 0:
			if i-1-start >= least {
				list = append(list, minutes{start, i - 1})
			}
			start = -1
		}
	}
	return list
}

func covered(list []candidate, method int, from, to time.Time) bool {
	for _, c := range list {
		if c.method == method && !c.from.After(from) && !c.to.Before(to) {
			return true
		}
	}
	return false
}

// No run is lost either: whatever half hour can be planned so that all holds lies
// in a window, or overlaps one that goes before it.
func TestNothingIsLostByRuns(t *testing.T) {
	s := demonstration(t)
	last, every := "2027-05-02", 7
	if long() {
		last, every = "2027-05-12", 1
	}
	if os.Getenv("EVENFALL_LONG") == "2" {
		last = "2027-05-31"
	}
	w := shoot.Wishes{Dates: dates(t, "2027-05-01", last), AtLeast: 30 * time.Minute, Held: true,
		SunAltitude: &shoot.AngleRange{Low: sky.Degrees(-2), High: sky.Degrees(9)}}
	a := find(t, s, w)
	tried, runs, lost, beside := 0, 0, 0, 0
	o := s.Observer()
	for _, d := range datesOf(&w) {
		day := o.Day(d.Year, d.Month, d.Day, s.Place.Zone)
		for i := 0; i+30 < 1440; i += every {
			from := day.Start.Add(time.Duration(i) * time.Minute)
			to := from.Add(30 * time.Minute)
			if !sunWithin(o, from, to, w.SunAltitude) {
				continue
			}
			p, err := plan.Outline(t.Context(), s, day, from, to)
			require.NoError(t, err)
			tried++
			for _, m := range s.Methods {
				if account := p.Account(m, termsOf(&w)); account.Met() {
					runs++
					switch in, near := inWindow(a.Windows, from, to); {
					case near && !in:
						beside++
					case !in:
						lost++
						t.Errorf("%v from %v to %v is in no window", m, from, to.Format("15:04"))
					}
					break
				}
			}
		}
	}
	require.Positive(t, runs)
	t.Logf("%d half hours planned, %d hold, %d lost, %d beside a window, %d windows", tried, runs, lost, beside, len(a.Windows))
	assert.Less(t, float64(beside)/float64(runs), 0.02)
}

func sunWithin(o sky.Observer, from, to time.Time, r *shoot.AngleRange) bool {
	for t := from; !t.After(to); t = t.Add(time.Minute) {
		if a := o.Sun(t).TrueAltitude; a < r.Low || a > r.High {
			return false
		}
	}
	return true
}

func inWindow(list []Window, from, to time.Time) (in, near bool) {
	for _, w := range list {
		in = in || !w.From.After(from) && !w.To.Before(to)
		near = near || !w.From.After(to) && !w.To.Before(from)
	}
	return in, near
}

// At steps of a second the windows of three days are the same: the sun stands as
// wished at every second between their ends, and does not a minute beyond; and the
// picture comes out between two minutes as at them, but for what the light moves in
// half a minute.
func TestBySeconds(t *testing.T) {
	s := demonstration(t)
	w := shoot.Wishes{Dates: dates(t, "2027-06-20", "2027-06-22"), AtLeast: 30 * time.Minute, Light: shoot.GoldenHour, SunVisible: true}
	a := find(t, s, w)
	require.NotEmpty(t, a.Windows)
	o := s.Observer()
	fits := func(at time.Time) bool {
		sun := o.Sun(at)
		return sun.TrueAltitude >= sky.Degrees(-4) && sun.TrueAltitude <= sky.Degrees(6) && s.Place.Horizon.Visible(sun) > 0
	}
	seconds, pictures, off, most := 0, 0, 0, sky.Stops(0)
	for _, found := range a.Windows {
		for at := found.From; !at.After(found.To); at = at.Add(time.Second) {
			seconds++
			require.True(t, fits(at), "%v", at)
			if at.Unix()%7 != 0 && !long() {
				continue
			}
			for _, r := range found.Plan.At(at) {
				for _, one := range r.Methods {
					if one.Method == found.Method {
						pictures++
						if over := beyondTolerance(s, &one); over > 0 {
							off++
							most = max(most, over)
						}
					}
				}
			}
		}
		for _, e := range []struct {
			edge Edge
			at   time.Time
		}{{found.Begins, found.From.Add(-time.Minute)}, {found.Ends, found.To.Add(time.Minute)}} {
			if e.edge.Wish == Light || e.edge.Wish == SunVisible {
				assert.False(t, fits(e.at), "%v", e.at)
			}
		}
	}
	t.Logf("%d windows, %d seconds; of %d pictures at them %d are beyond the tolerance, by up to %.4f stop", len(a.Windows),
		seconds, pictures, off, float64(most))
	const inAMinute = 0.05 // stop that the light goes at the most: three stops an hour
	assert.Less(t, float64(most), inAMinute, "between two minutes settings stand")
}

// beyondTolerance is by how much exposure, ratio or background lie outside what
// comes out as held or softer.
func beyondTolerance(s *shoot.Shoot, one *plan.Solution) sky.Stops {
	ratio := sky.StopsOf(one.Ratio / s.Look.Ratio)
	within := plan.Tolerance(&s.Camera)
	return max(0, one.Exposure.Abs()-within, ratio-within, one.Background-s.Look.AtMost-within)
}

// What is asked of the sun is asked in one way for all wishes: each range holds
// at its ends and not beyond, and azimuths run clockwise.
func TestRanges(t *testing.T) {
	north := shoot.AngleRange{Low: sky.Degrees(350), High: sky.Degrees(20)}
	for azimuth, want := range map[float64]float64{350: 0, 0: 0, 20: 0, 25: 5, 340: 10, 185: 165} {
		assert.InDelta(t, want, around(north, sky.Degrees(azimuth)).Degrees(), 1e-9, "azimuth %v", azimuth)
	}
	for altitude, want := range map[float64]float64{-4: 0, 6: 0, 6.5: 0.5, -5: 1} {
		assert.InDelta(t, want, beyond(goldenHour, sky.Degrees(altitude)).Degrees(), 1e-9, "altitude %v", altitude)
	}
}

// Where nothing fits, the answer says which wish stands in the way, and that with
// so much less of it there is a window.
func TestObstacles(t *testing.T) {
	s := demonstration(t)
	w := shoot.Wishes{Dates: dates(t, "2027-05-01", "2027-05-31"), On: []time.Weekday{time.Saturday, time.Sunday},
		AtLeast: 2 * time.Hour, Light: shoot.GoldenHour, SunFrom: []string{"back"}}
	a := find(t, s, w)
	require.Empty(t, a.Windows)
	require.Equal(t, 10, a.Days)
	require.Len(t, a.Obstacles, 5)
	first := a.Obstacles[0]
	require.Equal(t, Length, first.Wish)
	w.AtLeast = time.Duration(first.Gives) * time.Minute
	assert.NotEmpty(t, find(t, s, w).Windows, "%v minutes", first.Gives)
	w.AtLeast += time.Minute
	assert.Empty(t, find(t, s, w).Windows)

	w = shoot.Wishes{Dates: w.Dates, AtLeast: 30 * time.Minute, SunAzimuth: &shoot.AngleRange{Low: sky.Degrees(318), High: sky.Degrees(330)},
		SunVisible: true}
	a = find(t, s, w)
	require.Empty(t, a.Windows)
	for _, o := range a.Obstacles {
		if o.Wish != SunAzimuth {
			continue
		}
		require.False(t, math.IsNaN(o.Gives))
		w.SunAzimuth.Low -= sky.Degrees(o.Gives + 0.01)
		assert.NotEmpty(t, find(t, s, w).Windows, "%v degrees", o.Gives)
	}
}

// BenchmarkYear is the search of a year, of ten and of a hundred by the methods of
// the demonstration, for windows of half an hour at any time of the day.
func BenchmarkYear(b *testing.B) {
	s := demonstration(b)
	for name, last := range map[string]string{"1": "2027-12-31", "10": "2036-12-31", "73": "2099-12-31"} {
		b.Run(name, func(b *testing.B) {
			if name == "73" && !long() {
				b.Skip("without EVENFALL_LONG")
			}
			start, days := time.Now(), 0
			for b.Loop() {
				q := Question{Shoot: s, Wishes: shoot.Wishes{Dates: dates(b, "2027-01-01", last), AtLeast: 30 * time.Minute}}
				a, err := Search(b.Context(), q, nil)
				require.NoError(b, err)
				b.ReportMetric(float64(a.Found), "windows")
				days += a.Days
			}
			b.ReportMetric(time.Since(start).Seconds()*365.2425/float64(days), "s/year")
		})
	}
}

// The best windows are the same however many are asked for, and none is longer
// than a session may be, where the sun never sets either.
func TestBestByAnyNumber(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	s := demonstration(t)
	ask := func(most int, w shoot.Wishes) []Window {
		a, err := Search(t.Context(), Question{Shoot: s, Wishes: w, Most: most}, nil)
		require.NoError(t, err)
		return a.Windows
	}
	w := shoot.Wishes{Dates: dates(t, "2027-05-01", "2027-05-10"), AtLeast: 45 * time.Minute, Light: shoot.GoldenHour}
	all := ask(everything, w)
	for _, most := range []int{1, 2, 10} {
		some := ask(most, w)
		require.Len(t, some, most)
		for i := range some {
			assert.Equal(t, all[i].From, some[i].From, "number %d of %d", i+1, most)
			assert.Equal(t, all[i].Method, some[i].Method)
		}
	}
	s.Place.Site = sky.Place{Latitude: sky.Degrees(69.6), Longitude: sky.Degrees(18.9)}
	w = shoot.Wishes{Dates: dates(t, "2027-06-10", "2027-06-11"), AtLeast: 3 * time.Hour}
	for _, found := range ask(3, w) {
		assert.LessOrEqual(t, found.To.Sub(found.From), 16*time.Hour)
	}
}

// An edge that the picture makes is a true one: the run of the method does not
// hold with a minute more.
func TestEdgesOfThePicture(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	s := demonstration(t)
	w := shoot.Wishes{Dates: dates(t, "2027-05-01", "2027-05-03"), AtLeast: 45 * time.Minute, Held: true, Headroom: 1, KeepAperture: true}
	edges := 0
	for _, found := range find(t, s, w).Windows {
		for _, end := range []struct {
			edge     Edge
			from, to time.Duration
		}{{found.Begins, -time.Minute, 0}, {found.Ends, 0, time.Minute}} {
			if end.edge.Wish < Look {
				continue
			}
			edges++
			p, err := plan.Outline(t.Context(), found.Plan.Shoot, found.Plan.Day, found.From.Add(end.from), found.To.Add(end.to))
			require.NoError(t, err)
			met := 0
			for _, m := range s.Methods {
				if a := p.Account(m, termsOf(&w)); a.Met() {
					met++
				}
			}
			assert.LessOrEqual(t, met, len(found.Others), "%v to %v", found.From, found.To)
		}
	}
	assert.Greater(t, edges, 3)
	t.Logf("%d edges", edges)
}
