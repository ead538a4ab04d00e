package report

import (
	"bytes"
	"strconv"

	"evenfall/internal/plan"
)

// compareCSV writes a line for every moment and method as RFC 4180 has it,
// with the names, units and values of the JSON; what is unknown is empty.
func compareCSV(b *bytes.Buffer, c *plan.Comparison, o Options) error {
	records := []*record{newComparedRecord(&comparedMoment{}, &comparedMethod{})}
	for _, m := range newComparison(c, o).Moments {
		for i := range m.Methods {
			records = append(records, newComparedRecord(&m, &m.Methods[i]))
		}
	}
	return writeRecords(b, records, o)
}

func newComparedRecord(m *comparedMoment, e *comparedMethod) *record {
	c := &record{}
	c.text("moment", m.Name)
	c.text("outside_window", strconv.FormatBool(m.Outside))
	c.instant(&m.instant)
	c.method(&e.method)
	c.figure("blur_share", e.Blur)
	c.figure("depth_of_field_m", e.Depth)
	c.figure("sharp_from_m", e.Near)
	c.figure("sharp_to_m", e.Far)
	c.figure("frames_a_set", e.FramesASet)
	c.figure("rise_stops", e.Rise)
	u := e.Scrim
	covers := ""
	if u != nil {
		covers = strconv.FormatBool(u.Covers)
	} else {
		u = &standing{}
	}
	c.figure("scrim_azimuth_deg", u.Azimuth)
	c.figure("scrim_tilt_deg", u.Tilt)
	c.figure("scrim_centre_out_m", u.Out)
	c.figure("scrim_centre_above_head_m", u.AboveHead)
	c.figure("scrim_centre_above_ground_m", u.AboveGround)
	c.figure("scrim_low_edge_above_ground_m", u.LowEdge)
	c.text("scrim_covers", covers)
	c.figure("scrim_coverage_share", u.Coverage)
	c.figure("scrim_spare_across_m", u.SpareAcross)
	c.figure("scrim_spare_along_m", u.SpareAlong)
	c.figure("scrim_holds_min", u.Holds)
	c.text("taken", strconv.FormatBool(m.Verdict.Method == e.Method && e.Method != ""))
	return c
}
