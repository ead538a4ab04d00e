package engine

import (
	"encoding/json"
	"testing"

	"evenfall/internal/reading"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// line is a reading of the demonstration's day as a log has it.
const line = "2027-09-18T18:05:00+02:00 ev13.6@lit"

// Readings of the day's log move the plan as printed, and are no change to it.
func TestReadingsOfTheLog(t *testing.T) {
	var e Engine
	s := demonstration(t)
	ask(t, &e, s)
	without := string(e.Timeline())
	s.Log = line + "\n"
	r := ask(t, &e, s)
	require.Empty(t, r.Faults)
	assert.NotEqual(t, without, string(e.Timeline()))
	assert.Empty(t, r.Moved)
	assert.Empty(t, r.Metering.Taken)
	assert.Nil(t, r.Metering.Adjusted)
	assert.Empty(t, e.Adjust())
}

// A reading that is entered plans as the same one in a log does, and says what it
// changes; the line that comes back stands for it from then on.
func TestReadingEntered(t *testing.T) {
	var e Engine
	s := demonstration(t)
	printed := ask(t, &e, s)
	plain := string(e.Timeline())
	logged := s
	logged.Log = line
	ask(t, &e, logged)
	want := string(e.Timeline())

	r := request(t, &e, s, Request{Reading: &Entry{"ev13.6", "lit", "18:05"}})
	require.Empty(t, r.Faults)
	assert.Equal(t, want, string(e.Timeline()))
	require.Len(t, r.Metering.Taken, 1)
	assert.Equal(t, line, r.Metering.Taken[0].Line)
	assert.Regexp(t, `^18:05 lit side EV 13\.6, 0\.\d stop under the plan; \d+ % of that counts; `+
		`fits thin far better, .*: plan with Sky thin$`, r.Metering.Taken[0].Text)
	require.NotNil(t, r.Metering.Adjusted)
	assert.Regexp(t, `^From 18:05 the light is 0\.\d stop under the plan.*: haze\. .*Go on with nd: `,
		r.Metering.Adjusted.Text)
	assert.Contains(t, texts(r.Moved), "As printed")
	adjusted := string(e.Adjust())
	var contract struct {
		Adjustment struct{ Text string }
		Readings   []struct{ Value string }
	}
	require.NoError(t, json.Unmarshal([]byte(adjusted), &contract))
	assert.Equal(t, r.Metering.Adjusted.Text, contract.Adjustment.Text)
	assert.Len(t, contract.Readings, 1)

	again := request(t, &e, s, Request{Readings: []string{line}})
	assert.Equal(t, r, again)
	assert.Equal(t, adjusted, string(e.Adjust()))
	two := request(t, &e, s, Request{Readings: []string{line}, Reading: &Entry{"f/5.6 1/125 iso100", "shade", "18:06"}})
	require.Empty(t, two.Faults)
	assert.Len(t, two.Metering.Taken, 2)
	assert.NotEqual(t, want, string(e.Timeline()))
	assert.Equal(t, printed, ask(t, &e, s), "all taken away")
	assert.Equal(t, plain, string(e.Timeline()))
}

// A page printed with a log is set against its own plan, not against one that
// nobody has.
func TestReadingAfterOneOfTheLog(t *testing.T) {
	var e Engine
	s := demonstration(t)
	s.Log = line
	r := request(t, &e, s, Request{Reading: &Entry{"ev13.6", "lit", "18:05"}})
	require.Empty(t, r.Faults)
	assert.Contains(t, r.Metering.Adjusted.Text, "From 18:05 the light is as planned.")
	assert.Contains(t, texts(r.Moved), "Nothing moves")
}

// A reading stays with its day and its sky, whatever is changed.
func TestReadingsAndChanges(t *testing.T) {
	var e Engine
	s := demonstration(t)
	s.Anywhere = true
	r := request(t, &e, s, Request{Readings: []string{line}, Changes: []Setting{{"date", "2027-09-19"}}})
	require.Empty(t, r.Faults)
	assert.Equal(t, "18:05=ev13.6@lit of Sat 18 September 2027 is of another day, and does not count",
		r.Metering.Taken[0].Text)
	assert.Nil(t, r.Metering.Adjusted)
	r = request(t, &e, s, Request{Readings: []string{line}, Changes: []Setting{{"to", "18:00"}}})
	assert.Equal(t, []Fault{{"time", "18:05=ev13.6@lit is after the window, that ends at 18:00", "To 19:05"}}, r.Faults)
	r = request(t, &e, s, Request{Reading: &Entry{"ev11.2", "lit", "18:05"}})
	require.Empty(t, r.Faults)
	assert.Regexp(t, `; fits broken with the sun in far better, .*: plan with Sky broken$`, r.Metering.Taken[0].Text)
}

// What is wrong with an entry is said at each of its fields.
func TestEntriesThatAreWrong(t *testing.T) {
	var e Engine
	s := demonstration(t)
	for _, c := range []struct {
		entry Entry
		want  []Fault
	}{
		{Entry{"13.6", "lit", "18:05"},
			[]Fault{{"reading", `"13.6" has no unit: ev, lx, or camera settings`, "ev13.6"}}},
		{Entry{"", "lit", ""}, []Fault{{"reading", "the meter's value is missing", "ev12.3"},
			{"time", "the time of the reading is missing", "18:05"}}},
		{Entry{"ev13", "flat", "25:00"}, []Fault{
			{"plane", `"flat" is not a plane: lit, shade, face or level`, "face"},
			{"time", `"25:00" is not a clock time, 00:00 to 23:59`, "01:00"}}},
		{Entry{"ev17@lit", "level", "18:05"}, []Fault{{"reading", "18:05=ev17@lit is 1.9 stops brighter than the " +
			"clearest sky gives there: check date, place and how the meter was held", "ev14.4@lit at 18:05"}}},
		{Entry{"ev2", "lit", "20:05"},
			[]Fault{{"time", "20:05=ev2@lit is after the window, that ends at 19:29", "To 21:05"}}},
	} {
		r := request(t, &e, s, Request{Reading: &c.entry})
		assert.Equal(t, c.want, r.Faults, "%v", c.entry)
		assert.Empty(t, r.Blocks)
	}
	wrong := request(t, &e, s, Request{Readings: []string{"2027-09-18T18:05:00+02:00 ev99@lit"}})
	assert.Equal(t, "reading", wrong.Faults[0].Field)
}

// The fields of a reading name each plane as it is typed.
func TestFieldsOfAReading(t *testing.T) {
	var e Engine
	m := ask(t, &e, demonstration(t)).Metering
	require.Len(t, m.Controls, 3)
	for i, p := range reading.Planes {
		assert.Equal(t, p.String(), m.Controls[1].Choices[i].Value)
	}
	for _, c := range m.Controls {
		assert.NotEmpty(t, c.Label)
		assert.Empty(t, keyOf(c.Flag).Flag, "no field of the shoot is called %s", c.Flag)
	}
}

func FuzzEntry(f *testing.F) {
	s := demonstration(f)
	f.Add("ev13.6", "lit", "18:05", line)
	f.Add("f/5.6,1/250,iso200@shade", "", "sunset-1h", "")
	f.Fuzz(func(t *testing.T, value, plane, clock, logged string) {
		var e Engine
		r := request(t, &e, s, Request{Reading: &Entry{value, plane, clock}, Readings: []string{logged}})
		assert.Equal(t, len(r.Faults) == 0, len(r.Blocks) > 0)
	})
}
