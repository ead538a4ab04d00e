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
