package picture

import (
	"math"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/words"
	"evenfall/sky"
)

// Heights of the charts.
const (
	lightHeight = 220
	powerHeight = 170
)

// light draws the ambient light against time: the lit side with its band, and
// the shade side. Under broken cloud both have a curve with the sun out and
// one with it in.
func light(p *plan.Plan) *drawing {
	runs := best(p)
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range runs {
		for i := range r.Minutes {
			l := &r.Minutes[i].Light
			lit, shade := float64(exposure.Incident(l.Lit)), float64(exposure.Incident(l.Shade))
			for _, v := range [...]float64{lit + float64(l.LitBand.Low), lit + float64(l.LitBand.High), shade} {
				if !math.IsNaN(v) && !math.IsInf(v, 0) {
					low, high = min(low, v), max(high, v)
				}
			}
		}
	}
	if low > high {
		low, high = 0, 1
	}
	low, high = math.Floor(low), math.Ceil(high+0.2)
	from, to := p.Window()
	c := newChart(lightHeight, from, to, low, max(high, low+2))
	step := stepFor(c.low, c.high, 6)
	for v := math.Ceil(c.low/step) * step; v <= c.high; v += step {
		c.level(v, words.Number(v, 0))
	}
	c.hours()
	c.events(p)
	var names []named
	for _, r := range runs {
		lit, shade, band := lightOf(c, r)
		c.path("band", true, band...)
		c.draw("lit", lit)
		c.draw("shade", shade)
		c.keepOff(lit)
		c.keepOff(shade)
		text := ""
		if len(runs) > 1 {
			text = ", " + words.Sun(r.Case)
		}
		names = append(names, named{lit, "lit side" + text, above}, named{shade, "shade side" + text, below})
	}
	for _, one := range names {
		c.name(one.points, one.text, one.side)
	}
	return c.drawing
}

// named is a curve with its name, and the side that it is to stand on.
type named struct {
	points curve
	text   string
	side
}

// lightOf returns the curves of a run, and the outline of its band.
func lightOf(c *chart, r *plan.Run) (lit, shade, band curve) {
	var under curve
	for i := range r.Minutes {
		m := &r.Minutes[i]
		v := float64(exposure.Incident(m.Light.Lit))
		lit = append(lit, c.at(m.Time, v))
		shade = append(shade, c.at(m.Time, float64(exposure.Incident(m.Light.Shade))))
		band = append(band, c.at(m.Time, v+float64(m.Light.LitBand.High)))
		under = append(under, c.at(m.Time, v+float64(m.Light.LitBand.Low)))
	}
	for i := len(under) - 1; i >= 0; i-- {
		band = append(band, under[i])
	}
	return lit, shade, band
}

// power draws the flash's power against time, and that of a fill, in halvings
// of full power.
func power(p *plan.Plan) *drawing {
	runs := best(p)
	lowest := sky.Stops(0)
	for _, r := range runs {
		for i := range r.Minutes {
			for _, of := range [...]group{key, fill} {
				if stops, fires := of(&r.Minutes[i]); fires {
					lowest = min(lowest, stops)
				}
			}
		}
	}
	from, to := p.Window()
	c := newChart(powerHeight, from, to, min(math.Floor(float64(lowest))-0.5, -3), 0.3)
	for s := 0.0; s > c.low; s-- {
		c.level(s, fraction(int(-s)))
	}
	c.hours()
	c.events(p)
	method := p.Verdict().Best
	both := p.Flashes(method) && p.Fills(method)
	var names []named
	for i, r := range runs {
		for k, of := range [...]group{key, fill} {
			points := powerOf(c, r, of)
			class, text := "power", ""
			if i+k > 0 {
				class = "power in"
			}
			if both {
				text = [...]string{"key", "fill"}[k]
			}
			if r.Split {
				text = strings.TrimPrefix(text+", ", ", ") + words.Sun(r.Case)
			}
			c.draw(class, points)
			c.keepOff(points)
			names = append(names, named{points, text, [...]side{above, below}[(i+k)%2]})
		}
	}
	for _, one := range names {
		if one.text != "" {
			c.name(one.points, one.text, one.side)
		}
	}
	return c.drawing
}

// group is the power of a group of flashes at a minute, in stops from full, and
// whether it fires.
type group func(*plan.Minute) (stops sky.Stops, fires bool)

func key(m *plan.Minute) (sky.Stops, bool) { return m.Power.Stops(), m.Fires() }

func fill(m *plan.Minute) (sky.Stops, bool) {
	if !m.Fill.Fires() {
		return 0, false
	}
	return m.Fill.Power.Stops(), true
}

// fraction writes full power halved so often.
func fraction(halvings int) string { return "1/" + words.Number(math.Exp2(float64(halvings)), 0) }

// powerOf is the power of a group through a run: level until it is changed,
// with gaps where it does not fire.
func powerOf(c *chart, r *plan.Run, of group) curve {
	var list curve
	for i := range r.Minutes {
		m := &r.Minutes[i]
		stops, fires := of(m)
		if !fires {
			list = append(list, point{math.NaN(), math.NaN()})
			continue
		}
		p := c.at(m.Time, float64(stops))
		if last := len(list) - 1; last >= 0 && !math.IsNaN(list[last].y) && list[last].y != p.y {
			list = append(list, point{p.x, list[last].y})
		}
		list = append(list, p)
	}
	return list
}

// best returns the runs of the verdict's method.
func best(p *plan.Plan) []*plan.Run { return p.RunsOf(p.Index(p.Verdict().Best)) }
