package shoot

import (
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An event is on the asked half of the day that has its solar noon on the
// date, and is one that the sky's own days list.
func TestEventsCountFromSolarNoon(t *testing.T) {
	checked, overnight := 0, 0
	for _, hours := range []int{0, 2, -2} {
		zone := time.FixedZone("", hours*3600)
		for latitude := -75.0; latitude <= 75; latitude += 7.5 {
			for month := time.January; month <= time.December; month++ {
				s := &Shoot{Place: Place{Site: sky.Place{Latitude: sky.Degrees(latitude)}, Zone: zone}}
				day := s.Observer().Day(2027, month, 21, s.Place.Zone)
				noonEvent, ok := day.First(sky.SolarNoon)
				require.True(t, ok)
				for _, event := range events {
					for _, inMorning := range []bool{false, true} {
						if inMorning && event.side != either {
							continue
						}
						got, err := s.Moment(Instant{Event: event.name, Morning: inMorning}, day)
						if err != nil {
							continue
						}
						checked++
						if got.In(s.Place.Zone).Day() != 21 {
							overnight++
						}
						after := got.Sub(noonEvent.Time)
						switch {
						case event.side == noon:
							assert.Zero(t, after)
						case inMorning || event.side == morning:
							assert.True(t, after < 0 && after >= -12*time.Hour, "%v %v", event.name, after)
						default:
							assert.True(t, after > 0 && after <= 12*time.Hour, "%v %v", event.name, after)
						}
					}
				}
			}
		}
	}
	t.Logf("%d events, %d of them on the other side of midnight", checked, overnight)
	assert.Positive(t, overnight)
	assert.Greater(t, checked, 5000)
}

// Behind the skyline is where the sun goes for good, over it when it first
// comes, however often it goes behind something in between.
func TestSkylineInstants(t *testing.T) {
	point := func(azimuth, altitude float64) sky.HorizonPoint {
		return sky.HorizonPoint{Azimuth: sky.Degrees(azimuth), Altitude: sky.Degrees(altitude)}
	}
	s := &Shoot{Place: Place{Site: sky.Place{Latitude: sky.Degrees(50)}, Zone: time.UTC, Horizon: sky.Horizon{
		point(60, 3), point(210, 3), point(215, 60), point(225, 60), point(230, 3)}}} // a tower
	day := s.Observer().Day(2027, time.March, 21, time.UTC)
	var behind, over []time.Time
	for _, e := range day.Events {
		switch e.Name {
		case sky.SunBehindSkyline:
			behind = append(behind, e.Time)
		case sky.SunOverSkyline:
			over = append(over, e.Time)
		}
	}
	require.Len(t, behind, 2)
	require.Len(t, over, 2)
	got, err := s.Moment(Instant{Event: sky.SunBehindSkyline, Offset: -10 * time.Minute}, day)
	require.NoError(t, err)
	assert.Equal(t, behind[1].Add(-10*time.Minute), got)
	got, err = s.Moment(Instant{Event: sky.SunOverSkyline}, day)
	require.NoError(t, err)
	assert.Equal(t, over[0], got)

	s.Place.Horizon = nil
	_, err = s.Moment(Instant{Event: sky.SunBehindSkyline}, s.Observer().Day(2027, time.March, 21, time.UTC))
	assert.ErrorContains(t, err, "2027-03-21 has no sun behind the skyline here: no skyline is stated")
}
