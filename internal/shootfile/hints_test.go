package shootfile

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wrongValues are values of every kind that TOML has, and text that looks like
// them: few keys take more than a few of them.
var wrongValues = []string{
	`""`, `" "`, `"x"`, `"abc def"`, `"5,6"`, `"1/200"`, `"1/77"`, `"3 m"`, `"a\u001bb"`, `"日本語"`, `"it's $(here)"`,
	`"a\"b"`, `"a\tb"`, `"9999-99-99"`, `"25:61"`, `"sunsett-2h"`, `"force 99"`, `"Europe//Berlin"`,
	`"` + strings.Repeat("long ", 50) + `"`, "12", "-1", "0", "1000", "0.123456789", "1e308", "-1e308", "1e-300", "nan",
	"inf", "-inf", "9223372036854775807", "true", "false", "[]", "[1]", `["x"]`, `["x", "y"]`, "[[1]]", "[true, {}]",
	"{}", "{a = 1}", "[{a = 1}]", "[nan]", "[1e308]", `["a\u001bb"]`, "2027-09-18", "17:30:00", "2027-09-18T17:30:00Z",
	"1600-01-01",
	// These are not TOML's.
	"5,6", "1/200", "03", "x", "abc def", "sunset-2h", "17:30", "yes", "3 m", "[a, b]", "2027-02-30", "-x", "$(here)",
}

// kindsOfKit has a definition of each kind that is right.
var kindsOfKit = map[string][]string{
	"camera": {`name = "my-camera"`, `steps = "third"`, `iso_steps = "third"`, `sync = "1/200"`, `fastest = "1/4000"`,
		"lowest_iso = 100", "highest_iso = 3200", "frame_height_mm = 24", `source = "my own"`},
	"flash": {`name = "my-flash"`, "guide_number_m = 40", "guide_number_zoom_mm = 105", `lowest_power = "1/64"`,
		`steps = "third"`, "high_speed_sync = true", "plateau_ms = 16", "derate_stops = 0.7", "recycle_full_s = 3",
		"recycle_floor_s = 0.1", "flashes_per_set = 150", "burst_flashes = 20", "burst_rest_minutes = 10"},
	"modifier": {`name = "my-modifier"`, "loss_stops = 1", "reflector_loss_stops = 1", "size_m = 0.5",
		"inside_zoom_mm = 35", "grid_deg = 20"},
	"gel":   {`name = "my-gel"`, "shift_mired = 100", "loss_stops = 0.5"},
	"scrim": {`name = "my-scrim"`, "width_m = 1.8", "length_m = 1.8", "loss_stops = 1", "straight_share = 0"},
	"reflector": {`name = "my-reflector"`, "width_m = 1", "length_m = 1", `surface = "silver"`,
		"reflectance = 0.8", "gain = 3"},
	"filter": {`name = "my-filter"`, "loss_stops = 3"},
}

// beside are the keys that others of their section cannot do without.
var beside = map[string]string{
	"fill":                           "kit = 'speedlight-60'",
	"scrim":                          "kit = 'panel-120x180'",
	"reflector":                      "kit = 'white-100x100'",
	"scrim.tilt_deg":                 "height_m = 1.2",
	"scrim.reach_m":                  "height_m = 1.2",
	"subject.background_reflectance": "background = 'sunlit'",
	"subject.background_distance_m":  "background = 'sunlit'",
	"flash.gels":                     "gel = 'match'",
	"flash.warmer_mired":             "gel = 'match'",
}

// lineOf matches the line of a key.
func lineOf(key string) *regexp.Regexp { return regexp.MustCompile(`(?m)^` + key + ` *=.*\n`) }

// withLine is a shoot file with a line in one of its sections, as it is read
// alone; it may need others beside it.
func withLine(section, key, line string) string {
	switch section {
	case "":
		return lineOf(key).ReplaceAllString(line+"\n"+somewhere, line+"\n")
	case "place":
		return lineOf(key).ReplaceAllString(somewhere, "") + line + "\n"
	case "sky":
		return somewhere + "[[sky]]\n" + line + "\n"
	}
	text := somewhere + "[" + section + "]\n"
	for _, need := range [...]string{beside[section], beside[section+"."+key]} {
		if need != "" && !strings.HasPrefix(need, key+" ") {
			text += need + "\n"
		}
	}
	return text + line + "\n"
}

// typist types hints into a shoot file.
type typist struct {
	text  string
	flags [][2]string
}

// faults are those of the file with the flags.
func (y *typist) faults(t testing.TB) Faults {
	d, err := Parse("shoot.toml", []byte(y.text))
	if err == nil {
		for _, f := range y.flags {
			d.Set(f[0], f[1])
		}
		_, err = d.Resolve(environment(t))
	}
	if err == nil {
		return nil
	}
	var faults Faults
	require.ErrorAs(t, err, &faults)
	return faults
}

var (
	leaveForm  = regexp.MustCompile(`^leave ([a-z_]+) out(?:$|[:;,] )`)
	flagForm   = regexp.MustCompile(`^--([a-z-]+) ('[^']*'|[^ ,']+(?:,[^ ,']+)*)(?:$|, or )`)
	lineForm   = regexp.MustCompile(`^([a-z_]+) = ("(?:[^"\\]|\\.)*"|\[.*\]|[^ ,;"]+)(?:$|[;,] | (with|and|or) )`)
	wordForm   = regexp.MustCompile(`^([a-z0-9+_-]+|"[^"]+")(?:$|[;,] )`)
	anyKey     = regexp.MustCompile(`^[a-z_]+`)
	element    = regexp.MustCompile(`"[^"]*"|'[^']*'`)
	headForm   = regexp.MustCompile(`^\[{1,2}[a-z_.]+\]{1,2}$`)
	headerLine = regexp.MustCompile(`^\s*\[`)
)

// heed types a hint; it reports whether there was something to type.
func (y *typist) heed(f Fault) bool {
	lines := strings.Split(y.text, "\n")
	at := f.Line - 1
	hint := f.Hint
	if m := flagForm.FindStringSubmatch(hint); m != nil {
		y.flags = append(y.flags, [2]string{m[1], strings.Trim(m[2], "'")})
		return true
	}
	if at < 0 {
		return false
	}
	if m := leaveForm.FindStringSubmatch(hint); m != nil {
		if !strings.HasPrefix(strings.TrimSpace(lines[at]), m[1]+" ") {
			return false
		}
		y.text = strings.Join(slices.Delete(lines, at, at+1), "\n")
		return true
	}
	if headForm.MatchString(hint) {
		lines[at] = ""
		if headerLine.MatchString(y.text) {
			lines[at] = hint
		} else {
			lines = append(lines, hint)
		}
		y.text = strings.Join(lines, "\n")
		return true
	}
	if strings.HasPrefix(f.What, "unknown key ") && anyKey.FindString(hint) == hint {
		lines[at] = anyKey.ReplaceAllString(lines[at], hint)
		y.text = strings.Join(lines, "\n")
		return true
	}
	if m := wordForm.FindStringSubmatch(hint); m != nil { // of a list
		rest := []rune(lines[at])[f.Column-1:]
		at, head := element.FindStringIndex(string(rest)), lines[at][:len(lines[at])-len(string(rest))]
		if at == nil || at[0] > 0 {
			return false
		}
		lines[f.Line-1] = head + `"` + strings.Trim(m[1], `"`) + `"` + string(rest)[at[1]:]
		y.text = strings.Join(lines, "\n")
		return true
	}
	typed := false
	for hint != "" {
		m := lineForm.FindStringSubmatch(hint)
		if m == nil {
			return typed
		}
		lines = setLine(lines, at, m[1], m[1]+" = "+m[2])
		typed = true
		if m[3] != "with" && m[3] != "and" {
			break
		}
		hint = hint[len(m[0]):]
	}
	y.text = strings.Join(lines, "\n")
	return typed
}

// setLine puts a line in the place of its key in the table of another line.
func setLine(lines []string, at int, key, line string) []string {
	from, to := at, at+1
	for from > 0 && !headerLine.MatchString(lines[from]) {
		from--
	}
	for to < len(lines) && !headerLine.MatchString(lines[to]) {
		to++
	}
	has := regexp.MustCompile(`^\s*` + key + `\s*=`)
	if has.MatchString(lines[at]) { // there may be two
		from, to = at, at+1
	}
	for i := from; i < to; i++ {
		if has.MatchString(lines[i]) {
			lines[i] = line
			return lines
		}
	}
	if headerLine.MatchString(lines[from]) {
		from++
	}
	return slices.Insert(lines, from, line)
}

// same reports whether a fault is among others, in the same line.
func same(faults Faults, f Fault) bool {
	return slices.ContainsFunc(faults, func(one Fault) bool { return one.What == f.What && one.Line == f.Line })
}

// followsHints types the hints of a shoot file one after the other until there
// are none, and says what went wrong on the way.
func followsHints(t testing.TB, text string) (hints int, wrong string) {
	y := &typist{text: text}
	const most = 40
	for range most {
		faults := y.faults(t)
		if len(faults) == 0 {
			return hints, ""
		}
		f := faults[0]
		hints++
		if !y.heed(f) {
			return hints, fmt.Sprintf("nothing to type: %v\n    hint: %s", f, f.Hint)
		}
		if after := y.faults(t); same(after, f) {
			return hints, fmt.Sprintf("it did not help: %v\n    hint: %s\n%s", f, f.Hint, y.text)
		}
	}
	return hints, "no end: " + y.faults(t).Error()
}

// share is what part of a long list is tried, one in so many, where long tests are
// not asked for.
func share(one int) int {
	switch os.Getenv("EVENFALL_LONG") {
	case "":
		return one
	case "1":
		return max(1, one/4)
	}
	return 1
}

// Each hint is typed where it says, and is then heard of no more: every key with
// every wrong value, in the place of what it may be.
func TestEveryHintOfAFileWorks(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	tried, hints, n, part := 0, 0, 0, share(24)
	follow := func(text, name, value string) {
		if n++; n%part != 0 {
			return
		}
		some, wrong := followsHints(t, text)
		assert.Empty(t, wrong, "%s = %s", name, value)
		tried++
		hints += some
	}
	for _, k := range table {
		if k.Name == "" {
			continue
		}
		for _, value := range wrongValues {
			follow(withLine(k.Section, k.Name, k.Name+" = "+value), k.Section+"."+k.Name, value)
		}
	}
	for _, kind := range slices.Sorted(maps.Keys(kindsOfKit)) {
		lines := kindsOfKit[kind]
		for i, line := range lines {
			key, _, _ := strings.Cut(line, " ")
			for _, value := range wrongValues {
				changed := slices.Clone(lines)
				changed[i] = key + " = " + value
				follow(somewhere+"[[kit."+kind+"]]\n"+strings.Join(changed, "\n")+"\n", "kit."+kind+"."+key, value)
			}
		}
	}
	t.Logf("%d values, %d hints typed", tried, hints)
}

// So it is with several wrong values in one file, and with a key that does not
// belong there.
func TestHintsOfManyFaultsWork(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	const seed = 13
	random := rand.New(rand.NewPCG(seed, seed))
	base := strings.Split(string(DemoFile()), "\n")
	var keys []int // the lines with a key
	for i, line := range base {
		if lineForm.MatchString(strings.TrimSpace(strings.Split(line, "#")[0])) {
			keys = append(keys, i)
		}
	}
	require.Greater(t, len(keys), 30)
	hints, files := 0, 2400/share(12)
	for range files {
		lines := slices.Clone(base)
		for range 1 + random.IntN(5) {
			at := keys[random.IntN(len(keys))]
			key, _, _ := strings.Cut(lines[at], " ")
			if other := table[random.IntN(len(table))]; other.Name != "" && random.IntN(4) == 0 && at > keys[1] {
				key = other.Name // but for what a section is called
			}
			lines[at] = key + " = " + wrongValues[random.IntN(len(wrongValues))]
		}
		text := strings.Join(lines, "\n")
		some, wrong := followsHints(t, text)
		assert.Empty(t, wrong, "%s", text)
		hints += some
	}
	t.Logf("%d files, %d hints typed", files, hints)
}
