package shootfile

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The keys that are read are those of the table, in every section.
func TestTableHasAllKeys(t *testing.T) {
	keysHere := regexp.MustCompile(`the keys here are (.*)`)
	for _, section := range []string{"place", "when", "sky", "wind", "subject", "look", "camera", "lens", "flash", "fill",
		"rim", "scrim", "reflector", "shade", "filters", "pace", "schedule"} {
		head := "[" + section + "]\n"
		if section == "sky" {
			head = "[[sky]]\n"
		}
		text := somewhere + head
		if section == "place" {
			text = somewhere
		}
		faults := faultsOf(t, text+"xyzzyqqq = 1\n")
		at := slices.IndexFunc(faults, func(f Fault) bool { return strings.HasPrefix(f.What, "unknown key") })
		require.GreaterOrEqual(t, at, 0, section)
		m := keysHere.FindStringSubmatch(faults[at].Hint)
		require.NotNil(t, m, "%v", faults[at])
		var known []string
		for _, k := range table {
			if k.Section == section && k.Name != "" || (section == "fill" || section == "rim") && k.Section == "flash" {
				known = append(known, k.Name)
			}
		}
		if section == "sky" {
			known = append(known, "from") // as that of the window
		}
		for _, key := range strings.Split(strings.ReplaceAll(m[1], " or ", ", "), ", ") {
			assert.Contains(t, known, key, section)
		}
	}
}

// The example of every flag is read, and every flag has what help says of it.
func TestFlagsOfTheTable(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range Flags() {
		assert.False(t, seen[k.Flag], "%s twice", k.Flag)
		seen[k.Flag] = true
		assert.NotEmpty(t, k.Help, k.Flag)
		assert.NotEmpty(t, k.Value, k.Flag)
		d := Defaults()
		if k.Flag != "place" {
			d.Set("at", "54.33,10.15")
		}
		d.Set("tz", "Europe/Berlin")
		d.Set(k.Flag, k.Example)
		env := environment(t)
		env.Places = somePlaces(t)
		_, err := d.Resolve(env)
		if k.Flag == "at" {
			continue // leaves the zone to be said again
		}
		assert.NoError(t, err, "--%s %s", k.Flag, k.Example)
		assert.Empty(t, d.faults, k.Flag)
	}
	assert.Greater(t, len(seen), 20)
}

// Without a file what flags leave open is as in any shoot that leaves it out,
// and nothing of the demonstration.
func TestPlainDefaults(t *testing.T) {
	d := Defaults()
	for flag, value := range map[string]string{"at": "48.2,16.37", "tz": "Europe/Vienna", "date": "2027-05-03"} {
		d.Set(flag, value)
	}
	s, err := d.Resolve(environment(t))
	require.NoError(t, err)
	want := resolved(t, somewhere)
	want.Name, want.Kit = "", s.Kit
	assert.Equal(t, want, s)
	assert.Equal(t, 0.2, s.Place.Ground)
	assert.Empty(t, s.Filters)
	assert.Nil(t, s.Scrim)
	assert.Nil(t, s.Reflector)
	assert.Equal(t, 0.5, s.Shade.SkyShare)
}

// Where nothing can be edited, hints are flags.
func TestFaultsOfPlainDefaults(t *testing.T) {
	d := Defaults()
	for flag, value := range map[string]string{"at": "69.65,18.96", "tz": "Europe/Oslo", "date": "2027-06-21"} {
		d.Set(flag, value)
	}
	_, err := d.Resolve(environment(t))
	assert.EqualError(t, err, "--from: 2027-06-21 has no sunset here: the sun does not set\nhint: --from 20:00\n"+
		"--to: 2027-06-21 has no sunset here: the sun does not set\nhint: --to 22:00")
}

func TestCaseIsFolded(t *testing.T) {
	for _, pair := range [][2]string{
		{"sky", "Clear"}, {"method", "HSS,Scrim+HSS"}, {"facing", "BackLit"}, {"modifier",
			"Softbox-60x90"}, {"flash", "SPEEDLIGHT-60"},
		{"gel", "Half-CTO"}, {"gel", "NONE"}, {"gel", "Match"}, {"tz", "europe/berlin"}, {"date",
			"Today"}, {"from", "Sunset-1H"},
	} {
		upper, err := overridden(t, pair[0], pair[1])
		require.NoError(t, err, "%v", pair)
		lower, err := overridden(t, pair[0], strings.ToLower(pair[1]))
		require.NoError(t, err, "%v", pair)
		assert.Equal(t, lower, upper, "%v", pair)
	}
	for _, text := range []string{
		"methods = ['HSS']", "[camera]\nkit = 'Full-Frame-200'", "[[sky]]\ncondition = 'Overcast'",
		"[subject]\nfigure = 'Full Length'",
		"[scrim]\nkit = 'Panel-120x180'", "[filters]\nkit = ['ND-3']", "[place]\nground = 'Grass'",
		"[flash]\ngel = 'match'\ngels = ['Half-CTO']",
	} {
		if strings.HasPrefix(text, "[place]") {
			resolved(t, somewhere+strings.TrimPrefix(text, "[place]\n"))
			continue
		}
		if strings.HasPrefix(text, "methods") {
			resolved(t, text+"\n"+somewhere)
			continue
		}
		resolved(t, somewhere+text)
	}
}

func TestMethodsInAnyOrder(t *testing.T) {
	for name, want := range map[string]string{
		"hss+scrim": "scrim+hss", "scrim+hss": "scrim+hss", "HSS + nd": "nd+hss", "hss+nd+scrim": "scrim+nd+hss",
		"Sync": "sync", "Open-Shade": "open-shade", "reflector": "reflector", "reflector + sync": "reflector+sync",
		"sync+reflector": "reflector+sync",
	} {
		m, ok := methodNamed(name)
		assert.True(t, ok, name)
		assert.Equal(t, want, m.String())
	}
	for _, name := range []string{"", "sync+hss", "hss+", "hss+x", "+", "reflector+hss", "open-shade+sync", "shade"} {
		_, ok := methodNamed(name)
		assert.False(t, ok, name)
	}
}

// Other units than the flag's are turned into it, by the definition of the
// foot and the inch (international yard, 1959).
func TestUnitsOfFlags(t *testing.T) {
	for _, c := range []struct{ flag, value, hint string }{
		{"distance", "6ft", "--distance 1.83"}, {"distance", "6'", "--distance 1.83"}, {"distance", "5 feet",
			"--distance 1.52"},
		{"distance", "60in", "--distance 1.52"}, {"distance", "150cm", "--distance 1.5"}, {"distance", "1,5m",
			"--distance 1.5"},
		{"elevation", "1000ft", "--elevation 304.8"}, {"zoom", "50mm", "--zoom 50"}, {"ratio", "3ft", "--ratio 3"},
	} {
		_, err := overridden(t, c.flag, c.value)
		var faults Faults
		require.ErrorAs(t, err, &faults, "%v", c)
		require.Len(t, faults, 1)
		assert.Equal(t, c.hint, faults[0].Hint, c.value)
	}
}

// Words that the shell took apart are put together again where they make a
// value.
func TestRejoined(t *testing.T) {
	for _, c := range []struct {
		flag, words, want string
	}{
		{"at", "38.7 -9.4", "--at 38.7,-9.4"}, {"at", "38.7, -9.4", "--at 38.7,-9.4"}, {"from", "5 pm", "--from 17:00"},
		{"date", "19 June 2027", "--date 2027-06-19"}, {"date", "June 19, 2027", "--date 2027-06-19"},
		{"at", "38.7 x", ""}, {"from", "5 km", ""}, {"date", "19 June", "--date '19 June'"}, {"date", "19 Juno", ""}, {"at", "38.7", ""}, {"shoot", "a b",
			""}, {"modifier", "bare x", ""},
	} {
		assert.Equal(t, c.want, Rejoined(c.flag, strings.Fields(c.words)), c.words)
	}
}

// What is typed by a hint is one word to a shell, and nothing in it is run.
func TestTyped(t *testing.T) {
	for value, want := range map[string]string{
		"harbour.toml": "harbour.toml", "two words.toml": "'two words.toml'", "$(date)": "'$(date)'",
		"it's": `'it'\''s'`, "": "''",
		"a\"b": `'a"b'`, "sunset-2h": "sunset-2h", "`x`": "'`x`'", "a\x1b[31m": `'a\u001b[31m'`,
	} {
		assert.Equal(t, want, Typed(value))
	}
}

// The same fault is told once, and one that a flag hides nothing of the file's.
func TestFaultsOnceAndTogether(t *testing.T) {
	twice := Faults{{What: "a", Line: 2}, {What: "b", Line: 1}, {What: "a", Line: 2}}
	assert.Equal(t, Faults{{What: "b", Line: 1}, {What: "a", Line: 2}}, twice.inOrder())

	d, err := Parse("shoot.toml", []byte(somewhere+"[lens]\naperture = 99\n"))
	require.NoError(t, err)
	d.Set("ratio", "three")
	d.Set("distance", "far")
	_, err = d.Resolve(environment(t))
	var faults Faults
	require.ErrorAs(t, err, &faults)
	assert.Len(t, faults, 3)
}

func TestUTF16(t *testing.T) {
	for _, data := range []string{"\xff\xfen\x00", "\xfe\xff\x00n", "n\x00a\x00m\x00e\x00", "\x00n\x00a\x00m\x00e"} {
		_, err := Parse("shoot.toml", []byte(data))
		assert.ErrorContains(t, err, "shoot.toml: is saved as UTF-16", "%q", data)
	}
}
