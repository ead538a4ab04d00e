package sky

import "math"

// crossing is one of the sun and the skyline.
type crossing struct {
	days float64
	name EventName
}

// crossings returns those between two samples, between which the altitude only
// rises or only falls, in order of time. The sun is looked at every half minute
// where it may stand as low as the skyline: what covers it, or lets it be seen,
// for less may be left out.
func (o *Observer) crossings(a, b sunSample) (list []crossing) {
	low, high := min(a.altitude, b.altitude), max(a.altitude, b.altitude)
	if o.horizon == nil || low > float64(o.horizon.highest()) || high < downForSure {
		return nil
	}
	const looksPerDay = 2880
	n := math.Ceil((b.days - a.days) * looksPerDay)
	from, was := a.days, o.hidden(a.days)
	for i := 1.0; i <= n; i++ {
		to := a.days + (b.days-a.days)*i/n
		if i == n {
			to = b.days // to the last bit, so that adjacent stretches agree
		}
		is := o.hidden(to)
		if is != was {
			list = o.cross(list, from, to, is)
		}
		from, was = to, is
	}
	return list
}

// downForSure is a true altitude at which no air lifts the sun's disc over the
// sea's horizon, rad.
const downForSure = -2 * radPerDegree

// cross appends the crossing between two times, if it is the skyline's: from then
// on the sun is hidden, or is not.
func (o *Observer) cross(list []crossing, from, to float64, hides bool) []crossing {
	at := lastBefore(from, to, func(days float64) bool { return o.hidden(days) == hides })
	const moment = 1e-9 // days, 0.1 ms
	if hides && o.skylineAt(at+moment) > 0 {
		return append(list, crossing{at, SunBehindSkyline})
	}
	if !hides && o.skylineAt(at) > 0 {
		return append(list, crossing{at, SunOverSkyline})
	}
	return list
}

// sunAt returns where the sun stands at a time in days from 2000.
func (o *Observer) sunAt(days float64) Sun { return o.Sun(timeFrom2000(days)) }

// hidden reports whether nothing is seen of the sun's disc.
func (o *Observer) hidden(days float64) bool { return o.horizon.Visible(o.sunAt(days)) == 0 }

// skylineAt returns the altitude of the skyline where the sun stands.
func (o *Observer) skylineAt(days float64) Angle { return o.horizon.At(o.sunAt(days).Azimuth) }
