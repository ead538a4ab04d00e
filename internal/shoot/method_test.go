package shoot

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What each way of working uses, by its name.
func TestMethods(t *testing.T) {
	type uses struct{ scrim, filter, fast, shade, reflector, flash bool }
	want := map[string]uses{
		"sync": {flash: true}, "hss": {fast: true, flash: true}, "nd": {filter: true, flash: true},
		"scrim": {scrim: true, flash: true}, "scrim+hss": {scrim: true, fast: true, flash: true},
		"scrim+nd": {scrim: true, filter: true, flash: true}, "nd+hss": {filter: true, fast: true, flash: true},
		"scrim+nd+hss": {true, true, true, false, false, true},
		"open-shade":   {shade: true, flash: true},
		"reflector":    {reflector: true}, "reflector+sync": {reflector: true, flash: true},
	}
	for _, m := range AllMethods {
		is, known := want[m.String()]
		assert.True(t, known, m.String())
		assert.Equal(t, is, uses{m.UsesScrim(), m.UsesFilter(), m.UsesHighSpeed(), m.UsesShade(), m.UsesReflector(),
			m.UsesFlash()}, m.String())
		delete(want, m.String())
	}
	assert.Empty(t, want)
}
