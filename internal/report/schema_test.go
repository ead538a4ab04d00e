package report

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// schemaFolder holds a JSON Schema of each document.
const schemaFolder = "../../testdata/schema"

// documents are those that the commands write, by the names of their schemas.
var documents = map[string]reflect.Type{
	timelineSchema:    reflect.TypeFor[timelineJSON](),
	compareSchema:     reflect.TypeFor[comparison](),
	cuesSchema:        reflect.TypeFor[cueDocument](),
	explainSchema:     reflect.TypeFor[explained](),
	adjustSchema:      reflect.TypeFor[adjusted](),
	kitSchema:         reflect.TypeFor[kitDocument](),
	kitCheckSchema:    reflect.TypeFor[kitCheckDocument](),
	calibrationSchema: reflect.TypeFor[calibrationDocument](),
	wordsSchema:       reflect.TypeFor[glossary](),
	placesSchema:      reflect.TypeFor[placesDocument](),
	scheduleSchema:    reflect.TypeFor[scheduleJSON](),
	batchSchema:       reflect.TypeFor[batchJSON](),
}

// compare --vary has compare's schema and a document of its own.
const variedFile = "compare-vary-2"

// mayBeNull are the numbers that are null where they are unknown or there is no
// such thing, by the kind of object they are in; all other numbers are always
// there.
var mayBeNull = map[string]string{
	"looked.background_stops":             "of the other look",
	"looked.background_at_most_stops":     "of the other look, or any",
	"run.least_headroom_stops":            "where no flash fires",
	"light.sky_ev100":                     "where no sky is in the frame",
	"light.background_ev100":              "where nothing is known of what stands in the frame",
	"light.background_band_stops":         "likewise",
	"light.lit_cct_k":                     "in the dark",
	"light.shade_cct_k":                   "likewise",
	"light.face_cct_k":                    "likewise",
	"light.key_side_cct_k":                "likewise",
	"method.background_offset_stops":      "where nothing is known of what stands in the frame",
	"method.flash_power":                  "where the flash does not fire",
	"method.flash_meter_f_number":         "likewise",
	"method.headroom_stops":               "likewise",
	"method.recycle_s":                    "likewise",
	"method.gel_remains_mired":            "likewise, and in the dark",
	"method.sky_share":                    "but in open shade",
	"filled.flash_power":                  "where the fill does not fire",
	"filled.meter_f_number":               "likewise",
	"filled.headroom_stops":               "likewise",
	"filled.recycle_s":                    "likewise",
	"problem.stops":                       "of what is not in stops",
	"cure.value":                          "of what has no number",
	"comparedMethod.sharp_to_m":           "to infinity",
	"comparedMethod.depth_of_field_m":     "likewise",
	"comparedMethod.frames_per_set":       "where the flash does not fire",
	"comparedMethod.rise_stops":           "likewise",
	"change.stops":                        "of what is not in stops",
	"change.clicks":                       "of what does not click",
	"cue.flash_meter_f_number":            "where the flash does not fire",
	"readingJSON.fits_offset_stops":       "where no other condition fits better",
	"load.to_m_per_s":                     "of force 12, which has no end",
	"load.push_n":                         "likewise",
	"load.push_kgf":                       "likewise",
	"load.gust_push_n":                    "likewise",
	"load.gust_push_kgf":                  "likewise",
	"load.ballast_per_stand_kg":           "likewise",
	"used.burst_frames":                   "where the flash does not fire",
	"used.burst_rest_minutes":             "likewise",
	"used.recycle_s":                      "likewise",
	"used.pace_s":                         "likewise",
	"beam.less_at_sides_stops":            "farther off than the model goes",
	"beam.less_at_top_and_bottom_stops":   "likewise",
	"beam.less_at_figure_corners_stops":   "likewise",
	"beam.least_fall_with_daylight_stops": "where the flash does not fire",
	"beam.most_fall_with_daylight_stops":  "likewise",
	"panel.lowest_sun_deg":                "where it never covers",
	"check.value":                         "of what has no number",
	"kitFlash.plateau_ms":                 "where the losses are stated",
	"kitGuide.zoom_mm":                    "of a head without zoom",
	"kitModifier.reflector_loss_stops":    "where it is the same",
	"kitModifier.size_m":                  "of what has none",
	"kitModifier.width_m":                 "of a round one",
	"kitModifier.length_m":                "of a round one",
	"kitModifier.inside_zoom_mm":          "where the head keeps its own",
	"kitModifier.grid_deg":                "of anything but a grid",
	"calibrationDocument.zoom_mm":         "of a head without zoom",
	"explainStep.result":                  "of what is no number",
	"variedValue.least_headroom_stops":    "where no flash fires",
	"wishes.at_least_minutes":             "where it was not asked for",
	"wishes.headroom_stops":               "likewise",
	"windowJSON.least_headroom_stops":     "where no flash fires",
	"obstacle.short_deg":                  "in the way by another unit",
	"obstacle.short_stops":                "likewise",
	"obstacle.short_minutes":              "likewise",
	"adjustment.background_stops":         "where nothing is known of what stands in the frame",
}

// anyOf are the words that a value may be, by its name, or by the kind of object
// it is in.
func anyOf() map[string][]string {
	list := map[string][]string{
		"case": {"sun", "cloud"}, "side": {"left", "right"}, "key_side": {"left", "right"}, "flash_side": {"left", "right"},
		"role": {"key", "fill", "none"}, "outcome": {"held", "softer", "missed"}, "looked.kind": {"ratio", "background"},
		"turn": {"down", "square", "halfway"}, "steps": {"third", "half", "full"}, "iso_steps": {"third", "half", "full"},
		"surface": {"white", "silver"},
	}
	for _, m := range shoot.AllMethods {
		list["method"] = append(list["method"], m.String())
	}
	list["planned_method"] = list["method"]
	for _, k := range shoot.KitKinds {
		list["kitNamed.kind"] = append(list["kitNamed.kind"], string(k))
	}
	list["kitCheckItem.kind"] = list["kitNamed.kind"]
	for _, p := range reading.Planes {
		list["plane"] = append(list["plane"], p.String())
	}
	for _, e := range shoot.DayEvents() {
		list["event.name"] = append(list["event.name"], string(e))
	}
	for i := plan.FlashItem; words.ItemKind(i) != ""; i++ {
		list["item"] = append(list["item"], words.ItemKind(i))
	}
	for _, w := range sky.Words {
		list["fits"] = append(list["fits"], w.String())
	}
	return list
}

// ranges are those of numbers, by how their names end; of the first that fits.
var ranges = []struct {
	name      *regexp.Regexp
	low, high float64
	above     bool // low itself is left out
}{
	{regexp.MustCompile(`^latitude_deg$`), -90, 90, false},
	{regexp.MustCompile(`^longitude_deg$`), -180, 180, false},
	{regexp.MustCompile(`(azimuth|bearing|facing)_deg$`), 0, 360, false},
	{regexp.MustCompile(`altitude_deg$`), -90, 90, false},
	{regexp.MustCompile(`_deg$`), -180, 180, false},
	{regexp.MustCompile(`_lux(_seconds)?$|^lux$`), 0, 1e9, false},
	{regexp.MustCompile(`_share$|^weight$|^(level|lit|shade)$`), 0, 1, false},
	{regexp.MustCompile(`_k$`), 1000, 1e6, false},
	{regexp.MustCompile(`^(iso|aperture)|f_number$|(shutter|sync|fastest)_s$|power$|guide|number_m$|ratio$`), 0, 1e6, true},
	{regexp.MustCompile(`^nd_stops$|^(reflector_)?loss_stops$`), 0, 30, false},
	{regexp.MustCompile(`_stops$|ev100$`), -60, 60, false},
	{regexp.MustCompile(`_(m|m2|s|kg|newtons?|minutes|mm|ms)$|^frames`), -1e9, 1e9, false},
}

// schemer makes a schema of Go's types.
type schemer struct {
	defs  map[string]any
	words map[string][]string
	nulls map[string]bool // what may be null, as far as met
}

// object is the schema of a struct: all of its fields, and no others.
func (s *schemer) object(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	var add func(t reflect.Type)
	add = func(t reflect.Type) {
		for i := range t.NumField() {
			f := t.Field(i)
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.Anonymous && name == "" {
				add(f.Type)
				continue
			}
			properties[name] = s.value(f.Type, t.Name(), name)
			required = append(required, name)
		}
	}
	add(t)
	return map[string]any{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}

// value is the schema of a field of an object of some kind.
func (s *schemer) value(t reflect.Type, in, name string) map[string]any {
	switch {
	case t == reflect.TypeFor[figure]():
		n := numberSchema(name)
		if mayBeNull[in+"."+name] != "" {
			s.nulls[in+"."+name] = true
			n["type"] = []string{"number", "null"}
		}
		return n
	case t.Kind() == reflect.Pointer:
		return map[string]any{"anyOf": []any{s.value(t.Elem(), in, name), map[string]any{"type": "null"}}}
	case t.Kind() == reflect.Struct:
		if s.defs[t.Name()] == nil {
			s.defs[t.Name()] = true // while it is made
			s.defs[t.Name()] = s.object(t)
		}
		return map[string]any{"$ref": "#/$defs/" + t.Name()}
	case t.Kind() == reflect.Slice:
		return map[string]any{"type": "array", "items": s.value(t.Elem(), in, name)}
	case t.Kind() == reflect.Array:
		return map[string]any{"type": "array", "items": s.value(t.Elem(), in, name), "minItems": t.Len(), "maxItems": t.Len()}
	case t.Kind() == reflect.Bool:
		return map[string]any{"type": "boolean"}
	case t.Kind() == reflect.Int:
		return map[string]any{"type": "integer", "minimum": 0}
	case t.Kind() == reflect.String:
		return s.text(in, name)
	}
	panic(fmt.Sprintf("%s.%s has a type that JSON has no schema for: %v", in, name, t))
}

// numberSchema is the schema of a number.
func numberSchema(name string) map[string]any {
	for _, r := range ranges {
		switch {
		case !r.name.MatchString(name):
		case r.above:
			return map[string]any{"type": "number", "exclusiveMinimum": r.low, "maximum": r.high}
		default:
			return map[string]any{"type": "number", "minimum": r.low, "maximum": r.high}
		}
	}
	return map[string]any{"type": "number"}
}

// moments are the names of times.
var moments = regexp.MustCompile(`^(time|from|until|to|hardest_time|window_(from|to)|(planned_)?next_cue)$|_at$`)

// text is the schema of a string.
func (s *schemer) text(in, name string) map[string]any {
	list := s.words[in+"."+name]
	if list == nil {
		list = s.words[name]
	}
	switch {
	case list != nil:
		return map[string]any{"enum": list}
	case moments.MatchString(name) && in != "change" && in != "hours":
		return map[string]any{"type": "string", "format": "date-time"}
	case name == "shutter" || name == "sync" || name == "fastest":
		return map[string]any{"type": "string", "pattern": `^(1/)?[0-9]+(\.[0-9]+)?( s)?$`}
	}
	return map[string]any{"type": "string"}
}

// schemaOf is the schema of a document; what may be null in it is noted.
func schemaOf(name string, t reflect.Type, nulls map[string]bool) map[string]any {
	s := &schemer{defs: map[string]any{}, words: anyOf(), nulls: nulls}
	document := s.object(t)
	document["properties"].(map[string]any)["schema"] = map[string]any{"const": name}
	document["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	document["title"] = name
	document["$defs"] = s.defs
	return document
}

// schemaFile is where the schema of a name lies.
func schemaFile(name string) string {
	return strings.ReplaceAll(strings.TrimPrefix(name, "evenfall/"), "/", "-")
}

// The schemas that are committed are those of the documents: a change of the
// contract is seen there.
func TestSchemasAreThoseOfTheDocuments(t *testing.T) {
	rewrite := flag.Lookup("update").Value.String() == "true"
	nulls := map[string]bool{}
	files := map[string]map[string]any{variedFile: schemaOf(compareSchema, reflect.TypeFor[variedDocument](), nulls)}
	for name, of := range documents {
		files[schemaFile(name)] = schemaOf(name, of, nulls)
	}
	var names []string
	for name, schema := range files {
		want, err := json.MarshalIndent(schema, "", "  ")
		require.NoError(t, err)
		want = append(want, '\n')
		file := filepath.Join(schemaFolder, name+".json")
		names = append(names, file)
		if rewrite {
			require.NoError(t, os.WriteFile(file, want, 0o644))
			continue
		}
		committed, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(committed), name)
	}
	for name := range mayBeNull {
		assert.True(t, nulls[name], "%s is no number of a document", name)
	}
	sources, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, file := range sources {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, named := range regexp.MustCompile(`Schema += "(evenfall/.*)"`).FindAllSubmatch(text, -1) {
			assert.Contains(t, documents, string(named[1]), "a document without a schema")
		}
	}
	slices.Sort(names)
	there, err := filepath.Glob(filepath.Join(schemaFolder, "*.json"))
	require.NoError(t, err)
	assert.Equal(t, names, there)
}
