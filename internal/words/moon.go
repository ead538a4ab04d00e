package words

import (
	"evenfall/internal/plan"
	"evenfall/sky"
)

// Moon says about what the moon does on a day: waxing gibbous, about 78 % lit, rises
// about 18:40, sets about 04:10 (give or take 10 min).
func Moon(m *plan.MoonFacts) string {
	text := string(m.Moon.Phase()) + ", about " + Percent(m.Moon.Lit) + " lit"
	if len(m.Passes) == 0 && m.Up {
		return text + ", up all day"
	}
	if len(m.Passes) == 0 {
		return text + ", down all day"
	}
	for _, pass := range m.Passes {
		verb := ", sets about "
		if pass.Rises {
			verb = ", rises about "
		}
		text += verb + Clock{}.Time(pass.Time)
	}
	return text + " (give or take " + Number(sky.MoonErrorTime.Minutes(), 0) + " min)"
}
