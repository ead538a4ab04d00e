package shootfile

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"evenfall/internal/shoot"
)

// clocksAtGreenwich are boxes around places whose clocks show Greenwich time in
// winter only, with their time zones: the islands of Britain and Ireland, the
// mainland of Portugal, Madeira and the Canary Islands. In degrees, off a map
// from memory, and drawn so that no neighbour of another time lies within.
var clocksAtGreenwich = [...]struct {
	south, north, west, east float64
	zone                     string
}{
	{51.3, 54, -10.8, -5.9, "Europe/Dublin"},
	{54, 55.5, -10.8, -8.2, "Europe/Dublin"},
	{49.9, 61, -8.2, 1, "Europe/London"},
	{51.1, 61, 1, 1.9, "Europe/London"},
	{36.9, 41.8, -9.6, -7.5, "Europe/Lisbon"},
	{32.3, 33.2, -17.4, -16.2, "Atlantic/Madeira"},
	{27.5, 29.5, -18.3, -13.3, "Atlantic/Canary"},
}

// Remarks are what may be wrong with a shoot that can be planned: that its time
// zone is Greenwich's on a day when clocks at the place are an hour ahead.
func Remarks(s *shoot.Shoot, env Environment) Faults {
	if s.Place.Zone != time.UTC {
		return nil
	}
	zone := env.zoneOfGreenwich(s.Place.Site.Latitude.Degrees(), s.Place.Site.Longitude.Degrees())
	if zone == nil {
		return nil
	}
	noon := time.Date(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, 12, 0, 0, 0, zone)
	if _, offset := noon.Zone(); offset == 0 {
		return nil
	}
	return Faults{{Hint: "--tz " + zone.String(), What: fmt.Sprintf(
		"GMT has no summer time: %s is an hour ahead on %v", zone, s.When.Date)}}
}

// SearchRemarks are what may be wrong with what a search over dates is asked: that
// its forecast has nothing of them.
func SearchRemarks(s *shoot.Shoot, w *shoot.Wishes, named string) Faults {
	f := w.Forecast
	if len(f) == 0 || forecastReaches(f, w, s.Place.Zone) {
		return nil
	}
	first := f[0].Time.In(s.Place.Zone)
	for _, one := range f {
		if day := one.Time.In(s.Place.Zone); asked(w.On, day.Weekday()) {
			return Faults{noHour(named, "--dates "+day.Format("2006-01-02"))}
		}
	}
	on := strings.ToLower(first.Weekday().String())
	return Faults{noHour(named, "--dates "+first.Format("2006-01-02")+" --on "+on)}
}

// noHour is what is said of a forecast that is of no use; named is its file, where
// it has one.
func noHour(named, hint string) Fault {
	return Fault{What: strings.TrimSpace("the forecast "+named) + " has no hour of the dates asked for", Hint: hint}
}

// forecastReaches reports whether a forecast has anything of the days asked for.
func forecastReaches(f shoot.Forecast, w *shoot.Wishes, zone *time.Location) bool {
	first, last := w.Dates.First, w.Dates.Last
	begin := time.Date(first.Year, first.Month, first.Day, 0, 0, 0, 0, zone)
	end := time.Date(last.Year, last.Month, last.Day+1, 0, 0, 0, 0, zone)
	for _, one := range f {
		t := one.Time.In(zone)
		if !t.Before(begin) && t.Before(end) && asked(w.On, t.Weekday()) {
			return true
		}
	}
	return false
}

// asked reports whether a day of the week is one of those asked for; all are where
// none is named.
func asked(on []time.Weekday, day time.Weekday) bool { return len(on) == 0 || slices.Contains(on, day) }

// zoneOfGreenwich returns the zone of a place in one of the boxes; nil elsewhere.
func (env *Environment) zoneOfGreenwich(latitude, longitude float64) *time.Location {
	for _, box := range clocksAtGreenwich {
		if latitude >= box.south && latitude <= box.north && longitude >= box.west && longitude <= box.east {
			return env.zoneNamed(box.zone)
		}
	}
	return nil
}
