package explain

import (
	"math"
	"time"

	"evenfall/sky"
)

const (
	standardAir = "ISO 2533:1975, the standard atmosphere"
	definition  = "definition"
)

// clock explains how the clock's time becomes universal time, and days from
// the beginning of 2000.
func (w *workings) clock(t time.Time) {
	_, seconds := t.Zone()
	inMinute := float64(t.Second()) + float64(t.Nanosecond())*1e-9
	y, m, d := t.Date()
	midnight := time.Date(y, m, d, 0, 0, 0, 0, time.UTC) // of the same date
	ut := Step{Title: "Universal time", Symbol: "UT", Template: "{hour} + {min} / 60 + {sec} / 3600 - {offset}",
		Words:  "by the clock",
		Result: t.UTC().Sub(midnight).Hours(), Unit: "h", Source: "zone database, " + t.Location().String() +
			" at UTC" + t.Format("-07:00")}
	switch {
	case ut.Result < 0:
		ut.Note = "below 0: of the day before"
	case ut.Result >= 24:
		ut.Note = "24 and more: of the day after"
	}
	w.add(ut, Value{Symbol: "hour", Value: float64(t.Hour())}, Value{Symbol: "min", Value: float64(t.Minute())},
		Value{Symbol: "sec", Value: inMinute}, given("offset", "that of the zone in h", float64(seconds)/3600))
	noon := time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)
	w.add(Step{Title: "Days from noon of 1 January 2000", Symbol: "d", Template: "{days} + ({UT} - 12) / 24",
		Result: (float64(t.Unix()-noon.Unix()) + float64(t.Nanosecond())*1e-9) / 86400, Unit: "days",
		Source: "Julian date 2451545.0"},
		given("days", "from then to noon of the date",
			math.Round(float64(midnight.Add(12*time.Hour).Unix()-noon.Unix())/86400)))
}

// elevation is that of a place, in m, as the standard atmosphere takes it.
func elevation(metres float64) Value {
	return given("z", "the elevation in m, between -5000 and 11000", min(max(metres, -5000), 11000))
}

// sun explains where the sun stands: the ephemeris as a whole, the air of the
// place and its refraction by their formulas.
func (w *workings) sun(sun sky.Sun, air sky.Air, metres float64) {
	const ephemeris = "Meeus 1998, Astronomical Algorithms, ch. 12, 22, 25, with 13 terms of VSOP87 (Bretagnon & " +
		"Francou 1988)"
	w.add(Step{Title: "True altitude of the sun", Symbol: "h0",
		Words:  "the ephemeris for d, seen from the place, without air",
		Result: sun.TrueAltitude.Degrees(), Unit: degrees, Source: ephemeris,
		Note: "within 0.002 deg of an independent ephemeris from 1950 to 2100"})
	w.add(Step{Title: "Azimuth of the sun", Symbol: "A", Words: "the ephemeris, clockwise from true north",
		Result: sun.Azimuth.Degrees(), Unit: degrees, Source: ephemeris,
		Note: "as exact as the altitude, across the sky"})
	w.add(Step{Title: "Distance of the sun", Symbol: "r", Words: "the ephemeris", Result: sun.Distance, Unit: "au",
		Source: ephemeris,
		Note:   "within 0.00015 au of an independent ephemeris"})
	w.add(Step{Title: "Season", Symbol: "s", Words: "sine of the sun's ecliptic longitude: 1 in June, -1 in December",
		Result: sun.Season, Source: ephemeris})
	z := elevation(metres)
	w.add(Step{Title: "Air pressure", Symbol: "P", Template: "1013.25 * (1 - 0.0065 * {z} / 288.15)^5.25588",
		Result: air.Pressure, Unit: "hPa", Source: standardAir}, z)
	w.add(Step{Title: "Air temperature", Symbol: "ta", Template: "15 - 0.0065 * {z}", Result: air.Temperature,
		Unit: "deg C", Source: standardAir}, z)
	w.work(Step{Title: "Air against the formula's", Symbol: "k", Template: "{P} / 1010 * 283 / (273 + {ta})",
		Source: "Meeus 1998, ch. 16"})
	bent := Step{Title: "Refraction", Symbol: "dh", Result: sky.Refraction(sun.TrueAltitude, air).Degrees(),
		Unit:     degrees,
		Template: "{k} * (1.02 / tan({h0} + {q}) + 0.0019279) / 60", Source: "Saemundsson 1986 (Meeus 1998, eq. 16.4)"}
	if below := sun.TrueAltitude < sky.Degrees(-1); below {
		bent.Template, bent.Words = "{k} * 0.67746817 / tan(-{h0}) / 60", "below -1 deg"
		bent.Source, bent.Estimate = "the shape of Zimmerman 1981 (NREL SOLPOS)", true
	} else {
		w.work(Step{Title: "Raised in the formula by", Symbol: "q",
			Template: "atan(1.0004 * 10.3 / ({h0} + 5.11) * pi / 180)", Unit: degrees, Source: "Meeus 1998, eq. 16.4"})
	}
	w.add(bent)
	w.add(Step{Title: "Apparent altitude", Symbol: "h", Template: "{h0} + {dh}", Result: sun.Altitude.Degrees(),
		Unit: degrees, Source: definition})
}

// skyline explains what share of the sun's disc is seen.
func (w *workings) skyline(horizon sky.Horizon, sun sky.Sun) {
	line := Step{Title: "Skyline under the sun", Symbol: "line", Result: horizon.At(sun.Azimuth).Degrees(),
		Unit: degrees, Source: "the shoot's horizon"}
	a, b, f := horizon.Between(sun.Azimuth)
	switch {
	case len(horizon) == 0:
		line.Words = "none stated: the sea's horizon"
	case f == 0:
		line.Words = "a point of it"
	default:
		line.Template = "{p1} + {part} * ({p2} - {p1})"
	}
	w.add(line, angle("p1", "and p2 its points before the sun's azimuth and after it", a.Altitude.Degrees()),
		angle("p2", "", b.Altitude.Degrees()), given("part", "how far along", f))
	w.work(Step{Title: "Height over the skyline", Symbol: "xs",
		Template: "max(-1, min(({h} - max(0, {line})) / (16 / 60), 1))",
		Words:    "from the lower to the upper edge of the disc", Unit: "radii",
		Source: "the almanac's radius of the sun, 16 arcmin"})
	w.add(Step{Title: "Visible share of the disc", Symbol: "v",
		Template: "0.5 + (asin({xs}) * pi / 180 + {xs} * sqrt(1 - {xs}^2)) / pi",
		Result:   horizon.Visible(sun), Source: "area of a disc above a chord"})
}
