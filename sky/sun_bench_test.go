package sky

import (
	"testing"
	"time"

	"github.com/sixdouglas/suncalc"
)

// BenchmarkSun also reports how much of suncalc's time per call ours takes: the
// two are timed in turns, and the quickest turns of both are compared, so that
// whatever else the machine does weighs on neither.
func BenchmarkSun(b *testing.B) {
	const latitude, longitude = 51.48, -0.01
	o := NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(longitude)})
	start := time.Date(2026, time.September, 12, 0, 0, 0, 0, time.UTC)
	var sum float64
	ours := func(i int) { sum += float64(o.Sun(start.Add(time.Duration(i) * time.Minute)).Altitude) }
	theirs := func(i int) {
		sum += suncalc.GetPosition(start.Add(time.Duration(i)*time.Minute), latitude, longitude).Altitude
	}

	b.ReportAllocs()
	i := 0
	for b.Loop() {
		ours(i)
		i++
	}

	turn := func(call func(int)) time.Duration {
		began := time.Now()
		for i := range 1440 {
			call(i)
		}
		return time.Since(began)
	}
	oursBest, theirsBest := turn(ours), turn(theirs)
	for range 100 {
		oursBest, theirsBest = min(oursBest, turn(ours)), min(theirsBest, turn(theirs))
	}
	b.ReportMetric(float64(oursBest)/float64(theirsBest), "of-suncalc")
	if sum == 0 { // the sum is used, so that no call can be left out
		b.Fatal("no sun")
	}
}

func BenchmarkDay(b *testing.B) {
	o := NewObserver(Place{Latitude: Degrees(51.48), Longitude: Degrees(-0.01)})
	b.ReportAllocs()
	day := 0
	for b.Loop() {
		day++
		if d := o.Day(2026, time.January, day, time.UTC); len(d.Events) == 0 {
			b.Fatal("no events")
		}
	}
}
