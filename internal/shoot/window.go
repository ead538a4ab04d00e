package shoot

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"evenfall/internal/timezone"
	"evenfall/sky"
)

// LongestOvernight is the longest window that may run past midnight: an end
// that lies before the start is more likely a mistake than a session of a
// whole day.
const LongestOvernight = 16 * time.Hour

// TimeError says that a day does not have a time that was asked for.
type TimeError struct {
	What    string
	Instead string // a clock time that the day has
}

// Error returns what is wrong, without what to take instead.
func (e TimeError) Error() string { return e.What }

// TimeErrors is several of them.
type TimeErrors []TimeError

// Error returns them all, a line each.
func (e TimeErrors) Error() string {
	var lines []string
	for _, one := range e {
		lines = append(lines, one.Error())
	}
	return strings.Join(lines, "\n")
}

// Observer returns the place, with its skyline, as the sky's calculations take
// it.
func (s *Shoot) Observer() sky.Observer { return sky.NewObserver(s.Place.Site).Over(s.Place.Horizon) }

// Window returns when the session begins and ends on a local day: at one
// moment, where both are the same. An end before the beginning lies after
// midnight. The error, a TimeError, says that an event does not happen that day,
// that clocks skip a time, or that the window would be longer than 16 hours
// past midnight.
func (s *Shoot) Window(day sky.Day) (from, to time.Time, err error) {
	if from, err = s.Moment(s.When.From, day); err != nil {
		return time.Time{}, time.Time{}, err
	}
	if to, err = s.Moment(s.When.To, day); err != nil {
		return time.Time{}, time.Time{}, err
	}
	if !to.Before(from) {
		return from, to, nil
	}
	if to, err = s.Moment(s.When.To, s.daysFrom(day, 1)); err != nil {
		return time.Time{}, time.Time{}, err
	}
	if length := to.Sub(from); length < 0 || length > LongestOvernight {
		return time.Time{}, time.Time{}, TimeError{
			What: fmt.Sprintf("the window from %v to %v ends before it begins, "+
				"and past midnight it would be longer than %s",
				s.When.From, s.When.To, Span(LongestOvernight)),
			Instead: clockTime(from.Add(2 * time.Hour)),
		}
	}
	return from, to, nil
}

// ConditionAt returns the condition of the sky at a time of the window on a
// local day. A change that is tied to an event the day does not have is left
// out.
func (s *Shoot) ConditionAt(t time.Time, day sky.Day) sky.Condition {
	condition := s.Sky[0].Condition
	if len(s.Sky) == 1 {
		return condition
	}
	from, to, err := s.Window(day)
	if err != nil {
		return condition
	}
	for _, span := range s.Sky[1:] {
		if start, err := s.within(*span.From, day, from, to); err == nil && !start.After(t) {
			condition = span.Condition
		}
	}
	return condition
}

// Cases returns how many skies a moment of the session is planned for, at the
// most: two where it is broken at any time.
func (s *Shoot) Cases() int {
	most := 1
	for _, span := range s.Sky {
		most = max(most, span.Condition.Cases())
	}
	return most
}

// TimeOf returns when an instant is, for the session of a local day: after
// midnight where it comes before the window and the window runs that far, else
// on the day itself, in the window or not. The error, a TimeError, says that the
// day has no such event.
func (s *Shoot) TimeOf(i Instant, day sky.Day) (time.Time, error) {
	from, to, err := s.Window(day)
	if err != nil {
		return time.Time{}, err
	}
	return s.within(i, day, from, to)
}

// within returns the time of an instant in a window: after midnight where
// the instant comes before the window and the window runs that far.
func (s *Shoot) within(i Instant, day sky.Day, from, to time.Time) (time.Time, error) {
	t, err := s.Moment(i, day)
	if err != nil || !t.Before(from) {
		return t, err
	}
	if next := s.daysFrom(day, 1); to.After(next.Start) {
		if later, err := s.Moment(i, next); err == nil && !later.After(to) {
			return later, nil
		}
	}
	return t, nil
}

// daysFrom returns the local day n days after another.
func (s *Shoot) daysFrom(day sky.Day, n int) sky.Day {
	year, month, date := day.Start.Date()
	o := s.Observer()
	return o.Day(year, month, date+n, s.Place.Zone)
}

// Moment returns when an instant is on a local day. By the clock it is what
// clocks show there, also when they are changed that day; a time that they
// skip is a fault. Events count from
// the day's solar noon: a dusk is the first one after it, even past midnight,
// a dawn the last one before it; of the skyline's, the last that comes before
// the night and the first that comes after it. The error is a TimeError.
func (s *Shoot) Moment(i Instant, day sky.Day) (time.Time, error) {
	year, month, date := day.Start.Date()
	if i.Event == "" {
		seconds := int(i.Offset / time.Second)
		on := func(zone *time.Location) time.Time {
			return time.Date(year, month, date, seconds/3600, seconds/60%60, seconds%60, 0, zone)
		}
		t := on(s.Place.Zone)
		_, offset := t.Zone()
		if !t.Add(time.Duration(offset) * time.Second).Equal(on(time.UTC)) {
			// No offset shows this time: Date took the one before or that after.
			change := skipped(t)
			return time.Time{}, TimeError{
				What: fmt.Sprintf("clocks skip %v on %v: they go forward to %s", i, Date{year, month, date},
					clockTime(change)),
				Instead: clockTime(change),
			}
		}
		return t, nil
	}
	t, ok := s.event(i, day)
	if !ok {
		why := ""
		switch {
		case bySkyline(i.Event) && len(s.Place.Horizon) == 0:
			why = ": no skyline is stated"
		case day.SunNeverSets:
			why = ": the sun does not set"
		case day.SunNeverRises:
			why = ": the sun does not rise"
		}
		return time.Time{}, TimeError{
			What:    fmt.Sprintf("%s has no %s here%s", Date{year, month, date}, i.Event, why),
			Instead: "20:00",
		}
	}
	return t.Add(i.Offset), nil
}

// skipped returns when clocks go forward within a day of a time.
func skipped(t time.Time) time.Time {
	const around = 48 * time.Hour
	rules := timezone.Of(t.Location(), t.Add(-around), t.Add(around))
	for i, c := range rules.Changes {
		if i > 0 && c.Offset > rules.Changes[i-1].Offset {
			return time.Unix(c.From, 0).In(t.Location())
		}
	}
	return t
}

// event finds the event an instant names, its offset not counted.
func (s *Shoot) event(i Instant, day sky.Day) (time.Time, bool) {
	middle, ok := day.First(sky.SolarNoon)
	if !ok || i.Event == sky.SolarNoon {
		return middle.Time, ok
	}
	direction := time.Duration(1)
	if i.Morning || sideOf(i.Event) == morning {
		direction = -1
	}
	var found time.Time
	farthest, best := bySkyline(i.Event), time.Duration(0)
	for range 2 {
		for _, e := range day.Events {
			away := direction * e.Time.Sub(middle.Time)
			if e.Name != i.Event || away <= 0 || away > 12*time.Hour {
				continue
			}
			if found.IsZero() || away > best == farthest {
				found, best = e.Time, away
			}
		}
		if !found.IsZero() && !farthest {
			break
		}
		day = s.daysFrom(day, int(direction)) // past midnight
	}
	return found, !found.IsZero()
}

// String returns the date as it is typed: 2027-09-18.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

// Compare returns -1 where d is before another date, 1 where it is after it, else 0.
func (d Date) Compare(o Date) int {
	return cmp.Or(cmp.Compare(d.Year, o.Year), cmp.Compare(d.Month, o.Month), cmp.Compare(d.Day, o.Day))
}

// After returns the date some days later.
func (d Date) After(days int) Date {
	year, month, day := time.Date(d.Year, d.Month, d.Day+days, 0, 0, 0, 0, time.UTC).Date()
	return Date{year, month, day}
}

// clockTime writes a time of day.
func clockTime(t time.Time) string { return t.Format("15:04") }
