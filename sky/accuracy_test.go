package sky_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// These tests hold the light against measurements: small tables drawn from
// three years at Kgs. Lyngby in Denmark, days in Colorado and South Australia
// and some moments in Singapore (testdata/daylight/README.md). TestMeasured does the same against
// every measured minute. The constants of the model were fitted on the years
// that both check; how well it does on a year it was not fitted on,
// testdata/daylight/fit.py prints.

// row is a line of a check table by the names of its columns.
type row map[string]string

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	return number(t, r[column])
}

func (r row) time(t *testing.T) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, r["time_utc"])
	require.NoError(t, err)
	return at
}

func checkTable(t *testing.T, name string) []row {
	t.Helper()
	heading, lines := cells(t, "daylight/"+name)
	rows := make([]row, len(lines))
	for i, line := range lines {
		rows[i] = row{}
		for k, column := range heading {
			rows[i][column] = line[k]
		}
	}
	require.NotEmpty(t, rows)
	return rows
}

func stateNamed(t *testing.T, name string) state {
	t.Helper()
	for _, s := range states() {
		if s.name == name {
			return s
		}
	}
	require.Fail(t, "no such condition", name)
	return state{}
}

// plane is one of the planes that were measured, with its band.
type plane struct {
	name string
	of   func(*sky.Light) (sky.Lux, sky.Band)
}

func planes() []plane {
	return []plane{
		{"lit", func(l *sky.Light) (sky.Lux, sky.Band) { return l.Lit, l.LitBand }},
		{"shade", func(l *sky.Light) (sky.Lux, sky.Band) { return l.Shade, l.ShadeBand }},
		{"level", func(l *sky.Light) (sky.Lux, sky.Band) { return l.Level, l.LevelBand }},
	}
}

// across is a subject turned at right angles to the sun, for which the tables
// give the shade.
func across(s sky.Sun) sky.View { return sky.View{Facing: s.Azimuth + math.Pi/2} }

func lyngby() sky.Place {
	return sky.Place{Latitude: sky.Degrees(55.79064), Longitude: sky.Degrees(12.52505), Elevation: 50}
}

func alamosa() sky.Place {
	return sky.Place{Latitude: sky.Degrees(37.70), Longitude: sky.Degrees(-105.92), Elevation: 2317}
}

func golden() sky.Place {
	return sky.Place{Latitude: sky.Degrees(39.7406), Longitude: sky.Degrees(-105.1775), Elevation: 1792}
}

func adelaide() sky.Place {
	return sky.Place{Latitude: sky.Degrees(-34.9524), Longitude: sky.Degrees(138.5204), Elevation: 2}
}

func singapore() sky.Place {
	return sky.Place{Latitude: sky.Degrees(1.34), Longitude: sky.Degrees(103.96)}
}

// daylightAt is the light over ground that throws back a fifth, as the tables
// have it.
func daylightAt(p sky.Place) *sky.Daylight { return sky.NewDaylight(p, 0.2, nil) }

// span is a range of the sun's altitude, deg.
type span struct{ from, to float64 }

func (s span) holds(altitude float64) bool { return s.from <= altitude && altitude < s.to }

func (s span) String() string { return fmt.Sprintf("%g-%g deg", s.from, s.to) }

// Source: DTU solar station, Kgs. Lyngby (minutes.csv): single minutes drawn
// at random. A band that holds 75 to 85 % of all minutes must hold so many of
// these that chance explains the rest (one time in a hundred it would not).
func TestBandsHoldMinutes(t *testing.T) {
	observer, d := sky.NewObserver(lyngby()), daylightAt(lyngby())
	rows := checkTable(t, "minutes.csv")
	inside := map[string]int{}
	for _, r := range rows {
		sun := observer.Sun(r.time(t))
		// The table's sun is of a short series.
		assert.InDelta(t, r.number(t, "altitude_deg"), sun.Altitude.Degrees(), 0.03, r["time_utc"])
		s := stateNamed(t, r["condition"])
		l := d.At(s.condition, s.which, sun, across(sun))
		for _, p := range planes() {
			estimate, band := p.of(&l)
			miss := sky.StopsOf(r.number(t, p.name+"_lx") / float64(estimate))
			if band.Low <= miss && miss <= band.High {
				inside[p.name]++
			}
		}
	}
	for _, p := range planes() {
		k, n := inside[p.name], len(rows)
		t.Logf("%s: %d of %d minutes in the band, %.0f %%", p.name, k, n, 100*float64(k)/float64(n))
		assert.Greater(t, binomial(n, 0.75, 0, k), 0.01, "%s: too few in the band", p.name)
		assert.Greater(t, binomial(n, 0.85, k, n), 0.01, "%s: too many in the band", p.name)
	}
}

// binomial returns the chance that of n independent things, each with
// probability p, from low to high of them happen.
func binomial(n int, p float64, low, high int) float64 {
	sum, chance := 0.0, math.Pow(1-p, float64(n))
	for k := 0; k <= high; k++ {
		if k >= low {
			sum += chance
		}
		chance *= float64(n-k) / float64(k+1) * p / (1 - p)
	}
	return sum
}

// quantiles are 10, 50 and 90 % of the measured minutes of a condition on a
// plane, in stops from the estimate, in a narrow range of the sun's altitude
// in one year.
type quantiles struct {
	row
	altitude, minutes, days float64
	low, median, high       float64
	band                    sky.Band
}

// unsure returns the standard error of the median, days being the independent
// samples.
func (q *quantiles) unsure() float64 {
	const (
		spread = 2.563 // from 10 to 90 % of a normal distribution, in its deviations
		median = 1.253 // error of a median to that of a mean
	)
	return median * (q.high - q.low) / spread / math.Sqrt(q.days)
}

func measuredQuantiles(t *testing.T, p plane) []quantiles {
	t.Helper()
	d := daylightAt(lyngby())
	rows := checkTable(t, "quantiles.csv")
	list := make([]quantiles, len(rows))
	for i, r := range rows {
		q := quantiles{row: r, altitude: r.number(t, "altitude_deg"), minutes: r.number(t, "minutes"), days: r.number(t, "days")}
		sun := at(q.altitude)
		sun.Season = r.number(t, "season")
		sun.Distance = 1 / math.Sqrt(r.number(t, "distance_factor"))
		s := stateNamed(t, r["condition"])
		l := d.At(s.condition, s.which, sun, across(sun))
		var estimate sky.Lux
		estimate, q.band = p.of(&l)
		stops := func(column string) float64 {
			return float64(sky.StopsOf(r.number(t, p.name+column) / float64(estimate)))
		}
		q.low, q.median, q.high = stops("_p10"), stops("_p50"), stops("_p90")
		list[i] = q
	}
	return list
}

// Source: DTU solar station, Kgs. Lyngby (quantiles.csv). The bar is 0.08
// stop of median bias on the lit plane under a clear sky, 0.05 from 10 deg up,
// over all years. A single year may be off by what so few days leave unsure
// besides (two standard errors).
func TestLitBiasClear(t *testing.T) {
	for altitudes, bar := range map[span]float64{{3, 6}: 0.08, {6, 10}: 0.08, {10, 60}: 0.05} {
		var sum, minutes float64
		for _, q := range measuredQuantiles(t, planes()[0]) {
			if q.row["condition"] != "clear" || !altitudes.holds(q.altitude) {
				continue
			}
			t.Logf("%s, %.1f deg: %+.3f stop, +-%.3f by %g days", q.row["year"], q.altitude, q.median, q.unsure(), q.days)
			assert.InDelta(t, 0, q.median, bar+2*q.unsure())
			sum += q.median * q.minutes
			minutes += q.minutes
		}
		t.Logf("%v, all years: %+.3f stop", altitudes, sum/minutes)
		assert.InDelta(t, 0, sum/minutes, bar)
	}
}

// Source: DTU solar station, Kgs. Lyngby (quantiles.csv). From 10 to 90 % the
// measured light must spread about as wide as the bands say: over all altitudes
// and years 0.8 to 1.05 of it for each condition and plane. (The bands were
// fitted a little wide, at 9 and 91 %, since another year is off centre.) And no
// edge may be off by more than what so few days leave unsure.
func TestBandsAgainstQuantiles(t *testing.T) {
	for _, p := range planes() {
		measured, stated := map[string]float64{}, map[string]float64{}
		worst, where := 0.0, ""
		for _, q := range measuredQuantiles(t, p) {
			condition := q.row["condition"]
			if p.name == "shade" && q.altitude < 9 {
				continue // its table was put together with the types of the day
			}
			width := float64(q.band.High - q.band.Low)
			measured[condition] += (q.high - q.low) * q.minutes
			stated[condition] += width * q.minutes
			for _, miss := range []float64{q.low - float64(q.band.Low), q.high - float64(q.band.High)} {
				// The standard error of a 10 % quantile of a normal distribution
				// is 1.71 deviations over the root of the sample.
				unsure := 1.71 * width / 2.563 / math.Sqrt(q.days)
				if math.Abs(miss)/unsure > worst {
					worst = math.Abs(miss) / unsure
					where = fmt.Sprintf("%s %s at %g deg, %+.2f stop", condition, q.row["year"], q.altitude, miss)
				}
			}
		}
		for condition := range stated {
			share := measured[condition] / stated[condition]
			t.Logf("%s, %s: measured 10-90 %% is %.2f of the band", p.name, condition, share)
			assert.InDelta(t, 0.925, share, 0.125, "%s, %s", p.name, condition)
		}
		t.Logf("%s: worst edge %.1f standard errors off: %s", p.name, worst, where)
		assert.Less(t, worst, 4.0)
	}
}

// Source: NREL, Golden; NOAA SURFRAD, Alamosa; BSRN, Adelaide (elsewhere.csv):
// clear days of other climates, at 1792 m, 2317 m and at the sea, with suns to
// 76 deg. The two high ones gave the height over which haze falls, each right for
// the other; nothing else was fitted to any. The bar for lit from 6 deg up is a
// median within 0.1 stop on each day; the haze of the day decides single
// minutes. Bands must hold three quarters of all.
func TestElsewhere(t *testing.T) {
	errors := map[string][]float64{}
	inside, n := 0, 0
	for _, r := range checkTable(t, "elsewhere.csv") {
		d := daylightAt(sky.Place{Latitude: sky.Degrees(r.number(t, "latitude_deg")), Elevation: r.number(t, "elevation_m")})
		sun := at(r.number(t, "altitude_deg"))
		sun.Season, sun.Distance = r.number(t, "season"), 1/math.Sqrt(r.number(t, "distance_factor"))
		l := d.At(sky.Described(sky.Clear), sky.SunOut, sun, across(sun))
		day := r["place"] + " " + r["date"]
		line := fmt.Sprintf("%s, %4.1f deg:", day, sun.Altitude.Degrees())
		for _, p := range planes() {
			estimate, band := p.of(&l)
			miss := sky.StopsOf(r.number(t, p.name+"_lx") / float64(estimate))
			line += fmt.Sprintf(" %s %+.2f", p.name, miss)
			if n++; band.Low <= miss && miss <= band.High {
				inside++
			}
			if p.name == "lit" && sun.Altitude >= sky.Degrees(6) {
				errors[day] = append(errors[day], float64(miss))
			}
		}
		t.Log(line, "stop from the estimate")
	}
	for day, list := range errors {
		slices.Sort(list)
		middle := sortedQuantile(list, 0.5)
		t.Logf("%s: lit %+.3f", day, middle)
		assert.InDelta(t, 0, middle, 0.1, day)
	}
	t.Logf("%d of %d in the bands", inside, n)
	assert.GreaterOrEqual(t, 4*inside, 3*n)
}

// Source: Balakrishnan 2019, Singapore (singapore.csv), level light measured
// in lx. Wet tropics, far from what the model was fitted to, one station and a
// handful of moments: the limit is one stop, and the bias is logged.
func TestSingapore(t *testing.T) {
	observer, d := sky.NewObserver(singapore()), daylightAt(singapore())
	skies := map[string]state{
		"OS":   stateNamed(t, "overcast"),
		"MS":   stateNamed(t, "clear"),
		"MSIS": stateNamed(t, "broken cloud"),
	}
	for _, r := range checkTable(t, "singapore.csv") {
		s, ok := skies[r["sky"]]
		require.True(t, ok, r["sky"])
		sun := observer.Sun(r.time(t))
		l := d.At(s.condition, s.which, sun, across(sun))
		miss := sky.StopsOf(r.number(t, "level_lx") / float64(l.Level))
		t.Logf("%s, %s, sun at %+.1f deg: level %+.2f stop from the estimate, band %+.2f to %+.2f",
			r["time_utc"], s.name, sun.Altitude.Degrees(), miss, l.LevelBand.Low, l.LevelBand.High)
		assert.InDelta(t, 0, float64(miss), 1)
	}
}
