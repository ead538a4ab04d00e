package words

import (
	"strings"
	"testing"
	"time"

	"evenfall/internal/plan"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
)

func TestMoonSaid(t *testing.T) {
	at := func(hour int) time.Time { return time.Date(2027, 9, 18, hour, 5, 0, 0, time.UTC) }
	full := sky.Moon{Lit: 0.994, Elongation: sky.Degrees(178)}
	for _, c := range []struct {
		day  sky.MoonDay
		want string
	}{
		{sky.MoonDay{}, "full moon, about 99 % lit, down all day"},
		{sky.MoonDay{Up: true}, "full moon, about 99 % lit, up all day"},
		{sky.MoonDay{Passes: []sky.MoonPass{{Time: at(18), Rises: true}}},
			"full moon, about 99 % lit, rises about 18:05 (give or take 10 min)"},
		{sky.MoonDay{Up: true, Passes: []sky.MoonPass{{Time: at(9)}, {Time: at(20), Rises: true}}},
			"full moon, about 99 % lit, sets about 09:05, rises about 20:05 (give or take 10 min)"},
	} {
		said := Moon(&plan.MoonFacts{MoonDay: c.day, Moon: full}) // with spaces that do not break before units
		assert.Equal(t, c.want, strings.ReplaceAll(said, "\u00a0", " "))
	}
}
