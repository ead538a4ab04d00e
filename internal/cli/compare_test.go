package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The demonstration's comparison worked again by hand, from what its shoot
// states of the kit: two flashes of GN 28 at 24 mm, where the softbox sets the
// head (Olympus FL-50 instruction manual), at 1.5 m, less 0.7 stop outdoors, 1.5
// of the softbox and 0.3 of the gel; 85 mm on 24 x 36 held upright, head and
// shoulders of 0.5 m filling its short side; 150 full flashes a set.
//
// Relations: H = 250 N^2 / S (ISO 2720), H = 2.5 GN^2 p n / (d^2 + r^2) for a
// face of equal area to a disc of radius r, high-speed loss log2(16 ms / t),
// cos(45 -+ phi) of the flash on the two sides of the face, blur f / N * m by
// similar triangles.
func TestCompareDemonstrationByHand(t *testing.T) {
	var out, errs bytes.Buffer
	Run(context.Background(), Process{
		Args: []string{"compare", "--format",
			"json"}, Stdout: &out, Stderr: &errs, Getenv: func(string) string { return "" }, Now: noon,
	})
	var page struct {
		Moments []struct {
			Name    string `json:"moment"`
			Methods []struct {
				picture
				Blur   float64  `json:"blur_share"`
				Frames *float64 `json:"frames_per_set"`
			} `json:"methods"`
		} `json:"moments"`
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &page), errs.String())
	require.NotEmpty(t, page.Moments)

	sync := math.Exp2(-46. / 6)            // 1/200 on a camera of third stops
	nearField := 1.5*1.5 + 0.6*0.9/math.Pi // the softbox as a disc of its area
	full := 2.5 * 28 * 28 * 2 / nearField * math.Exp2(-(0.7 + 1.5 + 0.3))
	magnification := 24 / 500.
	compared := 0
	for _, moment := range page.Moments {
		require.Equal(t, "sync", moment.Methods[0].Method)
		for _, m := range moment.Methods {
			where := moment.Name + ", " + m.Method
			require.NotNil(t, m.Background, where)
			// At one moment all have the same sky behind, but for their settings.
			first := &moment.Methods[0]
			assert.InDelta(t, first.ev()-m.ev(), *m.Background-*first.Background, 2e-3, where)
			assert.InDelta(t, 85/m.ApertureExact*magnification/24, m.Blur, 2e-4, where)
			if m.Role == "none" {
				continue
			}
			available := full
			if m.Seconds < sync-1e-9 {
				available *= m.Seconds / 0.016
			}
			require.NotNil(t, m.Power, where)
			require.NotNil(t, m.Headroom, where)
			require.NotNil(t, m.Frames, where)
			assert.InEpsilon(t, available**m.Power, m.Flash, 1e-4, where)
			phi := m.Angle * math.Pi / 180
			key := m.Key*m.Seconds + available**m.Power*math.Cos(math.Pi/4-phi)
			shadow := m.Shadow*m.Seconds + available**m.Power*math.Cos(math.Pi/4+phi)
			assert.InEpsilon(t, key/shadow, m.Ratio, 1e-3, where)
			assert.InDelta(t, math.Log2(key*m.ISOExact/(250*m.ApertureExact*m.ApertureExact))-m.ND, m.Exposure, 2e-3, where)
			if m.Outcome != "missed" {
				assert.InDelta(t, -math.Log2(*m.Power), *m.Headroom, 2e-3, where)
			}
			assert.InEpsilon(t, 150 / *m.Power, *m.Frames, 1e-2, where)
			compared++
		}
	}
	t.Logf("%d pictures at %d moments worked again", compared, len(page.Moments))
	assert.Greater(t, compared, 15)
}
