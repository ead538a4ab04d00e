package report_test

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"evenfall/internal/explain"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// validator holds documents against the schemas in testdata, by a library that
// knows nothing of what made them.
type validator struct {
	compiler *jsonschema.Compiler
	wrong    map[string]int
	tried    map[string]int
}

func newValidator() *validator {
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	return &validator{c, map[string]int{}, map[string]int{}}
}

// check validates a report.
func (v *validator) check(t testing.TB, what string, r *report.Report) {
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(as(t, r, report.JSON, report.Options{})))
	require.NoError(t, err)
	v.checkDocument(t, what, document)
}

// checkDocument validates a document by the schema that it names.
func (v *validator) checkDocument(t testing.TB, what string, document any) {
	name, _ := document.(object)["schema"].(string)
	file := strings.ReplaceAll(strings.TrimPrefix(name, "evenfall/"), "/", "-")
	if _, varied := document.(object)["varied"]; varied {
		file = "compare-vary-2"
	}
	if name == "" { // a document that does not say which is none
		v.wrong[what+": no schema"]++
		return
	}
	schema, err := v.compiler.Compile("../../testdata/schema/" + file + ".json")
	require.NoError(t, err)
	v.tried[file]++
	err = schema.Validate(document)
	if err == nil {
		return
	}
	var invalid *jsonschema.ValidationError
	require.ErrorAs(t, err, &invalid)
	v.gather(invalid)
}

// anyNumber is what two faults of the same kind may differ by.
var anyNumber = regexp.MustCompile(`-?[0-9]+`)

// gather counts faults by where they lie, whichever element of a list it is.
func (v *validator) gather(e *jsonschema.ValidationError) {
	for _, cause := range e.Causes {
		v.gather(cause)
	}
	if len(e.Causes) > 0 {
		return
	}
	path := slices.Clone(e.InstanceLocation)
	path = slices.DeleteFunc(path, func(p string) bool { return anyNumber.FindString(p) == p })
	fault := anyNumber.ReplaceAllString(fmt.Sprintf("%T %.60v", e.ErrorKind, e.ErrorKind), "N")
	v.wrong[strings.Join(path, ".")+": "+fault]++
}

// randomShoot is the demonstration with some of its values drawn; nil where they
// make no shoot, such as an event that the day does not have.
func randomShoot(t testing.TB, random *rand.Rand) *shoot.Shoot {
	d, err := shootfile.Demo()
	require.NoError(t, err)
	pick := func(list ...string) string { return list[random.IntN(len(list))] }
	between := func(low, high float64) string { return fmt.Sprintf("%.2f", low+(high-low)*random.Float64()) }
	longitude := -180 + 360*random.Float64()
	d.Set("at", fmt.Sprintf("%s,%.3f", between(-75, 75), longitude))
	d.Set("tz", fmt.Sprintf("UTC%+d", int(longitude/15)))
	d.Set("date", fmt.Sprintf("20%02d-%02d-%02d", random.IntN(100), 1+random.IntN(12), 1+random.IntN(28)))
	d.Set("from", pick("sunset-1h", "sunrise-20m", "sunset-10m", "solar-noon", "07:00", "12:00", "sunset"))
	draw := map[string]func() string{
		"sky":      func() string { return pick("clear", "hazy", "thin", "broken", "overcast", "heavy") },
		"facing":   func() string { return pick("backlit", "front", "left", "right", between(0, 359)) },
		"figure":   func() string { return pick("head-and-shoulders", "full-length") },
		"ratio":    func() string { return between(1.1, 8) },
		"bias":     func() string { return between(-2, 2) },
		"aperture": func() string { return pick("1.8", "2.8", "5.6", "11") },
		"units":    func() string { return pick("1", "2", "5") },
		"distance": func() string { return between(0.6, 6) },
		"flash":    func() string { return pick("compact-36", "speedlight-60", "strobe-400") },
		"modifier": func() string { return pick("bare", "dish", "softbox-60x90", "octa-150-double", "grid-30") },
		"gel":      func() string { return pick("none", "match", "half-cto") },
		"fill":     func() string { return pick("none", "compact-36", "strobe-400") },
		"camera":   func() string { return pick("full-frame-200", "crop-250") },
		"wind":     func() string { return between(0, 20) + " m/s" },
		"ground":   func() string { return pick("grass", "snow", "water") },
		"cue-step": func() string { return pick("1/3", "2/3") },
		"method": func() string {
			return pick("sync", "sync,hss,nd,scrim,scrim+hss", "scrim+nd,nd+hss,open-shade", "open-shade,hss", "nd,scrim+nd+hss")
		},
		pick("background", "background-at-most"): func() string { return between(-3, 3) },
	}
	for _, flag := range slices.Sorted(maps.Keys(draw)) {
		if random.IntN(2) == 0 {
			d.Set(flag, draw[flag]())
		}
	}
	d.Set("to", pick("sunset+20m", "sunset+40m", "sunrise+10m", "13:00", "sunset"))
	s, err := d.Resolve(shootfile.Environment{Zones: time.LoadLocation,
		Today: shoot.Date{Year: 2027, Month: time.June, Day: 12}})
	if err != nil {
		return nil
	}
	day := s.Observer().Day(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, s.Place.Zone)
	from, to, err := s.Window(day)
	if err != nil || to.Sub(from) > 3*time.Hour {
		return nil
	}
	return s
}

// Every report of the demonstration, the examples, the shoots of the tests and of
// random ones is valid by its schema (JSON Schema, draft 2020-12).
func TestDocumentsAreValid(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	v := newValidator()
	files := shoots(t)
	random, count := rand.New(rand.NewPCG(11, 11)), 4
	if os.Getenv("EVENFALL_LONG") != "" {
		maps.Copy(files, examples(t))
		count = 40
	}
	if os.Getenv("EVENFALL_LONG") == "2" {
		count = 300
	}
	for name, file := range files {
		s := resolved(t, file)
		for what, r := range reports(t, file, report.Options{}) {
			v.check(t, name+": "+what, r)
		}
		for what, r := range others(t, s) {
			v.check(t, name+": "+what, r)
		}
	}
	refused := 0
	for made := 0; made < count; {
		s := randomShoot(t, random)
		if s == nil {
			refused++
			continue
		}
		made++
		for what, r := range workOut(t, s).reports(report.Options{}) {
			v.check(t, fmt.Sprintf("random %d: %s", made, what), r)
		}
		for what, r := range others(t, s) {
			v.check(t, fmt.Sprintf("random %d: %s", made, what), r)
		}
	}
	for name, list := range schedules(t) {
		v.check(t, name, list.Report(report.Options{}))
	}
	for _, wrong := range slices.Sorted(maps.Keys(v.wrong)) {
		assert.Fail(t, wrong, "%d times", v.wrong[wrong])
	}
	t.Logf("%d random plans (%d draws were no shoot), documents %v", count, refused, v.tried)
}

// others are the reports of a shoot that are of one moment, or of values side by
// side.
func others(t testing.TB, s *shoot.Shoot) map[string]*report.Report {
	made, err := plan.Make(context.Background(), s)
	require.NoError(t, err)
	var steps []explain.Explanation
	for i := range made.Rows[:min(2, len(made.Rows))] {
		steps = append(steps, explain.Explain(made, &made.Rows[i]))
	}
	further := *s
	further.Flash.Distance *= 1.5
	sides := []*shoot.Shoot{s, &further}
	variation, err := plan.Vary(context.Background(), sides)
	require.NoError(t, err)
	varied := &report.Varied{Shoot: s, Flag: "distance", Values: []string{"1", "1.5"}, Variation: variation}
	kit := &report.Kit{Library: s.Kit, Kinds: shoot.KitKinds[:]}
	standard, err := shootfile.StandardKit()
	require.NoError(t, err)
	head := s.Flash
	head.Gel = flash.Gel{}
	measured := &report.Calibration{Head: head, Power: flash.Power(-6), ISO: 0}
	measured.With, err = flash.ParseReading("f/8", 0)
	require.NoError(t, err)
	measured.Found, err = flash.Calibrate(&head, measured.Power, measured.With.Light, 0)
	places := &report.Places{List: []report.SavedPlace{{Name: "here", Place: s.Place, Ground: "sand", File: "places.toml"},
		{Name: "there", Place: shoot.Place{Site: s.Place.Site}}}}
	all := map[string]*report.Report{
		"places":  places.Report(),
		"explain": report.Explain(made, steps, report.Options{}), "vary": varied.Report(report.Options{}),
		"kit": kit.Report(), "words": report.Words(),
		"kit check": (&report.KitCheck{File: "kit.toml", Library: s.Kit, Standard: standard}).Report(),
	}
	if err == nil { // a head that can give such a reading
		all["calibration"] = measured.Report()
	}
	return all
}

// The schemas are strict: a document that lacks a key, has one more, or has a
// value of another kind is not valid.
func TestSchemasAreStrict(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	s := resolved(t, shoots(t)["two flashes in front"])
	all := reports(t, shoots(t)["two flashes in front"], report.Options{})
	maps.Copy(all, others(t, s))
	tried := 0
	for _, what := range slices.Sorted(maps.Keys(all)) {
		text := as(t, all[what], report.JSON, report.Options{})
		for _, spoil := range []func(o object, key string){
			func(o object, key string) { delete(o, key) },
			func(o object, key string) { o[key+"s"] = o[key] },
			func(o object, key string) { o[key] = object{} },
			func(o object, key string) { o[key] = []any{[]any{}} },
		} {
			for depth := range 4 {
				document, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
				require.NoError(t, err)
				at, _ := document.(object)
				for range depth {
					at = within(at)
				}
				if at == nil {
					continue
				}
				key := slices.Sorted(maps.Keys(at))[len(at)/2]
				spoil(at, key)
				v := newValidator()
				v.checkDocument(t, what, document)
				assert.NotEmpty(t, v.wrong, "%s, %q at depth %d", what, key, depth)
				tried++
			}
		}
	}
	t.Logf("%d documents spoilt", tried)
}

// within is the first object in another, by name; nil for none.
func within(o object) object {
	for _, key := range slices.Sorted(maps.Keys(o)) {
		switch v := o[key].(type) {
		case object:
			return v
		case []any:
			if len(v) > 0 {
				if inner, ok := v[0].(object); ok {
					return inner
				}
			}
		}
	}
	return nil
}
