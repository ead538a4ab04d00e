package report

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"evenfall/internal/plan"
)

// record is a line of the table in the making: names beside values, so that
// the two cannot part.
type record struct{ names, values []string }

func (r *record) text(name, value string) {
	r.names = append(r.names, name)
	r.values = append(r.values, value)
}

// optional adds text that may be missing.
func (r *record) optional(name string, value *string) {
	if value == nil {
		r.text(name, "")
		return
	}
	r.text(name, *value)
}

func (r *record) figure(name string, value figure) {
	if value == nil {
		r.text(name, "")
		return
	}
	r.text(name, strconv.FormatFloat(*value, 'f', -1, 64))
}

func (r *record) band(low, high string, b [2]figure) {
	r.figure(low, b[0])
	r.figure(high, b[1])
}

// writeCSV writes a line for every row and method as RFC 4180 has it, with the
// names, units and values of the JSON; what is unknown is empty.
func writeCSV(b *bytes.Buffer, p *plan.Plan, o Options) error {
	t := newTimeline(p, o)
	records := []*record{newRecord(&instant{}, &method{})}
	for i := range t.Rows {
		for j := range t.Rows[i].Methods {
			records = append(records, newRecord(&t.Rows[i].instant, &t.Rows[i].Methods[j]))
		}
	}
	return writeRecords(b, records, o)
}

// writeRecords writes the names of the first record, which gives no more than
// these, and the values of the others.
func writeRecords(b *bytes.Buffer, records []*record, o Options) error {
	w := csv.NewWriter(b)
	w.UseCRLF = true
	if err := w.Write(records[0].names); err != nil {
		return err
	}
	show := words{o.ASCII}
	for _, r := range records[1:] {
		values := r.values
		for k := range values {
			values[k] = show.text(values[k])
		}
		if err := w.Write(values); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

func newRecord(r *instant, m *method) *record {
	c := &record{}
	c.instant(r)
	c.method(m)
	return c
}

func (c *record) instant(r *instant) {
	c.text("time", r.Time)
	c.optional("case", r.Case)
	c.text("condition", r.Condition)
	c.figure("facing_deg", r.Facing)

	c.figure("sun_altitude_deg", r.Sun.Altitude)
	c.figure("sun_true_altitude_deg", r.Sun.TrueAltitude)
	c.figure("sun_azimuth_deg", r.Sun.Azimuth)
	c.text("sun_bearing", r.Sun.Bearing)
	c.text("sun_visible", strconv.FormatBool(r.Sun.Visible))

	l := &r.Light
	c.figure("direct_normal_lux", l.DirectNormal)
	c.figure("diffuse_horizontal_lux", l.DiffuseHorizontal)
	c.figure("level_lux", l.Level)
	c.figure("lit_lux", l.Lit)
	c.figure("shade_lux", l.Shade)
	c.figure("face_lux", l.Face)
	c.figure("lit_ev100", l.LitEV)
	c.figure("shade_ev100", l.ShadeEV)
	c.figure("sky_ev100", l.SkyEV)
	c.figure("ambient_ratio", l.AmbientRatio)
	c.band("band_low_stops", "band_high_stops", l.Band)
	c.band("shade_band_low_stops", "shade_band_high_stops", l.ShadeBand)
	c.band("level_band_low_stops", "level_band_high_stops", l.LevelBand)
	c.figure("lit_cct_k", l.LitCCT)
	c.figure("shade_cct_k", l.ShadeCCT)
	c.figure("face_cct_k", l.FaceCCT)
}

func (c *record) method(m *method) {
	c.text("method", m.Method)
	c.text("feasible", strconv.FormatBool(m.Feasible))
	c.optional("problem", m.Problem)
	c.figure("problem_stops", m.ProblemStops)
	c.text("cures", strings.Join(m.Cures, "; "))
	c.figure("iso", m.ISO)
	c.figure("iso_exact", m.ISOExact)
	c.figure("aperture", m.Aperture)
	c.figure("aperture_exact", m.ApertureExact)
	c.text("shutter", m.Shutter)
	c.figure("shutter_s", m.ShutterExact)
	c.figure("nd_stops", m.ND)
	c.text("scrim_up", strconv.FormatBool(m.ScrimUp))
	c.figure("method_lit_lux", m.Lit)
	c.figure("method_shade_lux", m.Shade)
	c.figure("method_face_lux", m.Face)
	c.text("role", m.Role)
	c.figure("flash_power", m.Power)
	c.optional("flash_power_text", m.PowerText)
	c.text("units", strconv.Itoa(m.Units))
	c.figure("flash_lux_seconds", m.Added)
	c.figure("headroom_stops", m.Headroom)
	c.figure("ratio", m.Ratio)
	c.figure("exposure_offset_stops", m.Exposure)
	c.figure("background_offset_stops", m.Background)
	c.figure("lit_offset_stops", m.LitSide)
	c.figure("face_offset_stops", m.FaceOffset)
	c.text("scrim_in_frame", strconv.FormatBool(m.ScrimInFrame))
	c.figure("recycle_s", m.Recycle)
	c.optional("gel", m.Gel)
	c.figure("gel_mired", m.GelShift)
	c.figure("gel_remains_mired", m.GelRemains)
	second := m.RimFlash
	if second == nil {
		second = &rim{}
	}
	c.figure("rim_flash_power", second.Power)
	c.text("rim_flash_power_text", second.PowerText)
	c.figure("rim_flash_lux_seconds", second.Added)
	c.figure("rim_headroom_stops", second.Headroom)
	c.figure("rim_over_key_stops", second.Over)
}
