package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Readings of the day move the plan, and are told of.
func TestReadings(t *testing.T) {
	var e Engine
	s := demonstration(t)
	ask(t, &e, s)
	without := string(e.Timeline())
	s.Log = "2027-09-18T18:05:00+02:00 ev12.9@lit\n"
	r := ask(t, &e, s)
	require.Empty(t, r.Faults)
	assert.NotEqual(t, without, string(e.Timeline()))
}
