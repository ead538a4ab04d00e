package shootfile

import (
	"strings"
	"testing"

	"evenfall/internal/scene"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseVariation(t *testing.T) {
	for text, want := range map[string][]string{
		"units=1,2,4":                  {"units", "1", "2", "4"},
		" --units = 1 , 2":             {"units", "1", "2"},
		"Facing=backlit,front":         {"facing", "backlit", "front"},
		"oktas=0,8":                    {"okta", "0", "8"},
		"background=-1.5,0":            {"background", "-1.5", "0"},
		"from=17:30,sunset-1h30m":      {"from", "17:30", "sunset-1h30m"},
		"modifier=bare,softbox-60x90":  {"modifier", "bare", "softbox-60x90"},
		"date=18 September 2027,today": {"date", "18 September 2027", "today"},
	} {
		v, err := ParseVariation(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, append([]string{v.Key.Flag}, v.Values...), text)
	}
}

// variedFaults are the faults of --vary over the demonstration, a line each.
func variedFaults(t *testing.T, text string, flags ...string) string {
	d, err := Demo()
	require.NoError(t, err)
	for i := 0; i+1 < len(flags); i += 2 {
		d.Set(flags[i], flags[i+1])
	}
	v, err := ParseVariation(text)
	if err == nil {
		_, err = d.ResolveEach(v, environment(t))
	}
	require.Error(t, err, text)
	return err.Error()
}

// What is wrong is said of --vary, with all values put right in the hint.
func TestFaultsOfVary(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"unit=1,2", "--vary \"unit\" is no flag of a shoot\nhint: --vary units=1,2"},
		{"units", "--vary units has no values\nhint: --vary units=1,2,4"},
		{"facing=", "--vary facing= has no values\nhint: --vary facing=backlit,front"},
		{"units=3", "--vary units=3 sets one value beside no other\nhint: --units 3 without --vary"},
		{"units=2,1,2", "--vary units=2,1,2 has a value twice\nhint: --vary units=2,1"},
		{"ratio=2,3,4,5,6,7,8,9,10,11,12,13,14", "--vary ratio has 13 values, more than 12\nhint: --vary ratio=2,3,4,5,6,7,8,9,10,11,12,13"},
		{"method=sync,nd", "--vary method: compare without --vary sets the methods side by side\nhint: --method sync,nd without --vary"},
		{"at=1,2", "--vary at: its value has a comma of its own, and is planned alone\nhint: --at 54.33,10.15 without --vary"},
		{"units=x,15,2", "--vary units: \"x\" is not a number\nhint: --vary units=2,12\n--vary units=15: must be 1 to 12\nhint: --vary units=2,12"},
		{"distance=1,,2", "--vary distance: \"\" is empty\nhint: --vary distance=1,1.5,2"},
		{"background=-1.5,99", "--vary background=99: must be -8 to 8\nhint: --vary background=-1.5,8"},
		{"date=2027-02-30,2027-09-18", "--vary date=2027-02-30 is not a date\nhint: --vary date=2027-02-28,2027-09-18"},
	} {
		assert.Equal(t, c.want, variedFaults(t, c.text), c.text)
	}
	assert.Contains(t, variedFaults(t, "=1,2"), "--vary \"\" is no flag of a shoot\nhint: --vary units=1,2,4; what can be varied is ")
	assert.Contains(t, variedFaults(t, "modifier=bare,softbx"), "--vary modifier: unknown modifier \"softbx\"\nhint: --vary modifier=bare,softbox-60x90")
	assert.Equal(t, "--vary units cannot be combined with --units\nhint: --vary units=1,2 without --units",
		variedFaults(t, "units=1,2", "units", "4"))
	assert.Contains(t, variedFaults(t, "background=-1,0", "background-at-most", "1"), "cannot be combined with --background-at-most")
	assert.Contains(t, variedFaults(t, "from=17:30,23:00"), "(with --from 23:00)")
}

// Each shoot is as the flag would make it, and the document stays as it was.
func TestResolveEach(t *testing.T) {
	values := map[string]string{
		"ground": "sand,grass", "figure": "head and shoulders,full length", "camera": "full-frame-200,crop-250", "wind": "2,force 5",
		"units": "1,2,4", "distance": "1,2.5", "aperture": "2,4", "ratio": "2,3:1", "background": "-1.5,0",
		"background-at-most": "0.5,any", "facing": "backlit,front,NW,120", "sky": "clear,broken", "okta": "0,8", "turbidity": "2,5",
		"from": "17:30,sunset-1h", "to": "sunset,sunset+20m", "date": "2027-09-18,2027-06-18", "flash": "speedlight-60,compact-36",
		"modifier": "bare,softbox-60x90", "gel": "none,match", "flash-angle": "-30,0,30", "fill": "none,speedlight-60",
		"focal-length": "50,85", "bias": "0,0.3",
		"elevation": "0,500", "tz": "Europe/Berlin,UTC+1", "step": "5m,10m", "cue-step": "1/3,2/3",
	}
	for _, k := range Flags() {
		// The demonstration's modifier sets the zoom, and there are no saved places.
		if k.List || k.Flag == "at" || k.Flag == "skyline" || k.Flag == "zoom" || k.Flag == "place" {
			continue
		}
		require.NotEmpty(t, values[k.Flag], k.Flag)
		v, err := ParseVariation(k.Flag + "=" + values[k.Flag])
		require.NoError(t, err)
		d, err := Demo()
		require.NoError(t, err)
		before, err := d.Resolve(environment(t))
		require.NoError(t, err)
		shoots, err := d.ResolveEach(v, environment(t))
		require.NoError(t, err, k.Flag)
		require.Len(t, shoots, len(v.Values))
		for i, value := range strings.Split(values[k.Flag], ",") {
			alone, err := Demo()
			require.NoError(t, err)
			alone.Set(k.Flag, value)
			want, err := alone.Resolve(environment(t))
			require.NoError(t, err)
			assert.Equal(t, want, shoots[i], "%s %s", k.Flag, value)
		}
		assert.NotEqual(t, shoots[0], shoots[1], k.Flag)
		after, err := d.Resolve(environment(t))
		require.NoError(t, err)
		assert.Equal(t, before, after, "%s leaves the document alone", k.Flag)
	}
	d, err := Demo()
	require.NoError(t, err)
	v, err := ParseVariation("facing=front,left")
	require.NoError(t, err)
	shoots, err := d.ResolveEach(v, environment(t))
	require.NoError(t, err)
	assert.Equal(t, scene.LeftLit, shoots[1].Subject.Facing.Side)
}

// Steps of cues, in a file and by flag.
func TestCueStep(t *testing.T) {
	assert.InDelta(t, 2./3, float64(resolved(t, somewhere).Pace.Step()), 1e-9)
	assert.InDelta(t, 1./3, float64(resolved(t, somewhere+"[pace]\ncue_step = '1/3'\n").Pace.Step()), 1e-9)
	faults := faultsOf(t, somewhere+"[pace]\ncue_step = '1/2'\n")
	require.Len(t, faults, 1)
	assert.Equal(t, `pace.cue_step = "1/2" is neither 1/3 nor 2/3 of a stop`, faults[0].What)
	assert.Equal(t, `cue_step = "2/3"`, faults[0].Hint)
	s, err := overridden(t, "cue-step", "1/3")
	require.NoError(t, err)
	assert.InDelta(t, 1./3, float64(s.Pace.Step()), 1e-9)
	_, err = overridden(t, "cue-step", "1")
	assert.ErrorContains(t, err, "--cue-step 1 is neither 1/3 nor 2/3 of a stop\nhint: --cue-step 2/3")
}

// Whatever is typed after --vary is a variation or a fault with a hint.
func FuzzVariation(f *testing.F) {
	for _, text := range []string{"units=1,2,4", "facing=backlit,x", "at=1,2", "=", "from=sunset,17:30", "units=\x00,1", "date=1 May 2027,2"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := ParseVariation(text)
		if err == nil {
			assert.GreaterOrEqual(t, len(v.Values), 2)
			assert.LessOrEqual(t, len(v.Values), mostValues)
			var d *Document
			d, err = Demo()
			require.NoError(t, err)
			_, err = d.ResolveEach(v, environment(t))
		}
		if err != nil {
			require.IsType(t, Faults{}, err)
			for _, one := range err.(Faults) {
				assert.NotEmpty(t, one.What)
				assert.NotContains(t, one.What+one.Hint, "\x00")
			}
		}
	})
}
