package plan

import "evenfall/sky"

// MoonFacts is about what the moon does on the day and in the window.
type MoonFacts struct {
	sky.MoonDay          // of the local day that the window starts in
	Moon        sky.Moon // when the sun stands lowest in the window
	Night       bool     // the sun is so low then that the moon counts
}

// Moon returns about what the moon does.
func (p *Plan) Moon() MoonFacts {
	minutes := p.Runs[0].Minutes
	lowest := &minutes[0]
	for i := range minutes {
		if minutes[i].Sun.Altitude < lowest.Sun.Altitude {
			lowest = &minutes[i]
		}
	}
	o := p.session.observer
	return MoonFacts{MoonDay: o.MoonDay(p.Day), Moon: o.Moon(lowest.Time), Night: lowest.Sun.AtNight()}
}
