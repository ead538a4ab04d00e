package cli

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whatever is typed is refused, or every picture of the plan can be worked out
// again from its JSON and is what it says; the JSON keeps to the contract.
func FuzzPlans(f *testing.F) {
	f.Add(54.33, 10.15, 0.0, 100, 1080, 120.0, 3.0, 0.0, 1.5, 2.8, 2.0, 30.0, uint64(0))
	f.Add(69.65, 18.96, 400.0, 170, 1430, 310.0, 2.0, -0.7, -1.5, 1.8, 0.5, -20.0, uint64(0x123456789))
	f.Add(-33.86, 151.21, 0.0, 355, 700, 0.0, 8.0, 1.0, 8.0, 16.0, 8.0, 45.0, uint64(0xfedcba987654))
	f.Add(90.0, 0.0, 8000.0, 80, 5, 250.0, 1.1, -5.0, 0.0, 5.6, 100.0, 0.0, uint64(0x5555555555))
	f.Add(-0.1, -179.9, -430.0, 1, 360, 45.0, 20.0, 5.0, -8.0, 9.0, 0.2, -45.0, uint64(0xaaaaaaaaaa))
	f.Fuzz(func(t *testing.T, latitude, longitude, elevation float64, day, minute int, facing, ratio, bias, background,
		aperture, distance, angle float64, picks uint64) {
		l := drawn(latitude, longitude, elevation, day, minute, facing, ratio, bias, background, aperture, distance, angle, picks)
		file := filepath.Join(t.TempDir(), "shoot.toml")
		require.NoError(t, os.WriteFile(file, []byte(l.toml), 0o600))
		var stdout, stderr bytes.Buffer
		code := Run(context.Background(), Process{
			Args:   append([]string{"timeline", file, "--format", "json"}, l.args...),
			Stdout: &stdout, Stderr: &stderr, Getenv: func(string) string { return "" }, Now: noon,
		})
		if code == exitUsage {
			assert.Contains(t, stderr.String(), "hint: ", "%v", l.args)
			return
		}
		require.Contains(t, []int{exitDone, exitOutOfReach}, code, "%v: %s", l.args, &stderr)
		k := &reckoning{outcomes: map[string]int{}, problems: map[string]int{}}
		k.plan(t, &l, stdout.Bytes())
		honour(t, []line{l}, [][]byte{stdout.Bytes()})
	})
}

// drawn makes a command line of numbers: three moments of a quarter of an hour, by
// all methods.
func drawn(latitude, longitude, elevation float64, day, minute int, facing, ratio, bias, background, aperture, distance,
	angle float64, picks uint64) line {
	pick := func(n uint64) int {
		k := picks % n
		picks /= n
		return int(k)
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	zone := fmt.Sprintf("Etc/GMT%+d", -int(math.Round(max(-180, min(longitude, 180))/15))) // its signs are turned round
	date := time.Date(1950, time.January, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(uint(day)%55000))
	from := int(uint(minute) % 1440)
	clock := func(m int) string { return fmt.Sprintf("%02d:%02d", m/60%24, m%60) }
	body := [...]camera{thirds, halves, full, wholeAndThirds}[pick(4)]
	l := line{camera: body, slowest: 6, angle: pick(2) == 0}
	l.toml = body.toml + "[lens]\nwidest = 1.4\nnarrowest = 16\nslowest = \"1/60\"\n[flash]\n" + [...]string{
		"kit = \"speedlight-60\"\n", "kit = \"compact-36\"\nmodifier = \"white-umbrella\"\n",
		"kit = \"strobe-400\"\nunits = 2\nmodifier = \"octa-150-double\"\ngel = \"full-cto\"\n",
		"kit = \"speedlight-60\"\nunits = 4\nzoom_mm = 200\nmodifier = \"bare\"\nderate_stops = 0\n",
	}[pick(4)] + [...]string{"", "[scrim]\nkit = \"panel-120x180\"\n[filters]\nnd_stops = [3, 6]\n",
		"[scrim]\nkit = \"overhead-240x240\"\nheight_m = 1.2\n[filters]\nnd_stops = [1.5, 10]\n" +
			"[reflector]\nkit = \"silver-100x100\"\n"}[pick(3)]
	look := [...]string{"--background=" + number(background), "--background-at-most=" + number(background),
		"--background-at-most=any"}[pick(3)]
	sky := [...]string{"--sky=clear", "--sky=hazy", "--sky=thin", "--sky=broken", "--sky=overcast", "--sky=heavy",
		"--okta=" + number(math.Mod(math.Abs(elevation), 8)), "--turbidity=" + number(1+math.Mod(math.Abs(elevation), 9))}[pick(8)]
	l.args = []string{"--at=" + number(latitude) + "," + number(longitude), "--tz=" + zone, "--elevation=" + number(elevation),
		"--date=" + date.Format(time.DateOnly), "--from=" + clock(from), "--to=" + clock(from+15), "--step=7m",
		"--facing=" + number(facing), "--ratio=" + number(ratio), "--bias=" + number(bias), look, sky,
		"--aperture=" + number(aperture), "--distance=" + number(distance),
		"--method=sync,hss,nd,scrim,scrim+hss,scrim+nd,nd+hss,scrim+nd+hss,open-shade,reflector,reflector+sync"}
	if l.angle {
		l.args = append(l.args, "--flash-angle="+number(angle))
	}
	if !strings.Contains(l.toml, "[reflector]") && pick(4) == 0 {
		l.toml += "[fill]\nkit = \"speedlight-60\"\nangle_deg = -10\n"
	}
	return l
}
