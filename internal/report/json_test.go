package report_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What each document has to hold is written down here once more, from the plan
// and the contract's names alone. A number may differ by half of its last
// digit.

type object = map[string]any

// near is a number of a document, to within.
type near struct{ value, within float64 }

// instant is a time of a document, to the second, in the shoot's zone.
type instant struct {
	time time.Time
	zone *time.Location
}

// number is a value with so many decimals, null where it is not finite.
func number[T ~float64](v T, decimals int) any {
	if x := float64(v); !math.IsNaN(x) && !math.IsInf(x, 0) {
		return near{x, 0.5 * math.Pow10(-decimals)}
	}
	return nil
}

// digits is a value with so many digits, null where it is not finite.
func digits[T ~float64](v T, n int) any {
	if x := float64(v); !math.IsNaN(x) && !math.IsInf(x, 0) {
		return near{x, math.Abs(x) * 5 * math.Pow10(-n)}
	}
	return nil
}

// when returns a value only where it is so.
func when(is bool, v any) any {
	if is {
		return v
	}
	return nil
}

// nominal is the number in a name of a scale, without what stands before it.
func nominal(s string) near {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(err)
	}
	return near{v, 1e-9}
}

func list[T any](from []T, of func(*T) any) []any {
	all := []any{}
	for i := range from {
		all = append(all, of(&from[i]))
	}
	return all
}

func cautionsOf(p *plan.Plan) []any {
	return list(report.Cautions(p), func(c *string) any { return *c })
}

func headingOf(schema string, s *shoot.Shoot, more object) object {
	bound := s.Look.Kind == shoot.BackgroundLook
	o := object{
		"schema": schema, "name": s.Name, "demonstration": true, "readings": []any{},
		"place": object{
			"name": s.Place.Name, "latitude_deg": number(s.Place.Site.Latitude.Degrees(), 6),
			"longitude_deg": number(s.Place.Site.Longitude.Degrees(), 6), "elevation_m": number(s.Place.Site.Elevation, 1),
			"time_zone": s.Place.Zone.String(),
		},
		"look": object{
			"kind": map[bool]string{true: "background", false: "ratio"}[bound], "ratio": number(s.Look.Ratio, 3),
			"background_stops":         when(bound, number(s.Look.Background, 3)),
			"background_at_most_stops": when(!bound, number(s.Look.AtMost, 3)), "bias_stops": number(s.Look.Bias, 3),
		},
	}
	maps.Copy(o, more)
	return o
}

func timelineOf(p *plan.Plan) object {
	s := p.Shoot
	return headingOf("evenfall/timeline/2", s, object{
		"cautions": cautionsOf(p),
		"wind":     windOf(p), "picture": pictureOf(p),
		"checks": list(p.Preflight(), func(c *plan.Check) any {
			value := number(c.Value, 1)
			if c.Shutter != 0 {
				value = digits(math.Exp2(-float64(c.Shutter)/6), 10)
			}
			return object{"check": words.CheckKind(c.Kind), "value": value, "name": c.Name, "text": words.Check(c)}
		}),
		"events": list(p.Day.Events, func(e *sky.Event) any {
			return object{"name": string(e.Name), "time": instant{e.Time.Round(time.Second), s.Place.Zone},
				"azimuth_deg": number(e.Azimuth.Degrees(), 2)}
		}),
		"moon":    moonOf(p),
		"runs":    list(p.Runs, func(r *plan.Run) any { return runOf(r, s) }),
		"verdict": verdictOf(p),
		"rows": list(p.Rows, func(r *plan.Row) any {
			o := momentOf(&r.Moment)
			o["methods"] = list(r.Methods, func(m *plan.Solution) any { return methodOf(m, &r.Moment, s) })
			return o
		}),
		"packing": list(p.Packing(), func(i *plan.Item) any {
			return object{"item": words.ItemKind(i.Kind), "count": near{float64(i.Count), 0}, "text": words.Item(i)}
		}),
	})
}

// moonOf is about what the moon does, told again from the sky.
func moonOf(p *plan.Plan) object {
	o := p.Shoot.Observer()
	lowest := &p.Runs[0].Minutes[0]
	for i := range p.Runs[0].Minutes {
		if m := &p.Runs[0].Minutes[i]; m.Sun.Altitude < lowest.Sun.Altitude {
			lowest = m
		}
	}
	m := o.Moon(lowest.Time)
	rises, sets := []any{}, []any{}
	for _, pass := range o.MoonDay(p.Day).Passes {
		at := instant{pass.Time, p.Shoot.Place.Zone}
		if pass.Rises {
			rises = append(rises, at)
		} else {
			sets = append(sets, at)
		}
	}
	return object{"phase": string(m.Phase()), "lit_share": number(m.Lit, 2),
		"altitude_deg": number(m.Altitude.Degrees(), 0), "azimuth_deg": number(m.Azimuth.Degrees(), 0),
		"rises": rises, "sets": sets,
		"within_minutes": number(10., 0), "within_deg": number(1.6, 1), "within_lit_share": number(0.02, 2)}
}

func runOf(r *plan.Run, s *shoot.Shoot) object {
	o := object{
		"method": r.Method.String(), "case": when(r.Split, caseOf(r.Case)), "flash": placeOf(&r.Places[0], &s.Flash),
		"flash_moved_at": nil, "flash_moved_to": nil, "fill": nil,
		"minutes_held": near{float64(r.Held), 0}, "minutes_softer": near{float64(r.Softer), 0},
		"minutes_missed":       near{float64(r.Missed), 0},
		"least_headroom_stops": when(r.Flashes, number(r.LeastHeadroom, 3)),
		"least_headroom_at":    when(r.Flashes, instant{r.At, s.Place.Zone}),
		"white_balance_k":      near{float64(r.WhiteBalance), 5},
	}
	if len(r.Places) > 1 {
		o["flash_moved_at"], o["flash_moved_to"] = instant{r.Places[1].From, s.Place.Zone}, placeOf(&r.Places[1], &s.Flash)
	}
	if s.Fill != nil && r.Method != shoot.Reflector {
		o["fill"] = placeOf(r.Fill, &s.Fill.Head)
	}
	return o
}

func placeOf(p *plan.Place, h *flash.Head) object {
	return object{
		"angle_deg": number(p.Angle.Degrees(), 1), "side": handOf(p.Side), "bearing_deg": number(p.Bearing.Normal().Degrees(),
			1),
		"distance_m": number(h.Distance, 3), "in_frame": p.InFrame,
	}
}

func handOf(h scene.Hand) any {
	return map[scene.Hand]any{0: nil, scene.Left: "left", scene.Right: "right"}[h]
}

func caseOf(k sky.Case) string { return map[sky.Case]string{sky.SunOut: "sun", sky.SunIn: "cloud"}[k] }

func verdictOf(p *plan.Plan) object {
	v := p.Verdict()
	return object{
		"method": v.Best.String(), "from": when(!v.From.IsZero(), instant{v.From, p.Shoot.Place.Zone}),
		"until":      when(!v.Until.IsZero(), instant{v.Until, p.Shoot.Place.Zone}),
		"held_share": number(v.Held, 4), "held_or_softer_share": number(v.Succeeds, 4), "text": words.Verdict(p, &v),
	}
}

func momentOf(m *plan.Moment) object {
	l := &m.Light
	open := scene.Open(l, m.Sun, m.Stance)
	colour := l.Colour()
	band := func(b sky.Band) []any { return []any{number(b.Low, 2), number(b.High, 2)} }
	nothing := []any{nil, nil}
	light := object{
		"direct_normal_lux": digits(l.DirectNormal, 6), "moon_lux": digits(l.Moon.Normal, 6),
		"diffuse_horizontal_lux": digits(l.DiffuseHorizontal, 6),
		"level_lux":              digits(l.Level, 6), "lit_lux": digits(l.Lit, 6), "shade_lux": digits(l.Shade, 6),
		"face_lux":     digits(l.Face, 6),
		"key_side_lux": digits(open.Key, 6), "shadow_side_lux": digits(open.Shadow, 6), "key_side": handOf(m.Stance.Key),
		// Incident EV by E = 2.5 * 2^EV, reflected by L = 0.125 * 2^EV (ISO 2720).
		"lit_ev100": number(math.Log2(float64(l.Lit)/2.5), 3), "shade_ev100": number(math.Log2(float64(l.Shade)/2.5), 3),
		"sky_ev100":        when(l.BackdropShare > 0, number(math.Log2(float64(l.Backdrop)/0.125), 3)),
		"background_ev100": when(m.Known, number(math.Log2(float64(m.Backdrop)/0.125), 3)),
		"ambient_ratio":    digits(float64(open.Key)/float64(open.Shadow), 6),
		"band_stops":       band(l.LitBand), "shade_band_stops": band(l.ShadeBand), "level_band_stops": band(l.LevelBand),
		"background_band_stops": nothing,
		"lit_cct_k":             number(colour.Lit, 0), "shade_cct_k": number(colour.Shade, 0),
		"face_cct_k":     number(colour.Face, 0),
		"key_side_cct_k": when(m.KeyColour() > 0, number(m.KeyColour(), 0)),
	}
	if m.Known {
		light["background_band_stops"] = band(m.BackdropBand)
	}
	return object{
		"time": instant{m.Time, m.Time.Location()}, "facing_deg": number(m.Stance.Facing.Normal().Degrees(), 2),
		"sun": object{
			"altitude_deg": number(m.Sun.Altitude.Degrees(), 3), "true_altitude_deg": number(m.Sun.TrueAltitude.Degrees(), 3),
			"azimuth_deg": number(m.Sun.Azimuth.Degrees(), 3), "bearing": m.Bearing, "visible": m.Visible,
			"in_frame": m.Sight.InFrame, "flare": m.Sight.Flare, "in_eyes": m.Sight.InEyes,
		},
		"condition": m.Condition.String(), "case": when(m.Condition.Cases() > 1, caseOf(m.Case)), "light": light,
	}
}

func methodOf(m *plan.Solution, at *plan.Moment, s *shoot.Shoot) object {
	set, flashes := &m.Settings, m.Role != plan.None
	main := flashes && (m.Fill == nil || m.Flash > 0)
	o := object{
		"method": m.Method.String(), "outcome": m.Outcome.String(), "problem": nil,
		"cures": list(m.Cures, func(c *plan.Cure) any {
			v, ok := words.CureValue(*c)
			return object{"kind": words.CureKind(*c, s), "value": when(ok, number(v, 4)), "text": words.Cure(*c, s)}
		}),
		"iso": nominal(set.ISO.String()), "iso_exact": digits(100*math.Exp2(float64(set.ISO)/6), 10),
		"aperture":       nominal(strings.TrimPrefix(set.Aperture.String(), "f/")),
		"aperture_exact": digits(math.Exp2(float64(set.Aperture)/12), 10),
		"shutter":        set.Shutter.String(), "shutter_s": digits(math.Exp2(-float64(set.Shutter)/6), 10),
		"nd_stops": number(set.ND, 3),
		"lit_lux":  digits(m.Ambient.Lit, 6), "shade_lux": digits(m.Ambient.Shade, 6), "face_lux": digits(m.Ambient.Face, 6),
		"key_side_lux": digits(m.Ambient.Key, 6), "shadow_side_lux": digits(m.Ambient.Shadow, 6),
		"role":        map[plan.Role]string{plan.None: "none", plan.Fill: "fill", plan.Key: "key"}[m.Role],
		"flash_power": when(main, digits(math.Exp2(float64(m.Power)/6), 10)), "flash_power_text": when(main,
			m.Power.String()),
		"units": near{float64(s.Flash.Units), 0}, "flash_angle_deg": number(m.Angle.Degrees(), 1),
		"flash_side": handOf(at.Stance.Hand(m.Angle)), "flash_lux_seconds": digits(m.Flash, 6),
		"flash_key_side_lux_seconds": digits(m.OnKey, 6), "flash_shadow_side_lux_seconds": digits(m.OnShadow, 6),
		// N = sqrt(H S / 250), the flash alone.
		"flash_meter_f_number": when(main, digits(math.Sqrt(float64(m.Flash)*100*math.Exp2(float64(set.ISO)/6)/250), 4)),
		"headroom_stops":       when(flashes, number(m.Headroom, 3)), "ratio": number(m.Ratio, 4),
		"exposure_offset_stops": number(m.Exposure, 3), "background_offset_stops": number(m.Background, 3),
		"rim_offset_stops": number(m.Rim, 3), "face_offset_stops": number(m.Face, 3),
		"scrim_up": m.ScrimUp, "scrim_in_frame": m.ScrimInFrame, "flash_in_frame": m.FlashInFrame,
		"recycle_s": when(flashes, number(m.Recycle.Seconds(), 2)), "gel": when(m.Gel.Name != "", m.Gel.Name),
		"gel_mired":         number(m.Gel.Shift, 1),
		"gel_remains_mired": when(s.Wish.Kind != flash.AnyColour, number(m.Gel.Remains, 1)), "rim": nil,
	}
	if p := m.Problem; p != nil {
		o["problem"] = object{"kind": words.ProblemKind(p.Kind), "stops": when(p.Misses > 0, number(p.Misses, 3)),
			"text": words.Problem(p, m, s)}
	}
	o["sky_share"] = when(m.Method == shoot.OpenShade, number(s.Shade.SkyShare, 3))
	o["reflector"], o["fill"] = reflectorOf(m, at, s), fillOf(m, at, s)
	if r := m.RimFlash; r != nil {
		o["rim"] = object{
			"flash_power": digits(math.Exp2(float64(r.Power)/6), 10), "flash_power_text": r.Power.String(),
			"units": near{float64(s.Rim.Units), 0}, "flash_lux_seconds": digits(r.Added, 6), "headroom_stops": number(r.Headroom,
				3),
			"over_key_stops": number(r.Over, 3), "recycle_s": number(r.Recycle.Seconds(), 2),
		}
	}
	return o
}

func fillOf(m *plan.Solution, at *plan.Moment, s *shoot.Shoot) any {
	f := m.Fill
	if s.Fill == nil || m.Method == shoot.Reflector {
		return nil
	}
	fires, reading := f.Flash > 0, math.Sqrt(float64(f.Flash)*100*math.Exp2(float64(m.Settings.ISO)/6)/250)
	return object{
		"flash_power":      when(fires, digits(math.Exp2(float64(f.Power)/6), 10)),
		"flash_power_text": when(fires, f.Power.String()), "units": near{float64(s.Fill.Units), 0},
		"angle_deg": number(f.Angle.Degrees(), 1), "side": handOf(at.Stance.Hand(f.Angle)),
		"flash_lux_seconds": digits(f.Flash, 6), "flash_key_side_lux_seconds": digits(f.OnKey, 6),
		"flash_shadow_side_lux_seconds": digits(f.OnShadow, 6),
		"meter_f_number":                when(fires, digits(reading, 4)),
		"headroom_stops":                when(fires, number(-float64(f.Power)/6, 3)),
		"recycle_s":                     when(fires, number(f.Recycle.Seconds(), 2)),
	}
}

func reflectorOf(m *plan.Solution, at *plan.Moment, s *shoot.Shoot) any {
	if s.Reflector == nil || m.Method != shoot.Reflector && m.Method != shoot.ReflectorSync {
		return nil
	}
	turns := map[scene.Turn]string{scene.Down: "down", scene.Square: "square", scene.Halfway: "halfway"}
	return object{
		"turn": turns[m.Reflected.Turn], "angle_deg": number(s.Reflector.Angle.Degrees(), 1),
		"side":        handOf(at.Stance.Hand(s.Reflector.Angle)),
		"bearing_deg": number(at.Stance.Toward(s.Reflector.Angle).Degrees(), 1),
		"distance_m":  number(s.Reflector.Distance, 3), "key_side_lux": digits(m.Reflected.Key, 6),
		"shadow_side_lux": digits(m.Reflected.Shadow, 6), "in_frame": m.Reflected.InFrame,
	}
}

func compareOf(c *plan.Comparison) object {
	s := c.Plan.Shoot
	verdict := verdictOf(c.Plan)
	verdict["why"] = list(words.Rulings(&c.Verdict), func(r *string) any { return *r })
	return headingOf("evenfall/compare/2", c.Plan.Shoot, object{
		"cautions": cautionsOf(c.Plan),
		"wind":     windOf(c.Plan),
		"moments": list(c.Moments, func(m *plan.Compared) any {
			o := momentOf(&m.Row.Moment)
			methods := []any{}
			for i := range m.Entries {
				one := methodOf(&m.Row.Methods[i], &m.Row.Moment, s)
				maps.Copy(one, entryOf(&m.Entries[i]))
				methods = append(methods, one)
			}
			best := m.Best()
			maps.Copy(o, object{"moment": m.Name, "outside_window": m.Outside, "methods": methods,
				"verdict": object{"method": m.Verdict.Best.String(), "outcome": best.Outcome.String(), "text": words.Pick(m, s)}})
			return o
		}),
		"totals": list(c.Totals, func(t *plan.Totals) any {
			o := object{"method": t.Method.String(), "frames": number(t.Frames, 1), "main": useOf(&t.Key, s),
				"fill": nil, "rim": nil}
			if t.Fill != nil {
				o["fill"] = useOf(t.Fill, s)
			}
			if t.Rim != nil {
				o["rim"] = useOf(t.Rim, s)
			}
			return o
		}),
		"scrim": scrimOf(c), "verdict": verdict,
	})
}

func entryOf(e *plan.Entry) object {
	o := object{"blur_share": number(e.Blur, 4), "depth_of_field_m": number(e.Far-e.Near, 3),
		"sharp_from_m": number(e.Near, 3),
		"sharp_to_m":   number(e.Far, 3), "frames_per_set": when(e.FramesPerSet > 0, number(e.FramesPerSet, 1)),
		"rise_stops": number(e.Rise, 3), "scrim": nil}
	if u := e.Scrim; u != nil {
		o["scrim"] = object{
			"azimuth_deg": number(u.Azimuth.Normal().Degrees(), 2), "tilt_deg": number(u.Tilt.Degrees(), 2),
			"centre_out_m": number(u.Out, 3), "centre_above_head_m": number(u.AboveHead, 3),
			"centre_above_ground_m": number(u.AboveGround, 3), "low_edge_above_ground_m": number(u.LowEdge, 3),
			"covers": u.Coverage.Whole, "coverage_share": number(u.Coverage.Share, 3),
			"spare_across_m": number(u.Coverage.Spare.Across, 3), "spare_along_m": number(u.Coverage.Spare.Along, 3),
			"covers_for_minutes": number(u.Holds, 1), "covers_longer": u.Holds >= scene.LongestHold,
			"shadow_drift_m_per_minute": number(u.Drift, 4),
			"sky_taken_share": object{"level": number(u.Taken.Level, 3), "lit": number(u.Taken.Lit, 3),
				"shade": number(u.Taken.Shade, 3)},
			"level_covers_head_and_shoulders": u.LevelHead, "level_covers_full_length": u.LevelFull,
		}
	}
	return o
}

func useOf(u *plan.Use, s *shoot.Shoot) object {
	used := u.BurstFrames > 0
	return object{
		"full_power_flashes_per_flash": number(u.FullFlashes, 1), "battery_sets_per_flash": near{float64(u.Sets), 0},
		"burst_frames": when(used, number(u.BurstFrames, 1)), "burst_rest_minutes": when(used, number(u.Rest.Minutes(), 1)),
		"recycle_s": when(used, number(u.Recycle.Seconds(), 2)), "pace_s": number(u.Pace.Seconds(), 2),
		"hardest_time": when(used, instant{u.At, s.Place.Zone}),
	}
}

func scrimOf(c *plan.Comparison) any {
	p, s := c.Panel, c.Plan.Shoot
	if p == nil {
		return nil
	}
	return object{
		"name": s.Scrim.Name, "lowest_sun_deg": when(p.Ever, number(p.Lowest.Degrees(), 2)), "ever_covers": p.Ever,
		"cannot_cover": list(p.Misses, func(m *scene.Span) any {
			return object{"from": instant{m.From, s.Place.Zone}, "to": instant{m.To, s.Place.Zone}}
		}),
		"area_m2": number(p.Sail.Area, 3), "middle_above_ground_m": number(p.Sail.Height, 3),
		"stands": near{float64(p.Sail.Stands), 0}, "stand_foot_m": near{0.55, 1e-9},
		"wind": list(p.Wind, loadOf),
	}
}

func loadOf(l *plan.Load) any {
	return object{"beaufort": near{float64(l.Force), 0}, "name": l.Force.String(), "from_m_per_s": number(l.Low, 1),
		"to_m_per_s": number(l.High, 1), "push_n": number(l.Push, 1), "push_kgf": number(l.Push/9.80665, 2),
		"gust_push_n": number(l.Gust, 1), "gust_push_kgf": number(l.Gust/9.80665, 2),
		"ballast_per_stand_kg": number(l.Ballast, 1),
		"handling":             words.HandlingKind(l.Handling), "advice": words.Handling(l.Handling)}
}

func windOf(p *plan.Plan) any {
	w := p.Wind()
	if w == nil {
		return nil
	}
	o := object{"speed_m_per_s": number(w.Speed, 1), "gust_m_per_s": number(1.5*float64(w.Speed), 2),
		"beaufort": near{float64(w.Force), 0}, "name": w.Force.String(), "scrim": nil, "scrim_may_stand": nil}
	if w.Scrim != nil {
		o["scrim"], o["scrim_may_stand"] = loadOf(w.Scrim), w.Scrim.Handling < scene.TakenDown
	}
	return o
}

func pictureOf(p *plan.Plan) object {
	f := p.Facts(p.Index(p.Verdict().Best))
	o := object{"method": f.Method.String(), "white_balance_k": near{float64(f.WhiteBalance), 5},
		"key_side_cct_k":   []any{when(f.KeyHigh > 0, number(f.KeyLow, 0)), when(f.KeyHigh > 0, number(f.KeyHigh, 0))},
		"densest_nd_stops": number(f.Filter, 3),
		"densest_nd_from":  when(f.Filter > 0, instant{f.FilterOn, p.Shoot.Place.Zone}),
		"focus_before_nd":  f.Filter >= 6, "flash_beam": nil}
	if !f.Flashes {
		return o
	}
	b := &f.Beam
	size := func(w, h float64) object { return object{"width_m": number(w, 3), "height_m": number(h, 3)} }
	o["flash_beam"] = object{
		"falls_to": map[bool]string{true: "feet", false: "lower-edge"}[b.Feet], "below_face_m": number(b.Below, 3),
		"fall_off_stops": number(b.FallOff, 3), "least_fall_with_daylight_stops": number(b.Least, 3),
		"most_fall_with_daylight_stops": number(b.Most, 3), "pool_model": b.Pool.Kind.String(),
		"pool_within_one_stop": size(b.Pool.Within(1)), "pool_within_two_stops": size(b.Pool.Within(2)),
		"frame": size(b.Width, b.Height), "less_at_sides_stops": number(b.AtSides, 3),
		"less_at_top_and_bottom_stops": number(b.AtEnds, 3), "less_at_figure_corners_stops": number(b.AtFigure, 3)}
	return o
}

func cuesOf(c *report.Cues) object {
	p := c.Plan
	s := p.Shoot
	runs, left := []any{}, []any{}
	for i := range p.Runs {
		r := &p.Runs[i]
		if c.Chosen && c.Method != r.Method {
			if r.Case == sky.SunOut {
				left = append(left, r.Method.String())
			}
			continue
		}
		o := runOf(r, s)
		o["from"], o["to"] = instant{r.Minutes[0].Time, s.Place.Zone}, instant{r.Minutes[len(r.Minutes)-1].Time, s.Place.Zone}
		o["cues"] = list(r.Cues(), func(c *plan.Cue) any { return cueOf(c, s) })
		runs = append(runs, o)
	}
	o := object{"runs": runs, "methods_left_out": left, "verdict": nil}
	if c.Chosen {
		o["verdict"] = verdictOf(p)
	}
	o["cautions"] = cautionsOf(p)
	return headingOf("evenfall/cues/2", p.Shoot, o)
}

func cueOf(c *plan.Cue, s *shoot.Shoot) object {
	set := methodOf(c.Set, c.At, s)
	return object{
		"time": instant{c.Time, s.Place.Zone}, "outcome": c.Set.Outcome.String(), "settings": set,
		"flash_meter_f_number": set["flash_meter_f_number"], "reason": words.Reason(&c.Reason, c, s), "text": words.Cue(c, s),
		"changes": list(c.Changes, func(ch *plan.Change) any {
			o := object{"control": string(ch.Control), "from": words.Control(ch.Control, c.Was), "to": words.Control(ch.Control,
				c.Set),
				"stops": when(ch.By != 0, number(ch.By, 3)), "clicks": nil}
			if click := clickOf(ch.Control, s); ch.By != 0 && click > 0 {
				n := float64(ch.By) / (float64(click) / 6)
				o["clicks"] = when(math.Abs(n-math.Round(n)) < 1e-6, near{math.Round(n), 0})
			}
			return o
		}),
	}
}

func clickOf(c plan.Control, s *shoot.Shoot) exposure.Increment {
	switch c {
	case plan.ApertureControl, plan.ShutterControl:
		return s.Camera.Click
	case plan.ISOControl:
		return s.Camera.ISOClick
	case plan.PowerControl:
		return s.Flash.Unit.Click
	case plan.FillControl:
		return s.Fill.Unit.Click
	case plan.RimControl:
		return s.Rim.Unit.Click
	}
	return 0
}

// differences lists where a document is not what it has to be.
func differences(path string, want, got any) []string {
	no := func() []string { return []string{fmt.Sprintf("%s: want %v, got %v", path, want, got)} }
	switch want := want.(type) {
	case object:
		g, ok := got.(object)
		if !ok {
			return no()
		}
		var all []string
		for _, name := range slices.Sorted(maps.Keys(want)) {
			if _, is := g[name]; !is {
				all = append(all, path+"."+name+" is missing")
			} else {
				all = append(all, differences(path+"."+name, want[name], g[name])...)
			}
		}
		for name := range g {
			if _, is := want[name]; !is {
				all = append(all, path+"."+name+" is not known")
			}
		}
		return all
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(want) {
			return no()
		}
		var all []string
		for i := range want {
			all = append(all, differences(fmt.Sprintf("%s[%d]", path, i), want[i], g[i])...)
		}
		return all
	case near:
		g, ok := got.(float64)
		if ok && math.Abs(g-want.value) <= want.within*1.001+1e-12 {
			return nil
		}
		return no()
	case instant:
		g, ok := got.(string)
		at, err := time.Parse(time.RFC3339, g)
		if !ok || err != nil || !at.Equal(want.time.Truncate(time.Second)) {
			return no()
		}
		_, offset := at.Zone()
		if _, local := want.time.In(want.zone).Zone(); offset != local {
			return no()
		}
		return nil
	}
	if !reflect.DeepEqual(want, got) {
		return no()
	}
	return nil
}

// decoded is a report's JSON.
func decoded(t testing.TB, r *report.Report) object {
	var o object
	require.NoError(t, json.Unmarshal([]byte(as(t, r, report.JSON, report.Options{})), &o))
	return o
}

var asDemonstration = report.Options{Demonstration: true}

func TestJSONHoldsThePlan(t *testing.T) {
	var wanted []object
	check := func(name string, want object, r *report.Report) {
		assert.Empty(t, differences("", want, decoded(t, r)), name)
		wanted = append(wanted, want)
	}
	for name, file := range all(t) {
		c := compared(t, file)
		p := c.Plan
		check(name, timelineOf(p), report.Timeline(p, asDemonstration))
		check(name, compareOf(c), report.Compare(c, asDemonstration))
		for _, cues := range []*report.Cues{{Plan: p}, {Plan: p, Method: p.Verdict().Best, Chosen: true}} {
			check(name, cuesOf(cues), cues.Report(asDemonstration))
		}
	}
	softer := resolved(t, shoots(t)["demonstration"])
	softer.Look.Ratio, softer.Stand.Angle = 5, new(sky.Degrees(20))
	c, err := plan.Compare(t.Context(), softer, nil)
	require.NoError(t, err)
	check("softer", timelineOf(c.Plan), report.Timeline(c.Plan, asDemonstration))
	check("softer", compareOf(c), report.Compare(c, asDemonstration))
	cues := &report.Cues{Plan: c.Plan, Method: c.Plan.Verdict().Best, Chosen: true}
	check("softer", cuesOf(cues), cues.Report(asDemonstration))
	c = stirred(t)
	check("distinct values", timelineOf(c.Plan), report.Timeline(c.Plan, asDemonstration))
	check("distinct values", compareOf(c), report.Compare(c, asDemonstration))
	cues = &report.Cues{Plan: c.Plan}
	check("distinct values", cuesOf(cues), cues.Report(asDemonstration))
	assert.Empty(t, alike(wanted), "these fields could be exchanged unseen")
}

// Text may be written in ASCII without losing anything.
func TestJSONInASCII(t *testing.T) {
	for kind, r := range reports(t, shoots(t)["demonstration"], report.Options{}) {
		page := as(t, r, report.JSON, report.Options{ASCII: true})
		assert.NotRegexp(t, `[^\x00-\x7f]`, page, kind)
		assert.JSONEq(t, as(t, r, report.JSON, report.Options{}), page, kind)
	}
}

// distinct gives every number, length of time and truth in a value one of its
// own, so that no two of a document are alike. Scales and kinds stay.
func distinct(v reflect.Value, n *int) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && v.CanSet() {
			copied := reflect.New(v.Type().Elem())
			copied.Elem().Set(v.Elem())
			v.Set(copied)
			distinct(copied.Elem(), n)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() || v.Type() == reflect.TypeFor[sky.Condition]() {
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				distinct(v.Field(i), n)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			distinct(v.Index(i), n)
		}
	case reflect.Float64:
		*n++
		v.SetFloat(0.05 + 0.217*float64(*n%241))
	case reflect.Int64:
		if v.Type() == reflect.TypeFor[time.Duration]() {
			*n++
			v.SetInt(int64(time.Duration(*n%241) * 7 * time.Second))
		}
	case reflect.Bool:
		*n++
		v.SetBool(uint32(*n)*2654435761>>20&1 == 1) // Knuth's multiplier: no pattern
	}
}

// scaled sets scales to values whose names differ from what they come to: f/11
// is 11.3, ISO 125 is 126, 1/60 is 1/64 (ISO 2720, annex; exact powers of two).
func scaled(s *plan.Solution) {
	s.Settings.Aperture, s.Settings.ISO, s.Settings.Shutter, s.Power, s.Role = 42, 2, 36, -8, plan.Fill
}

// stirred is a comparison that no shoot has: every value differs from every
// other.
func stirred(t testing.TB) *plan.Comparison {
	c, err := plan.Compare(context.Background(), resolved(t, shoots(t)["rim and matching gel"]), nil)
	require.NoError(t, err)
	p, n := c.Plan, 0
	for i := range p.Rows {
		distinct(reflect.ValueOf(&p.Rows[i]).Elem(), &n)
		for k := range p.Rows[i].Methods {
			scaled(&p.Rows[i].Methods[k])
		}
	}
	for i := range c.Moments {
		distinct(reflect.ValueOf(&c.Moments[i]).Elem(), &n)
		for k := range c.Moments[i].Row.Methods {
			scaled(&c.Moments[i].Row.Methods[k])
		}
	}
	for i := range p.Runs {
		r := &p.Runs[i]
		r.Places = append(slices.Clone(r.Places), plan.Place{From: r.Minutes[7].Time, Side: scene.Right})
		distinct(reflect.ValueOf(r.Places), &n)
		r.Held, r.Softer, r.LeastHeadroom, r.Flashes = 11+i, 21+2*i, sky.Stops(0.1*float64(i)), true
	}
	distinct(reflect.ValueOf(c.Totals), &n)
	for i := range c.Totals {
		c.Totals[i].Key.Sets, c.Totals[i].Rim.Sets = 100+i, 200+i
	}
	distinct(reflect.ValueOf(c.Panel).Elem(), &n)
	c.Panel.Ever = true
	c.Panel.Misses = []scene.Span{{From: p.Rows[0].Time, To: p.Rows[2].Time}}
	return c
}

// alike lists the pairs of fields of one struct that are alike wherever it
// stands in some documents.
func alike(documents []object) []string {
	seen := map[string]map[string]bool{} // by struct: pairs, and whether they differ somewhere
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				walk(path, e)
			}
		case object:
			if seen[path] == nil {
				seen[path] = map[string]bool{}
			}
			for a := range v {
				walk(path+"."+a, v[a])
				for b := range v {
					if a < b {
						pair := a + ", " + b
						seen[path][pair] = seen[path][pair] || kindOf(v[a]) != kindOf(v[b]) || len(differences("", v[a], flat(v[b]))) > 0
					}
				}
			}
		}
	}
	for _, d := range documents {
		walk(d["schema"].(string), d)
	}
	var list []string
	for path, pairs := range seen {
		for pair, differ := range pairs {
			if !differ {
				list = append(list, path+": "+pair)
			}
		}
	}
	slices.Sort(list)
	return list
}

// kindOf tells values apart that cannot be taken for each other.
func kindOf(v any) string {
	if v == nil {
		return "nothing"
	}
	return reflect.TypeOf(v).String()
}

// flat is a value as it would stand in a document.
func flat(v any) any {
	switch v := v.(type) {
	case near:
		return v.value
	case instant:
		return v.time.In(v.zone).Format(time.RFC3339)
	}
	return v
}
