package timezone

import (
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func on(year int) time.Time { return time.Date(year, time.January, 1, 0, 0, 0, 0, time.UTC) }

// The rules that are carried along are the database's, hour by hour. On 31
// December of a leap year time.Time.ZoneBounds never returns for some zones:
// not when the rules are read off, nor when they are used.
func TestRulesAsTheDatabaseHasThem(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	for _, name := range []string{"Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu",
		"Africa/Casablanca", "Pacific/Apia", "America/Sao_Paulo", "Europe/Dublin", "Africa/El_Aaiun", "Pacific/Chatham", "UTC"} {
		database, err := time.LoadLocation(name)
		require.NoError(t, err)
		from, to := on(2027), on(2030)
		z := Of(database, from, to)
		carried, err := z.Location()
		require.NoError(t, err, name)
		assert.Equal(t, name, carried.String())
		for at := from; at.Before(to); at = at.Add(time.Hour / 2) {
			a, b := at.In(database), at.In(carried)
			_, want := a.Zone()
			_, got := b.Zone()
			require.Equal(t, want, got, "%s %v", name, at)
			require.Equal(t, a.IsDST(), b.IsDST(), "%s %v", name, at)
		}
		for _, c := range z.Changes[1:] {
			_, before := time.Unix(c.From-1, 0).In(database).Zone()
			_, after := time.Unix(c.From, 0).In(database).Zone()
			summer := time.Unix(c.From-1, 0).In(database).IsDST()
			assert.True(t, before != after || summer != c.Summer, "%s to the second", name)
		}
		done := make(chan time.Time, 1)
		go func() {
			start, _ := time.Date(2028, time.December, 31, 12, 0, 0, 0, carried).ZoneBounds()
			done <- start
		}()
		select {
		case <-done:
		case <-time.After(10 * time.Second):
			t.Fatalf("%s: ZoneBounds never returns", name)
		}
	}
}

func TestZonesThatAreNone(t *testing.T) {
	for name, changes := range map[string][]Change{
		"none":      nil,
		"backwards": {{From: 10}, {From: 5}},
		"twice":     {{From: 10}, {From: 10}},
		"far":       {{Offset: 16 * 3600}},
		"many":      make([]Change, 300),
	} {
		z := Rules{name, changes}
		_, err := z.Location()
		assert.Error(t, err, name)
	}
}
