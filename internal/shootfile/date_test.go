package shootfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDatesAsPeopleWriteThem(t *testing.T) {
	for _, text := range []string{
		"2027-06-19", "2027-6-19", "2027/06/19", "2027.06.19", "20270619", " 2027-06-19 ", "19.6.2027",
		"19. 6. 2027", "19/6/2027", "6/19/2027",
		"19-06-2027", "19 June 2027", "19th June 2027", "19th of June, 2027", "19. June 2027", "19 jun 2027",
		"19-Jun-2027", "June 19 2027",
		"19.06.27", "19 Jun 27", "June 19, 27", "19/6/27", "June 19, 2027", "Jun. 19th, 2027", "2027 June 19", "2027-Jun-19",
	} {
		s, err := overridden(t, "date", text)
		require.NoError(t, err, text)
		assert.Equal(t, "2027-06-19", s.When.Date.String(), text)
		assert.Equal(t, "2027-06-19", resolved(t, somewhere+"[when]\ndate = '"+text+"'").When.Date.String())
	}
	for text, count := range map[string]int{
		"8/5/2027": 2, "8/8/2027": 1, "2027-02-30": 0, "19 Ju 2027": 0, "19 Juno 2027": 0, "19 June": 0, "": 0,
		"13/13/2027": 0, "19.6.27": 1, "8/5/27": 2, "19-06-27": 0,
		"Sept 3 2027": 1, "20271301": 0, "2027-06-19T18:00": 0,
	} {
		assert.Len(t, datesOf(text), count, text)
	}
}

// Days without their year, and days of the week, are the next from today on.
// 3 May 2027 is a Monday (ISO 8601, Zeller's congruence by hand); 2028 is a leap
// year.
func TestDatesFromToday(t *testing.T) {
	for text, want := range map[string]string{
		"Monday": "2027-05-03", "Saturday": "2027-05-08", "sat": "2027-05-08", "SUNDAY": "2027-05-09",
		"3 May": "2027-05-03", "12 june": "2027-06-12", "June 12th": "2027-06-12", "12.6.": "2027-06-12",
		"2 May": "2028-05-02", "1 January": "2028-01-01", "29 Feb": "2028-02-29", "tomorrow": "2027-05-04",
	} {
		s, err := overridden(t, "date", text)
		require.NoError(t, err, text)
		assert.Equal(t, want, s.When.Date.String(), text)
	}
	for _, text := range []string{"su", "next Saturday", "31 June", "12.6", "32 May", "May 2027", ""} {
		_, ok := nextDate(text, environment(t).Today)
		assert.False(t, ok, text)
	}
}

// Whatever the date is called, it lies in the years that the sun's position is
// stated for.
func TestDatesOutOfRange(t *testing.T) {
	env := environment(t)
	for _, c := range []struct {
		date      string
		year      int
		what      string
		goodAfter string
	}{
		{"", 2101, "2101-05-03: must be 1950 to 2100", "2100-05-03"},
		{"today", 1949, "--date today: must be 1950 to 2100", "1950-05-03"},
		{"tomorrow", 2101, "--date tomorrow: must be 1950 to 2100", "2100-05-03"},
		{"1949-12-31", 2027, "--date 1949-12-31: must be 1950 to 2100", "2027-05-03"},
		{"31 December 1949", 2027, "--date '31 December 1949': must be 1950 to 2100", "2027-05-03"},
	} {
		env.Today.Year = c.year
		d := Defaults()
		d.Set("at", "48.2,16.37")
		if c.date != "" {
			d.Set("date", c.date)
		}
		_, err := d.Resolve(env)
		var faults Faults
		require.ErrorAs(t, err, &faults, c.date)
		require.Len(t, faults, 1)
		assert.Contains(t, faults[0].What, c.what)
		assert.Equal(t, "--date "+c.goodAfter, faults[0].Hint)
	}
}
