//go:build linux

package cli

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"evenfall/internal/shoot"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// usual is a shoot of the usual methods and kit in steps as small as they may be.
const usual = `[place]
latitude_deg = 54.33
longitude_deg = 10.15
time_zone = "Europe/Berlin"
[when]
date = "2027-06-21"
from = "00:00"
to = "23:59"
step_minutes = 0.725
[[sky]]
condition = "broken"
[lens]
focal_length_mm = 85
widest = 1.0
narrowest = 64
aperture = 2.8
[flash]
distance_m = 100
[filters]
nd_stops = [0.5, 1.7, 2.9, 4.1, 5.3, 6.5, 7.7, 8.9, 10.1, 11.3, 12.5, 13.7]
`

// costly writes shoots that cost about as much as any that is not refused: all
// methods under a broken sky through a day, in steps as small as they may be,
// twelve filters, a look that is missed; what else they have is given.
func costly(sky, look, flash, more string) string {
	var methods, filters []string
	for _, m := range shoot.AllMethods {
		methods = append(methods, `"`+m.String()+`"`)
	}
	for i := range 12 {
		filters = append(filters, fmt.Sprintf("%.1f", 0.5+1.2*float64(i)))
	}
	return "methods = [" + strings.Join(methods, ", ") + "]\n" +
		"[place]\nlatitude_deg = 54.33\nlongitude_deg = 10.15\ntime_zone = \"Europe/Berlin\"\n" + horizon() +
		"[when]\ndate = \"2027-06-21\"\nfrom = \"00:00\"\nto = \"23:59\"\nstep_minutes = 10.7\n" + sky +
		"[subject]\nfigure = \"full length\"\n[look]\nratio = 3\n" + look +
		"[lens]\nfocal_length_mm = 85\nwidest = 1.0\nnarrowest = 64\naperture = 2.8\n" +
		"[flash]\nmodifier = \"softbox-60x90\"\n" + flash +
		"[scrim]\nkit = \"panel-120x180\"\n[reflector]\nkit = \"white-100x100\"\n" +
		"[filters]\nnd_stops = [" + strings.Join(filters, ", ") + "]\n" + more
}

// horizon is a skyline of as many points as there may be.
func horizon() string {
	var points []string
	for i := range 720 {
		points = append(points, fmt.Sprintf("[%g, %d]", float64(i)/2, i%2))
	}
	return "horizon_deg = [" + strings.Join(points, ", ") + "]\n"
}

// many are tables of kit, as many as fill a file.
func many(table string, room int) string {
	var b strings.Builder
	for i := 0; b.Len() < room; i++ {
		fmt.Fprintf(&b, table, i, 0.2+float64(i)/700)
	}
	return b.String()
}

// The slowest input that is not refused takes less than 5 s on two cores, which is
// 10 s of work, and 150 MB.
func TestCostHasBounds(t *testing.T) {
	t.Parallel()
	if os.Getenv("EVENFALL_LONG") == "" {
		t.Skip("EVENFALL_LONG=1 plans the costliest shoots, EVENFALL_LONG=2 all that cost much")
	}
	const room = 40 << 10
	broken := "[[sky]]\ncondition = \"broken\"\n"
	spans := broken
	for i := 1; i < 100; i++ {
		spans += fmt.Sprintf("[[sky]]\nfrom = \"%02d:%02d\"\ncondition = %q\n", i*14/60, i*14%60,
			[...]string{"broken", "clear"}[i%2])
	}
	far := "kit = \"speedlight-60\"\ndistance_m = 100\n"
	near := "kit = \"strobe-400\"\nunits = 12\ndistance_m = 2\n"
	fill := "[fill]\nkit = \"compact-36\"\ndistance_m = 5\n[rim]\nkit = \"speedlight-60\"\n"
	const flash = "[[kit.flash]]\nname = \"f%d\"\nguide_number_m = 2%g\nguide_number_zoom_mm = 0\n"
	flashes := many(flash, room)
	panels := many("[[kit.reflector]]\nname = \"r%d\"\nwidth_m = 1\nlength_m = %g\nsurface = \"white\"\n", room)
	modifiers := many("[[kit.modifier]]\nname = \"m%d\"\nloss_stops = %g\nsize_m = 1\n", room)
	moments := make([]string, mostMoments)
	for i := range moments {
		moments[i] = fmt.Sprintf("%02d:%02d", i*28/60, i*28%60)
	}
	folder, program := t.TempDir(), binary(t)
	costliest := []string{"coarse clicks", "flashes", "small steps", "page"}
	for name, c := range map[string]struct {
		text string
		args []string
	}{
		"flashes":   {costly(broken, "", far, flashes), []string{"timeline", "--format", "json"}},
		"panels":    {costly(broken, "background_stops = -8\n", far, panels), []string{"timeline"}},
		"modifiers": {costly(spans, "", far, modifiers), []string{"cues"}},
		"fill":      {costly(broken, "background_stops = -1\n", near, fill), []string{"timeline", "--full"}},
		"coarse clicks": {costly(broken, "background_stops = -8\n", "kit = \"compact-36\"\ndistance_m = 100\n", fill),
			[]string{"cues"}},
		"fill and kit": {costly(spans, "background_stops = -8\n", near, fill+many(flash, room/2)), []string{"explain"}},
		"moments":      {costly(broken, "", far, flashes), []string{"compare", "--moment", strings.Join(moments, ",")}},
		"small steps":  {usual, []string{"timeline", "--format", "json"}},
		"columns":      {usual, []string{"timeline", "--format", "csv"}},
		"page":         {costly(broken, "", far, fill), []string{"sheet"}},
		"values": {costly(broken, "", near, fill), []string{"compare", "--from", "00:00", "--to", "13:00", "--vary",
			"bias=-1,0,1"}},
	} {
		if os.Getenv("EVENFALL_LONG") == "1" && !slices.Contains(costliest, name) {
			continue
		}
		file := filepath.Join(folder, "shoot.toml")
		require.NoError(t, os.WriteFile(file, []byte(c.text), 0o600), name)
		cmd := exec.Command(program, append(c.args, "--shoot", file)...)
		cmd.Dir = folder
		var out bytes.Buffer
		cmd.Stdout = &out
		started := time.Now()
		require.NoError(t, cmd.Start())
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		most, err := watch(cmd.Process.Pid, ended)
		if err != nil {
			require.Equal(t, exitOutOfReach, cmd.ProcessState.ExitCode(), "%s: %v", name, err)
		}
		work := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		t.Logf("%s: %v of work in %v, %d MB, wrote %d kB", name, work.Round(10*time.Millisecond),
			time.Since(started).Round(10*time.Millisecond), most, out.Len()>>10)
		assert.Greater(t, most, 10, "%s: what it has in memory was seen", name)
		assert.Less(t, work, 10*time.Second, "%s", name)
		assert.Less(t, most, 150, "%s", name)
	}
}

// watch waits for the end of a process and returns the most memory that it had, in
// MB. What the kernel tells of a process that has ended counts the memory of the one
// that started it, so it is asked for again and again while it runs.
func watch(pid int, ended <-chan error) (most int, err error) {
	status := fmt.Sprintf("/proc/%d/status", pid)
	for {
		text, _ := os.ReadFile(status) // none once it has ended
		if m := highest.FindSubmatch(text); m != nil {
			kilobytes, _ := strconv.Atoi(string(m[1])) // digits, by the form
			most = kilobytes >> 10
		}
		select {
		case err := <-ended:
			return most, err
		case <-time.After(5 * time.Millisecond):
		}
	}
}

// highest is the most memory that a process had so far.
var highest = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)
