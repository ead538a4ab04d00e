package exposure

import "evenfall/sky"

const meters = "ISO 2720:1974"

// ExplainIncident tells how Incident comes to the exposure value of a light.
func ExplainIncident(title string, e sky.Lux) sky.Step {
	s := sky.Step{Title: title, Formula: sky.Expression("EV = log2(E / #)", incidentConstant/100), Value: float64(Incident(e)), Unit: "EV100",
		Source: meters + sky.Expression(", C = #, flat receptor", incidentConstant)}
	if e > 0 {
		s.Numbers = sky.Expression("log2(# / #)", float64(e), incidentConstant/100)
	}
	return s
}

// ExplainReflected tells how Reflected comes to the exposure value of a
// luminance.
func ExplainReflected(title string, l sky.Luminance) sky.Step {
	s := sky.Step{Title: title, Formula: sky.Expression("EV = log2(L / #)", reflectedConstant/100), Value: float64(Reflected(l)), Unit: "EV100",
		Source: meters + sky.Expression(", K = #", reflectedConstant)}
	if l > 0 {
		s.Numbers = sky.Expression("log2(# / #)", float64(l), reflectedConstant/100)
	}
	return s
}

// Explain tells the exact values behind the nominal ones of the settings, and
// the light that they expose normally.
func (s Settings) Explain() []sky.Step {
	const scale = "preferred numbers: exact values, marked with rounded ones"
	return []sky.Step{
		{Title: "Aperture " + s.Aperture.String() + ", exactly N", Formula: "N = 2^(stops from f/1 / 2)", Numbers: sky.Expression("2^(#/6/2)", float64(s.Aperture)),
			Value: s.Aperture.FNumber(), Source: scale},
		{Title: "Shutter " + s.Shutter.String() + ", exactly t", Formula: "t = 2^-(stops from 1 s)", Numbers: sky.Expression("2^(-(#/6))", float64(s.Shutter)),
			Value: s.Shutter.Seconds(), Unit: "s", Source: scale},
		{Title: "ISO " + s.ISO.String() + ", exactly S", Formula: "S = 100 * 2^(stops from ISO 100)", Numbers: sky.Expression("100 * 2^(#/6)", float64(s.ISO)),
			Value: s.ISO.Speed(), Source: scale},
		{Title: "Exposed normally by these EVs", Formula: "EVs = 2 log2 N - log2 t - log2(S / 100) + ND",
			Numbers: sky.Expression("2 * log2(#) - log2(#) - log2(# / 100) + #", s.Aperture.FNumber(), s.Shutter.Seconds(), s.ISO.Speed(), float64(s.ND)),
			Value:   float64(s.EV()), Unit: "EV100", Source: meters},
		{Title: "Light for a normal exposure H", Formula: sky.Expression("H = # N² / S * 2^ND", incidentConstant),
			Numbers: sky.Expression("# * #^2 / # * 2^#", incidentConstant, s.Aperture.FNumber(), s.ISO.Speed(), float64(s.ND)),
			Value:   float64(s.Need()), Unit: "lx s", Source: meters},
	}
}
