package shootfile

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Positions as people paste them. By hand: 38 deg 43 min 20 s are 38 + 43/60 +
// 20/3600 = 38.72222, 9 deg 8 min 21 s are 9.13917.
func TestPositions(t *testing.T) {
	for _, c := range []struct {
		text                string
		latitude, longitude float64
	}{
		{"54.33,10.15", 54.33, 10.15},
		{"54.33, 10.15", 54.33, 10.15},
		{" -33.86 , 151.21 ", -33.86, 151.21},
		{"54.33;10.15", 54.33, 10.15},
		{"38.7 -9.1", 38.7, -9.1},
		{"−33.86,151.21", -33.86, 151.21}, // a typeset minus
		{"+54,+10", 54, 10},
		{"N38.7 W9.1", 38.7, -9.1},
		{"n38.7,w9.1", 38.7, -9.1},
		{"33.86S, 151.21E", -33.86, 151.21},
		{"33.86°S 151.21°E", -33.86, 151.21},
		{"10E,54N", 54, 10},
		{`38°43'20"N 9°8'21"W`, 38.72222, -9.13917},
		{`38°43′20″N 9°08′21″W`, 38.72222, -9.13917},
		{`38º 43’ 20” N, 9º 8’ 21” W`, 38.72222, -9.13917},
		{"38 43 20 N, 9 8 21 W", 38.72222, -9.13917},
		{"38 43 20 N 9 8 21 W", 38.72222, -9.13917},
		{"38:43:20N 9:8:21W", 38.72222, -9.13917},
		{"38 43 20, -9 8 21", 38.72222, -9.13917},
		{"38 43.3333 N 9 8.35 W", 38.72222, -9.13917},
		{"38 43 20 -9 8 21", 38.72222, -9.13917},
		{"38deg 43' 20\" N, 9 degrees 8' 21\" W", 38.72222, -9.13917},
		{"(50.6395, -2.0566)", 50.6395, -2.0566},
		{"[50.6395 -2.0566]", 50.6395, -2.0566},
		// RFC 5870, section 6.2: the examples of a geo URI.
		{"geo:13.4125,103.8667", 13.4125, 103.8667},
		{"geo:48.2010,16.3695,183", 48.2010, 16.3695},
		{"geo:48.198634,16.371648;crs=wgs84;u=40", 48.198634, 16.371648},
		{"geo:50.6395,-2.0566?z=14", 50.6395, -2.0566},
		{"0 30 S, 0 30 W", -0.5, -0.5},
		{"-0 30, 0 30", -0.5, 0.5},
	} {
		latitude, longitude, err := parsePosition(c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.latitude, latitude, 1e-5, c.text)
		assert.InDelta(t, c.longitude, longitude, 1e-5, c.text)
	}
	for text, hint := range map[string]string{
		"": "54.33,10.15 --tz Europe/Berlin", "somewhere": "54.33,10.15 --tz Europe/Berlin",
		"54":          "54.33,10.15 --tz Europe/Berlin",
		"54,33,10,15": "54.33,10.15", "38,7 -9,1": "38.7,-9.1", "54N,-10E": "54,10",
		"https://maps.example/place/Cove/@50.6395,-2.0566,14z": "50.6395,-2.0566",
		"https://maps.example/?q=50.6395,-2.0566":              "50.6395,-2.0566",
		"https://maps.example/?z=3&q=50.6395%2C+-2.0566&t=k":   "50.6395,-2.0566",
		"https://maps.example/?q=cove":                         "54.33,10.15 --tz Europe/Berlin",
		"(54.33,10.15":                                         "54.33,10.15 --tz Europe/Berlin",
		"54N,10N":                                              "54.33,10.15 --tz Europe/Berlin",
		"38 60 0,9 0 0":                                        "54.33,10.15 --tz Europe/Berlin", "38.5 30,9 0": "54.33,10.15 --tz Europe/Berlin",
		"N38S,E9W": "54.33,10.15 --tz Europe/Berlin",
		"1e1,1e1":  "54.33,10.15 --tz Europe/Berlin", "NaN,10": "54.33,10.15 --tz Europe/Berlin",
	} {
		_, _, err := parsePosition(text)
		var f Fault
		require.True(t, errors.As(err, &f), text)
		assert.Equal(t, hint, f.Hint, text)
	}
}

func FuzzPosition(f *testing.F) {
	for _, text := range []string{"54.33,10.15", `38°43'20"N 9°8'21"W`, "38 43 20 N, 9 8 21 W", "N38.7 W9.1",
		"38,7 -9,1", "8 0N\t", "(54.33, 10.15)", "geo:48.2,16.4,183;u=40", "https://maps.example/@50.6,-2.1,14z"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		latitude, longitude, err := parsePosition(text)
		if err != nil {
			var fault Fault
			require.True(t, errors.As(err, &fault))
			reported(t, Faults{fault})
			return
		}
		assert.False(t, math.IsNaN(latitude+longitude) || math.IsInf(latitude+longitude, 0))
		digits := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
		again, other, err := parsePosition(digits(latitude) + "," + digits(longitude))
		require.NoError(t, err)
		assert.Equal(t, [2]float64{latitude, longitude}, [2]float64{again, other})
	})
}
