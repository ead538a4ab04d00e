package shootfile

import (
	"errors"
	"strings"
	"testing"
	"time"

	"evenfall/internal/shoot"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Days outside of the years that the sun's position is stated for are refused
// however they are said, also where only the clock says so; the day of the hint is
// taken, whatever the clock says.
func TestYearsAreBounded(t *testing.T) {
	day := func(text string) shoot.Date {
		d, err := time.Parse(time.DateOnly, text)
		require.NoError(t, err)
		return shoot.Date{Year: d.Year(), Month: d.Month(), Day: d.Day()}
	}
	resolved := func(today, date string) (*shoot.Shoot, error) {
		d, err := Parse("shoot.toml", []byte("[place]\nlatitude_deg = 54\nlongitude_deg = 10\ntime_zone = \"UTC+1\"\n"+
			"[when]\nfrom = \"12:00\"\nto = \"13:00\"\n"))
		require.NoError(t, err)
		if date != "" {
			d.Set("date", date)
		}
		env := environment(t)
		env.Today = day(today)
		return d.Resolve(env)
	}
	tried := 0
	for _, c := range []struct {
		today, date string
		want        string // the day, empty for a refusal
	}{
		{"2027-05-03", "1949-12-31", ""}, {"2027-05-03", "1950-01-01", "1950-01-01"},
		{"2027-05-03", "2100-12-31", "2100-12-31"}, {"2027-05-03", "2101-01-01", ""},
		{"2027-05-03", "31 December 1949", ""}, {"2027-05-03", "1.1.2101", ""}, {"2027-05-03", "21010101", ""},
		{"2027-05-03", "0001-01-01", ""}, {"2027-05-03", "9999-12-31", ""},
		{"2100-12-31", "", "2100-12-31"}, {"2100-12-31", "today", "2100-12-31"}, {"2100-12-31", "tomorrow", ""},
		{"2100-12-31", "Friday", "2100-12-31"}, {"2100-12-31", "Thursday", ""}, {"2100-12-31", "sat", ""},
		{"2100-12-31", "30 December", ""}, {"2100-12-31", "1 January", ""}, {"2100-12-31", "31 December", "2100-12-31"},
		{"2100-12-31", "29 February", ""}, {"2097-01-01", "29 February", ""},
		{"1949-12-31", "", ""}, {"1949-12-31", "today", ""}, {"1949-12-31", "tomorrow", "1950-01-01"},
		{"1949-12-31", "Sunday", "1950-01-01"}, {"1949-12-31", "Saturday", ""}, {"1949-12-31", "31 December", ""},
		{"1949-12-31", "1 January", "1950-01-01"},
		{"1980-01-01", "", "1980-01-01"}, {"1904-01-01", "tomorrow", ""}, {"1601-01-01", "", ""},
		{"2101-01-01", "", ""}, {"2101-01-01", "today", ""}, {"2101-01-01", "Monday", ""},
		{"1948-02-29", "", ""}, {"1948-02-29", "tomorrow", ""}, {"2104-02-29", "today", ""}, {"2104-02-29", "29 February", ""},
		{"2101-01-01", "nonsense", ""}, {"1949-12-31", "nonsense", ""}, {"2104-02-29", "31 February", ""},
		{"2101-01-01", "31 June", ""}, {"1949-12-31", "2027-02-30", ""}, {"2101-01-01", "3/4/2101", ""},
		{"2101-01-01", "2200-13-01", ""}, {"9999-12-31", "tomorrow", ""},
	} {
		tried++
		s, err := resolved(c.today, c.date)
		if c.want != "" {
			if assert.NoError(t, err, "%+v", c) {
				assert.Equal(t, day(c.want), s.When.Date, "%+v", c)
			}
			continue
		}
		var faults Faults
		if !assert.True(t, errors.As(err, &faults), "%+v: %v", c, err) {
			continue
		}
		require.Len(t, faults, 1, "%+v", c)
		hint := strings.TrimPrefix(faults[0].Hint, "--date ")
		hint, _, _ = strings.Cut(hint, " or ")
		hint = strings.Trim(strings.TrimPrefix(hint, "date = "), `"`)
		_, err = resolved(c.today, hint)
		assert.NoError(t, err, "%+v: its hint, %s", c, faults[0].Hint)
	}
	t.Logf("%d days said", tried)
}
