package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A report of every kind of value there may be, nested as reports are.
type sampleReport struct {
	Schema string       `json:"schema" csv:"-"`
	Name   string       `json:"name"`
	Site   sampleSite   `json:"site"`
	Rows   []sampleRow  `json:"rows" csv:"rows"`
	Others []sampleSpot `json:"spots" csv:"rows"`
}

type sampleSite struct {
	Latitude float64 `json:"latitude_deg"`
	Zone     *string `json:"zone"`
}

type sampleRow struct {
	sampleInstant
	Light   sampleLight    `json:"light"`
	Methods []sampleMethod `json:"methods" csv:"rows"`
}

type sampleInstant struct {
	Time time.Time `json:"time"`
	Case *string   `json:"case"`
}

type sampleLight struct {
	Lit      *float64    `json:"lit_lux"`
	LitCCT   *float64    `json:"lit_cct_k"`
	ShadeCCT *float64    `json:"shade_cct_k"`
	Band     [2]*float64 `json:"band_stops" csv:"low,high"`
	Corner   [3]float64  `json:"corner_deg"`
}

type sampleMethod struct {
	Method string       `json:"method"`
	Held   bool         `json:"held"`
	Units  int          `json:"units"`
	Lit    float64      `json:"lit_lux"`
	Cures  []sampleCure `json:"cures"`
	Tags   []string     `json:"tags"`
	Times  []float64    `json:"times_s"`
	Rim    *sampleSite  `json:"rim"`
	Left   string       `json:"-"`
}

type sampleCure struct {
	Kind  string  `json:"kind"`
	Value float64 `json:"value"`
}

type sampleSpot struct {
	Name   string `json:"name_of_spot"`
	Method string `json:"method"`
}

// fill gives every value under v one of its own, nil to some pointers, and up
// to three elements to lists.
func fill(v reflect.Value, r *rand.Rand, next *int) {
	*next++
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(r.IntN(2) == 0)
	case reflect.Int:
		v.SetInt(int64(*next))
	case reflect.Float64:
		v.SetFloat((float64(*next) + r.Float64()) * []float64{1, -1, 1e-9, 1e7}[r.IntN(4)])
	case reflect.String:
		v.SetString(fmt.Sprintf("text %d, \"é\" %d", *next, r.IntN(100)))
	case reflect.Pointer:
		if r.IntN(4) > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			fill(v.Elem(), r, next)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), r.IntN(4), 4))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), r, next)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(time.Unix(int64(*next)*1000, 0).UTC()))
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() || v.Type().Field(i).Anonymous {
				fill(v.Field(i), r, next)
			}
		}
	}
}

// leaves writes decoded JSON as names and values, an object's rows left out.
// It shares nothing with the code under test: it knows the JSON alone.
func leaves(into map[string]string, prefix string, v any, rows map[string]bool, arrays map[string][]string) {
	switch v := v.(type) {
	case map[string]any:
		for name, one := range v {
			if !rows[name] && name != "schema" {
				leaves(into, strings.TrimPrefix(prefix+"_"+name, "_"), one, rows, arrays)
			}
		}
	case []any:
		if suffixes := arrays[prefix]; suffixes != nil {
			for i, one := range v {
				leaves(into, prefix+"_"+suffixes[i], one, rows, arrays)
			}
			return
		}
		for i, one := range v {
			element := map[string]string{}
			leaves(element, prefix, one, rows, arrays)
			for name, value := range element {
				if i > 0 {
					value = into[name] + "; " + value
				}
				into[name] = value
			}
		}
	case nil:
		into[prefix] = ""
	default:
		into[prefix] = fmt.Sprint(v)
	}
}

// sameValue reports whether two values are alike, numbers by their value.
func sameValue(a, b string) bool {
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	return a == b || errA == nil && errB == nil && x == y
}

func flatten(t *testing.T, data any) (names []string, rows []map[string]string) {
	var b bytes.Buffer
	require.NoError(t, writeFlat(&b, data, Options{}))
	lines, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for _, l := range lines[1:] {
		row := map[string]string{}
		for i, v := range l {
			row[lines[0][i]] = v
		}
		rows = append(rows, row)
	}
	return lines[0], rows
}

// Every value of the JSON stands in the CSV under its own name, whatever the
// values are; two columns that change places, or one that is lost, are found.
func TestFlatHasEveryValue(t *testing.T) {
	list := map[string]bool{"rows": true, "methods": true, "spots": true}
	arrays := map[string][]string{"light_band_stops": {"low", "high"}, "light_corner_deg": {"1", "2", "3"}}
	for seed := range uint64(200) {
		var doc sampleReport
		next := 0
		fill(reflect.ValueOf(&doc).Elem(), rand.New(rand.NewPCG(seed, 1)), &next)
		raw, err := json.Marshal(&doc)
		require.NoError(t, err)
		decoder := json.NewDecoder(bytes.NewReader(raw))
		decoder.UseNumber()
		var top map[string]any
		require.NoError(t, decoder.Decode(&top))

		var want []map[string]string
		expect := func(parents ...any) {
			row := map[string]string{}
			for _, p := range parents {
				leaves(row, "", p, list, arrays)
			}
			want = append(want, row)
		}
		of := func(v any, name string) []any { l, _ := v.(map[string]any)[name].([]any); return l }
		for _, row := range of(top, "rows") {
			for _, method := range of(row, "methods") {
				expect(top, row, method)
			}
			if len(of(row, "methods")) == 0 {
				expect(top, row)
			}
		}
		for _, spot := range of(top, "spots") {
			expect(top, spot)
		}

		names, got := flatten(t, &doc)
		require.Len(t, got, len(want))
		known := map[string]bool{}
		for _, name := range names {
			require.False(t, known[name], "%s twice", name)
			known[name] = true
		}
		for i := range want {
			for name, value := range want[i] {
				if value == "" {
					continue // null or an empty list
				}
				require.True(t, known[name], "%s is lost; there are %v", name, names)
				if strings.Contains(value, "; ") { // a list of negative numbers is text
					got[i][name] = strings.TrimPrefix(got[i][name], "'")
				}
				require.True(t, sameValue(value, got[i][name]), "%s: %q, not %q", name, got[i][name], value)
			}
			for name, value := range got[i] {
				if _, ok := want[i][name]; !ok {
					require.Empty(t, value, "%s is from nowhere", name)
				}
			}
		}
	}
}

// The columns are there whatever the values.
func TestFlatNames(t *testing.T) {
	names, rows := flatten(t, &sampleReport{})
	assert.Empty(t, rows)
	assert.Equal(t, []string{"name", "site_latitude_deg", "site_zone", "time", "case", "light_lit_lux",
		"light_lit_cct_k",
		"light_shade_cct_k", "light_band_stops_low", "light_band_stops_high", "light_corner_deg_1",
		"light_corner_deg_2", "light_corner_deg_3",
		"method", "held", "units", "lit_lux", "cures_kind", "cures_value", "tags", "times_s", "rim_latitude_deg",
		"rim_zone", "name_of_spot"}, names)
}

func TestFlatNeverBeginsAFormula(t *testing.T) {
	type item struct {
		Text   string    `json:"text"`
		Number float64   `json:"number"`
		List   []float64 `json:"list"`
	}
	type report struct {
		Items []item `json:"items" csv:"rows"`
	}
	for text, want := range map[string]string{
		"=HYPERLINK(1)": "'=HYPERLINK(1)", "+1+2": "'+1+2", "-1": "-1", "@SUM(1)": "'@SUM(1)", "＝1": "'＝1",
		"plain": "plain", "a=b": "a=b", "": "", "\x1b[2J": `\u001b[2J`, "\t=1": `\u0009=1`,
	} {
		_, rows := flatten(t, report{[]item{{text, -0.5, []float64{-1, -2}}}})
		assert.Equal(t, want, rows[0]["text"])
		assert.Equal(t, "-0.5", rows[0]["number"])
		assert.Equal(t, "'-1; -2", rows[0]["list"])
	}
	var b bytes.Buffer
	require.NoError(t, writeFlat(&b, report{[]item{{Text: "−1 × größe"}}}, Options{ASCII: true}))
	assert.Equal(t, "text,number,list\r\n'-1 x grosse,0,\r\n", b.String())
}

// What has no flat form is an error, for data that is there or not.
func TestFlatErrors(t *testing.T) {
	type loop struct {
		Again []*loop `json:"again"`
	}
	type inner struct {
		A int `json:"a"`
	}
	for name, data := range map[string]any{
		"a map":            struct{ M map[string]int }{},
		"an interface":     struct{ V any }{},
		"a type in itself": loop{},
		"no struct":        3,
		"one name twice": struct {
			A inner `json:"x"`
			B int   `json:"x_a"`
		}{},
		"no finite number": struct{ X float64 }{X: inf()},
		"rows in a value": struct {
			L []struct {
				R []inner `csv:"rows"`
			}
		}{},
	} {
		assert.Error(t, writeFlat(&bytes.Buffer{}, data, Options{}), name)
	}
}

func inf() float64 { v, _ := strconv.ParseFloat("inf", 64); return v }
