package sky_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"evenfall/internal/reading"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Readings are tried on the measurements as a shoot would take them: a measured
// minute is read, and foretells the planes of later minutes of the same sky.

// readingShoot is a shoot of a measured minute's day at its station.
func readingShoot(s *sample, c sky.Condition) *shoot.Shoot {
	year, month, day := s.at.Date()
	return &shoot.Shoot{
		Place:   shoot.Place{Site: lyngby(), Zone: time.UTC, Ground: 0.2},
		When:    shoot.When{Date: shoot.Date{Year: year, Month: month, Day: day}, To: shoot.Instant{Offset: 23 * time.Hour}},
		Sky:     []shoot.SkySpan{{Condition: c}},
		Subject: shoot.Subject{Facing: scene.Facing{Side: scene.RightLit}}, // as across
	}
}

// meter reads planes of measured minutes with an error.
type meter struct {
	planes []reading.Plane
	within sky.Stops // standard deviation
	random *rand.Rand
}

// learn has the shoot of a minute learn what the meter reads of it.
func (m *meter) learn(t *testing.T, s *sample, c sky.Condition, k sky.Case, d *sky.Daylight) *shoot.Shoot {
	t.Helper()
	l := d.At(c, k, s.sun, across(s.sun))
	is := measuredPlanes(s, &l)
	var list []reading.Reading
	for _, p := range m.planes {
		light := is.Lit
		if p == reading.Shade {
			light = is.Shade
		}
		light *= sky.Lux(sky.Stops(m.random.NormFloat64() * float64(m.within)).Factor())
		list = append(list, reading.Reading{Time: s.at, Plane: p, Light: light})
	}
	of := readingShoot(s, c)
	_, learned, err := reading.Learn(of, list, m.within)
	require.NoError(t, err)
	of.Learned = learned
	return of
}

// ages are the errors after a reading by its age: each tally counts those up to
// the age.
type ages map[time.Duration]tally

// follow foretells the minutes of a sky from every so many of its readings.
func follow(t *testing.T, samples []sample, every int, name string, m *meter, upTo ...time.Duration) ages {
	t.Helper()
	d, st := daylightAt(lyngby()), stateNamed(t, name)
	result := ages{}
	for _, age := range upTo {
		result[age] = tally{}
	}
	for i := 0; i < len(samples); i += every {
		var of *shoot.Shoot
		for k := i + 1; k < len(samples); k++ {
			then := &samples[k]
			age := then.at.Sub(samples[i].at)
			if age > slices.Max(upTo) {
				break
			}
			if of == nil {
				of = m.learn(t, &samples[i], st.condition, st.which, d)
			}
			corrected := d.Corrected(of.CorrectionAt(then.at, st.condition, st.which))
			l := corrected.At(st.condition, st.which, then.sun, across(then.sun))
			for _, from := range upTo {
				if age <= from {
					result[from].measure(name, then, &l)
				}
			}
		}
	}
	return result
}

// testMeasuredAfterReading takes clear minutes for readings, and foretells each
// minute of the next hour that was clear too.
func testMeasuredAfterReading(t *testing.T, samples []sample) {
	clear := minutesOf(samples, "clear")
	lit, both := []reading.Plane{reading.Lit}, []reading.Plane{reading.Lit, reading.Shade}
	none := tally{}
	d := daylightAt(lyngby())
	for i := range clear {
		l := d.At(sky.Described(sky.Clear), sky.SunOut, clear[i].sun, across(clear[i].sun))
		none.measure("clear", &clear[i], &l)
	}
	logReadings(t, "clear, no reading", none)
	for _, c := range []struct {
		name      string
		meter     meter
		low, high float64            // bars of lit at 3-10 deg and from 10
		held      map[string]float64 // the most that bands may hold
	}{
		// The bands after readings are those of a usual meter.
		{"exact meter, lit", meter{planes: lit, within: 0}, 0.21, 0.08, nil},
		{"meter of 0.1, lit", meter{planes: lit, within: reading.UsualError}, 0.28, 0.12,
			map[string]float64{"lit": 0.86, "shade": 0.85, "level": 0.86}},
		{"meter of 0.1, lit and shade", meter{planes: both, within: reading.UsualError}, 0.28, 0.12,
			map[string]float64{"lit": 0.86, "shade": 0.86, "level": 0.86}},
	} {
		c.meter.random = rand.New(rand.NewPCG(1, 2))
		byAge := follow(t, clear, 7, "clear", &c.meter, time.Hour)
		r := byAge[time.Hour]
		logReadings(t, c.name+", up to 60 min", r)
		for bar, altitudes := range map[float64]span{c.low: {3, 10}, c.high: {10, 60}} {
			within := r.over("clear", "lit", altitudes, allYears).within()
			without := none.over("clear", "lit", altitudes, allYears).within()
			assert.LessOrEqual(t, within, bar, "%s, %v", c.name, altitudes)
			assert.LessOrEqual(t, within, without, "%s, %v: worse than no reading", c.name, altitudes)
		}
		if c.held == nil {
			continue
		}
		for _, p := range planes() {
			held := r.over("clear", p.name, span{3, 60}, allYears).held()
			assert.GreaterOrEqual(t, held, 0.75, "%s, %s", c.name, p.name)
			assert.LessOrEqual(t, held, c.held[p.name], "%s, %s", c.name, p.name)
		}
	}
	long := follow(t, clear, 21, "clear", &meter{lit, reading.UsualError, rand.New(rand.NewPCG(1, 2))}, 3*time.Hour)
	logReadings(t, "meter of 0.1, lit, up to 3 h", long[3*time.Hour])
}

// testMeasuredAfterCloudReading does the same under cloud.
func testMeasuredAfterCloudReading(t *testing.T, samples []sample) {
	upTo := []time.Duration{10 * time.Minute, 30 * time.Minute, time.Hour, 90 * time.Minute}
	for _, name := range []string{"thin", "broken sun", "broken cloud", "overcast", "heavy"} {
		list := minutesOf(samples, name)
		m := meter{[]reading.Plane{reading.Lit}, reading.UsualError, rand.New(rand.NewPCG(3, 4))}
		every := max(1, len(list)/1500)
		r := follow(t, list, every, name, &m, upTo...)
		st, d := stateNamed(t, name), daylightAt(lyngby())
		none := tally{}
		for i := range list {
			l := d.At(st.condition, st.which, list[i].sun, across(list[i].sun))
			none.measure(name, &list[i], &l)
		}
		whole := none.over(name, "lit", span{3, 60}, allYears)
		line := fmt.Sprintf("%-12s no reading:   ", name)
		for _, p := range planes() {
			all := none.over(name, p.name, span{3, 60}, allYears)
			line += fmt.Sprintf("  %s %.2f, %.2f, %.0f %%", p.name, all.size(0.5), all.within(), 100*all.held())
		}
		t.Log(line)
		for _, age := range upTo {
			line := fmt.Sprintf("%-12s up to %3.0f min:", name, age.Minutes())
			for _, p := range planes() {
				all := r[age].over(name, p.name, span{3, 60}, allYears)
				line += fmt.Sprintf("  %s %.2f, %.2f, %.0f %%", p.name, all.size(0.5), all.within(), 100*all.held())
				if p.name == "lit" {
					assert.LessOrEqual(t, all.within(), whole.within()+0.02, "%s, %v: worse than no reading", name, age)
					assert.InDelta(t, 0.80, all.held(), 0.07, "%s, %v", name, age)
				}
			}
			t.Log(line)
		}
	}
}

// logReadings prints a line for each plane: by altitude 90 % of the errors, and
// the share in the band.
func logReadings(t *testing.T, name string, r tally) {
	t.Helper()
	for _, p := range planes() {
		line := fmt.Sprintf("%-40s %-5s", name, p.name)
		for _, bin := range append(altitudeBins(), span{3, 10}, span{10, 60}, span{3, 60}) {
			m := r.over("clear", p.name, bin, allYears)
			line += fmt.Sprintf("  %v %.3f %.0f%%", bin, m.within(), 100*m.held())
		}
		t.Log(line)
	}
}

// size returns the size that a share of the errors does not exceed.
func (m *deviations) size(share float64) float64 {
	sizes := make([]float64, len(m.stops))
	for i, x := range m.stops {
		sizes[i] = math.Abs(x)
	}
	slices.Sort(sizes)
	return sortedQuantile(sizes, share)
}

// minutesOf returns the samples under a sky with the sun above 3 deg.
func minutesOf(samples []sample, name string) []sample {
	var list []sample
	for i := range samples {
		if samples[i].sun.Altitude >= sky.Degrees(3) && slices.Contains(conditions(samples, i), name) {
			list = append(list, samples[i])
		}
	}
	return list
}
