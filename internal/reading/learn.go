package reading

import (
	"slices"
	"sort"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// UsualError is how well a meter reads, as a standard deviation. Common
// practice, no source.
const UsualError sky.Stops = 0.1

// Weighed is a reading with what it says.
type Weighed struct {
	Reading
	Sun    sky.Sun
	Under  sky.Condition
	Case   sky.Case  // that the reading is nearer to
	Model  sky.Lux   // on its plane before any reading
	Offset sky.Stops // of the reading from Model
	Weight float64   // share of what it has beyond the readings before that is carried on
	// Fits is the sky that the reading is of far more likely; nil where the
	// condition's is as good.
	Fits *Fit

	sun float64 // share of direct sun in the plane's light
}

// Fit is how far a reading lies from another sky.
type Fit struct {
	Word   sky.Word
	Case   sky.Case
	Offset sky.Stops
}

// littleTold is the weight below which a reading hardly tells anything.
const littleTold = 0.25

// TellsLittle reports whether the plan hardly follows the reading: that of a
// cloudless sky under a high sun, which haze alters by less than a meter's
// error.
func (w *Weighed) TellsLittle() bool { return w.Under.Cloudless() && w.Weight < littleTold }

// session is a shoot on its day, as readings see it.
type session struct {
	shoot    *shoot.Shoot
	observer sky.Observer
	daylight *sky.Daylight
	day      sky.Day
}

func newSession(s *shoot.Shoot) *session {
	o, d := s.Observer(), s.When.Date
	return &session{s, o, sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon),
		o.Day(d.Year, d.Month, d.Day, s.Place.Zone)}
}

// OfTheDay returns the readings of the shoot's local day, and of the night into
// which its window runs, in order of time, each once.
func OfTheDay(s *shoot.Shoot, list []Reading) []Reading {
	n := newSession(s)
	ends := n.day.End.Add(-1) // midnight is the next day's
	if _, to, err := s.Window(n.day); err == nil && to.After(ends) {
		ends = to
	}
	var own []Reading
	for _, r := range list {
		if !r.Time.Before(n.day.Start) && !r.Time.After(ends) {
			own = append(own, r)
		}
	}
	sort.SliceStable(own, func(i, j int) bool { return own[i].Time.Before(own[j].Time) })
	var once []Reading
	for i := range own {
		r := &own[i]
		if !slices.ContainsFunc(once, func(o Reading) bool { return o.Same(r) }) {
			once = append(once, *r)
		}
	}
	return once
}

// sight is the sky over one reading.
type sight struct {
	*session
	sun  sky.Sun
	view sky.View
}

func (n *session) at(t time.Time) sight {
	sun := n.observer.Sun(t)
	return sight{n, sun, sky.View{Facing: n.shoot.Subject.Facing.At(sun.Azimuth), Moon: n.observer.NightMoon(t, sun)}}
}

// light is that of a sky, corrected.
func (g *sight) light(c sky.Condition, k sky.Case, by sky.Correction) sky.Light {
	d := g.daylight.Corrected(by)
	return d.At(c, k, g.sun, g.view)
}

// Learn weighs the readings of a day, in order of time, by a meter good to
// within, and returns what the shoot learns of its light. The error is Faults:
// readings that no sky could give, or that contradict each other.
func Learn(s *shoot.Shoot, list []Reading, within sky.Stops) ([]Weighed, []shoot.Learned, error) {
	n := newSession(s)
	var weighed []Weighed
	var faults Faults
	for i := range list {
		w, err := n.weigh(&list[i])
		if f, is := err.(Fault); is {
			faults = append(faults, f)
			continue
		}
		weighed = append(weighed, w)
	}
	if faults = append(faults, contradictions(weighed)...); len(faults) > 0 {
		return nil, nil, faults
	}
	const exact = 0.001 // a meter without any error leaves nothing to weigh by
	k := known{session: n, within: max(float64(within), exact)}
	for i := range weighed {
		k.take(&weighed[i])
	}
	return weighed, k.learned, nil
}

// weigh sets a reading against the sky of its time. The error is a Fault.
func (n *session) weigh(r *Reading) (Weighed, error) {
	g := n.at(r.Time)
	w := Weighed{Reading: *r, Sun: g.sun, Under: n.shoot.ConditionAt(r.Time, n.day)}
	w.Time = r.Time.In(n.shoot.Place.Zone)
	if err := g.possible(&w); err != nil {
		return w, err
	}
	offset := func(k sky.Case) sky.Stops {
		l := g.light(w.Under, k, sky.Correction{})
		return sky.StopsOf(float64(r.Light / r.Plane.on(&l)))
	}
	w.Offset = offset(sky.SunOut)
	if w.Under.Cases() > 1 {
		if in := offset(sky.SunIn); in.Abs() < w.Offset.Abs() {
			w.Case, w.Offset = sky.SunIn, in
		}
	}
	l := g.light(w.Under, w.Case, sky.Correction{})
	w.Model = r.Plane.on(&l)
	w.sun = float64(r.Plane.sun(&l, g.sun) / w.Model)
	w.Fits = g.fit(&w, &l)
	return w, nil
}

// known is what readings have told so far.
type known struct {
	*session
	within  float64
	skies   map[seen]*belief
	learned []shoot.Learned
}

// seen is a sky that readings tell of.
type seen struct {
	under sky.Condition
	which sky.Case
}

// belief is what is known of one: of its air, or of its cloud.
type belief struct {
	air   *air
	cloud *cloud
}

// take takes a reading in, under broken cloud as one of the case it is nearer
// to, and sets its weight.
func (k *known) take(w *Weighed) {
	g := k.at(w.Time)
	b := k.of(&g, seen{w.Under, w.Case})
	l := shoot.Learned{From: w.Time, Under: w.Under, Case: w.Case}
	if b.cloud != nil {
		b.cloud.until(w.Time)
		w.Weight = b.cloud.readIn(float64(w.Offset), w.sun)
		l.By, l.Fades = b.cloud.correction(), b.cloud.fading()
	} else {
		b.air.until(w.Time, g.sun.Altitude)
		w.Weight = b.air.readIn(stops(w.Light), k.within, func(by sky.Correction) float64 {
			at := g.light(w.Under, w.Case, by)
			return stops(w.Plane.on(&at))
		})
		l.By, l.Fades = b.air.correction(), b.air.fading()
	}
	k.learned = append(k.learned, l)
}

// stops is a light on the scale of stops.
func stops(e sky.Lux) float64 { return float64(sky.StopsOf(float64(e))) }

// of returns what is known of a sky.
func (k *known) of(g *sight, s seen) *belief {
	if b := k.skies[s]; b != nil {
		return b
	}
	b := &belief{}
	if s.under.Cloudless() {
		b.air = newAir(s.under, k.daylight.Derive(s.under, s.which, g.sun, g.view).Air.Usual)
	} else {
		b.cloud = newCloud(s.under, s.which)
	}
	if k.skies == nil {
		k.skies = map[seen]*belief{}
	}
	k.skies[s] = b
	return b
}
