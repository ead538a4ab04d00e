package report_test

import (
	"encoding/csv"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"evenfall/internal/plan"
	"evenfall/internal/report"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sheet is a CSV as a program reads it: its rows by the names of the columns.
func sheet(t testing.TB, r *report.Report) []map[string]string {
	all, err := csv.NewReader(strings.NewReader(as(t, r, report.CSV, report.Options{}))).ReadAll()
	require.NoError(t, err)
	names := all[0]
	var rows []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, name := range names {
			_, twice := row[name]
			require.False(t, twice, name)
			row[name] = cells[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// leaves lays a part of a JSON document flat, with the names that the CSV has:
// those of what it stands in before its own, the two ends of a band low and
// high, the elements of another list joined.
func leaves(into map[string]string, prefix string, v any) {
	switch v := v.(type) {
	case object:
		for name := range v {
			path := name
			if prefix != "" {
				path = prefix + "_" + name
			}
			leaves(into, path, v[name])
		}
	case []any:
		if strings.HasSuffix(prefix, "band_stops") {
			leaves(into, prefix+"_low", v[0])
			leaves(into, prefix+"_high", v[1])
			return
		}
		for _, e := range v {
			one := map[string]string{}
			leaves(one, prefix, e)
			for name, text := range one {
				if before, ok := into[name]; ok {
					text = before + "; " + text
				}
				into[name] = text
			}
		}
	default:
		into[prefix] = value(v)
	}
}

// without is an object without some of its fields.
func without(o object, names ...string) object {
	o = maps.Clone(o)
	for _, name := range names {
		delete(o, name)
	}
	return o
}

// flattened is a document row by row: for each element of its rows, and of
// the rows in those.
func flattened(d object, rows, inner string) []map[string]string {
	var all []map[string]string
	for _, r := range d[rows].([]any) {
		for _, m := range r.(object)[inner].([]any) {
			one := map[string]string{"name": d["name"].(string)}
			leaves(one, "", without(r.(object), inner))
			leaves(one, "", m)
			all = append(all, one)
		}
	}
	return all
}

// Every value of the JSON's rows stands in the CSV under the same name.
func TestCSVHasTheValuesOfTheJSON(t *testing.T) {
	c := stirred(t)
	cues := report.Cues{Plan: c.Plan}
	made := map[string]map[string]*report.Report{"distinct values": {
		"timeline": report.Timeline(c.Plan, asDemonstration), "compare": report.Compare(c, asDemonstration),
		"cues": cues.Report(asDemonstration),
	}}
	for name, file := range shoots(t) {
		made[name] = reports(t, file, asDemonstration)
	}
	for name, kinds := range made {
		for kind, r := range kinds {
			rows, inner := "rows", "methods"
			switch kind {
			case "compare":
				rows = "moments"
			case "cues", "all cues":
				rows, inner = "runs", "cues"
			}
			compareSheets(t, name+", "+kind, flattened(decoded(t, r), rows, inner), sheet(t, r))
		}
	}
}

func compareSheets(t *testing.T, name string, want, got []map[string]string) {
	require.Len(t, got, len(want), name)
	columns := map[string]bool{}
	for i := range want {
		for column, text := range want[i] {
			cell, ok := got[i][column]
			if !ok && text == "" {
				continue // a struct that is null
			}
			columns[column] = true
			require.True(t, ok, "%s: no column %s", name, column)
			require.Equal(t, text, strings.TrimPrefix(cell, "'"), "%s: %s in row %d", name, column, i)
		}
	}
	for column := range got[0] {
		if !columns[column] {
			for i := range got {
				require.Empty(t, got[i][column], "%s: %s stands in no JSON", name, column)
			}
		}
	}
}

// The colours of the planes are the plan's, each under its own name.
func TestColoursAreNotExchanged(t *testing.T) {
	p := planned(t, shoots(t)["demonstration"])
	rows := sheet(t, report.Timeline(p, report.Options{}))
	differ := 0
	for i := range p.Rows {
		colour := p.Rows[i].Light.Colour()
		row := rows[i*len(p.Shoot.Methods)]
		for column, want := range map[string]float64{"light_lit_cct_k": float64(colour.Lit),
			"light_shade_cct_k": float64(colour.Shade), "light_face_cct_k": float64(colour.Face)} {
			got, err := strconv.ParseFloat(row[column], 64)
			require.NoError(t, err)
			assert.InDelta(t, want, got, 0.5, column)
		}
		if colour.Face-colour.Lit > 100 {
			differ++
		}
	}
	assert.Positive(t, differ, "the colours say nothing apart")
}

// Columns stay: programs read them by name.
func TestCSVColumnsOfTheTimeline(t *testing.T) {
	rows := sheet(t, report.Timeline(planned(t, shoots(t)["broken cloud"]), report.Options{}))
	names := slices.Sorted(maps.Keys(rows[0]))
	for _, want := range []string{"time", "case", "sun_altitude_deg", "light_lit_lux", "light_band_stops_low",
		"light_background_band_stops_high", "method", "outcome", "problem_kind", "problem_stops", "cures_kind", "cures_value",
		"shutter_s", "flash_power", "headroom_stops", "ratio", "rim_flash_power"} {
		assert.Contains(t, names, want)
	}
	cases := map[string]int{}
	for _, r := range rows {
		cases[r["case"]]++
	}
	assert.Equal(t, cases["sun"], cases["cloud"])
	assert.Positive(t, cases["sun"])
}

// A method that misses has its problem on its row, and no other has.
func TestCSVSaysWhatIsMissed(t *testing.T) {
	p := planned(t, shoots(t)["demonstration"])
	missed := 0
	for i, row := range sheet(t, report.Timeline(p, report.Options{})) {
		s := &p.Rows[i/len(p.Shoot.Methods)].Methods[i%len(p.Shoot.Methods)]
		assert.Equal(t, s.Outcome == plan.Missed, row["problem_kind"] != "")
		if s.Outcome == plan.Missed {
			missed++
		}
	}
	assert.Positive(t, missed)
}
