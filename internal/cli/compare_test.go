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

// The demonstration's comparison worked again by hand, from what its page
// states of the kit: two flashes of GN 28 at 24 mm, where the softbox sets the
// head (Olympus FL-50 instruction manual), at 2 m, less 0.7 stop outdoors, 1.5
// of the softbox and 0.3 of the gel; 85 mm on 36 x 24, head and shoulders of
// 0.55 m filling the frame's height; 150 full flashes a set.
//
// Relations: H = 250 N^2 / S (ISO 2720), H = 2.5 GN^2 n / d^2, high-speed loss
// log2(16 ms / t), F = (lit - R shade) / (R - 1) or R shade - lit, blur
// f / N * m by similar triangles.
func TestCompareDemonstrationByHand(t *testing.T) {
	var out, errs bytes.Buffer
	Run(context.Background(), Process{
		Args: []string{"compare", "--format", "json"}, Stdout: &out, Stderr: &errs, Getenv: func(string) string { return "" }, Now: noon,
	})
	var page struct {
		Moments []struct {
			Name    string `json:"name"`
			Methods []struct {
				Method   string   `json:"method"`
				N        float64  `json:"aperture_exact"`
				T        float64  `json:"shutter_s"`
				S        float64  `json:"iso_exact"`
				ND       float64  `json:"nd_stops"`
				Lit      float64  `json:"lit_lux"`
				Shade    float64  `json:"shade_lux"`
				Role     string   `json:"role"`
				Power    *float64 `json:"flash_power"`
				Added    float64  `json:"flash_lux_seconds"`
				Headroom *float64 `json:"headroom_stops"`
				Ratio    float64  `json:"ratio"`
				Exposure float64  `json:"exposure_offset_stops"`
				Behind   float64  `json:"background_offset_stops"`
				Rise     float64  `json:"rise_stops"`
				Blur     float64  `json:"blur_share"`
				Frames   *float64 `json:"frames_a_set"`
			} `json:"methods"`
		} `json:"moments"`
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &page), errs.String())
	require.NotEmpty(t, page.Moments)

	const ratio = 3
	sync := math.Exp2(-46. / 6) // 1/200 on a camera of third stops
	full := 2.5 * 28 * 28 * 2 / (2 * 2) * math.Exp2(-(0.7 + 1.5 + 0.3))
	magnification := 24 / 550.
	compared := 0
	for _, moment := range page.Moments {
		require.Equal(t, "sync", moment.Methods[0].Method)
		for _, m := range moment.Methods {
			where := moment.Name + ", " + m.Method
			assert.InDelta(t, m.Behind-moment.Methods[0].Behind, m.Rise, 0.011, where)
			assert.InDelta(t, 85/m.N*magnification/24, m.Blur, 2e-4, where)
			if m.Role == "none" {
				continue
			}
			need, light := ratio*m.Shade-m.Lit, m.Lit*m.T+m.Added
			got := light / (m.Shade * m.T)
			if m.Role == "fill" {
				need, got = (m.Lit-ratio*m.Shade)/(ratio-1), light/(m.Shade*m.T+m.Added)
			}
			available := full
			if m.T < sync-1e-9 {
				available *= m.T / 0.016
			}
			require.NotNil(t, m.Power, where)
			require.NotNil(t, m.Headroom, where)
			require.NotNil(t, m.Frames, where)
			assert.InEpsilon(t, available**m.Power, m.Added, 1e-4, where)
			assert.InDelta(t, math.Log2(available/(need*m.T)), *m.Headroom, 2e-3, where)
			assert.InEpsilon(t, got, m.Ratio, 1e-3, where)
			assert.InDelta(t, math.Log2(light*m.S/(250*m.N*m.N))-m.ND, m.Exposure, 2e-3, where)
			assert.InEpsilon(t, 150 / *m.Power, *m.Frames, 1e-2, where)
			compared++
		}
	}
	t.Logf("%d methods at %d moments worked again", compared, len(page.Moments))
	assert.Greater(t, compared, 15)
}
