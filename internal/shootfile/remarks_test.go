package shootfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Summer time lasts in the United Kingdom from the last Sunday of March to the
// last of October (Summer Time Order 2002), and there is none in Iceland. Places
// by the degree, off a map.
func TestGreenwichInSummer(t *testing.T) {
	for _, c := range []struct{ at, zone, date, hint string }{
		{"50.64,-2.06", "GMT", "2027-06-27", "--tz Europe/London"},
		{"50.64,-2.06", "UTC", "2027-10-30", "--tz Europe/London"},
		{"50.64,-2.06", "GMT", "2027-10-31", ""},
		{"50.64,-2.06", "GMT", "2027-01-16", ""},
		{"50.64,-2.06", "Europe/London", "2027-06-27", ""},
		{"50.64,-2.06", "UTC+1", "2027-06-27", ""},
		{"53.3,-9.0", "GMT", "2027-06-27", "--tz Europe/Dublin"},
		{"38.7,-9.1", "UTC", "2027-06-27", "--tz Europe/Lisbon"},
		{"64.1,-21.9", "GMT", "2027-06-27", ""}, // Reykjavik
		{"48.9,2.3", "UTC", "2027-06-27", ""},   // Paris, not at Greenwich time in winter
		{"42.2,-8.7", "UTC", "2027-06-27", ""},  // Vigo
	} {
		s, err := overridden(t, "at", c.at, "tz", c.zone, "date", c.date)
		require.NoError(t, err, "%v", c)
		remarks := Remarks(s, environment(t))
		if c.hint == "" {
			assert.Empty(t, remarks, "%v", c)
			continue
		}
		require.Len(t, remarks, 1, "%v", c)
		assert.Equal(t, c.hint, remarks[0].Hint)
		assert.Contains(t, remarks[0].What, "GMT has no summer time: ")
	}
}
