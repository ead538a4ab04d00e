//go:build race

package season

// With the race detector a month by the minute takes too long.
const racing = true
