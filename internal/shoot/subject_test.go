package shoot

import (
	"math"
	"testing"

	"evenfall/internal/scene"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Without a distance the figure fills the frame's height: s = f + f h / frame
// (thin lens), by hand.
func TestCameraDistance(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // m
	}{
		{"", 0.085 + 0.085*550/24},
		{"[subject]\nfigure = 'full length'", 0.085 + 0.085*1750/24},
		{"[lens]\nfocal_length_mm = 50", 0.050 + 0.050*550/24},
		{"[camera]\nkit = 'crop-250'", 0.085 + 0.085*550/15.6},
		{"[subject]\ncamera_distance_m = 3", 3},
	} {
		s := resolved(t, somewhere+c.text)
		assert.InDelta(t, c.want, s.Subject.CameraDistance, 1e-9, c.text)
		if s.Subject.CameraDistance != 3 {
			span := s.Subject.Figure.Top - s.Subject.Figure.Bottom
			assert.InDelta(t, span, s.Optics(s.Lens.Wanted).FieldHeight(s.Subject.CameraDistance), 1e-9, c.text)
		}
	}
}

func TestBackground(t *testing.T) {
	far := math.Inf(1)
	for _, c := range []struct {
		text string
		want scene.Background
	}{
		{"", scene.Background{Kind: scene.SkyBackground, Reflectance: 0.2, Distance: far}},
		{"background = 'sky'", scene.Background{Kind: scene.SkyBackground, Reflectance: 0.2, Distance: far}},
		{"background = 'Sunlit'", scene.Background{Kind: scene.Sunlit, Reflectance: 0.2, Distance: far}},
		{"background = 'shaded'\nbackground_reflectance = 0.06\nbackground_distance_m = 4",
			scene.Background{Kind: scene.Shaded, Reflectance: 0.06, Distance: 4}},
	} {
		s := resolved(t, somewhere+"[subject]\n"+c.text)
		assert.Equal(t, c.want, s.Subject.Background, c.text)
	}
}

func TestFaultsOfSubjects(t *testing.T) {
	for _, c := range []struct {
		text         string // after [subject] in line 5
		line, column int
		what, hint   string
	}{
		{"camera_distance_m = 0.1", 6, 1, "subject.camera_distance_m = 0.1 lies outside 0.2 to 1000", "camera_distance_m = 0.2"},
		{"camera_distance_m = inf", 6, 1, "lies outside", ""},
		{"camera_distance_m = '2'", 6, 1, "is text; it must be a number", "camera_distance_m = 2"},
		{"camera_distance_m = 0.3\n[lens]\nfocal_length_mm = 200", 6, 1,
			"subject.camera_distance_m = 0.3 is nearer than life size with a lens of 200 mm, 0.4 m", "camera_distance_m = 4.8"},
		{"background = 'shade'", 6, 1, `background = "shade" is not known`, `background = "shaded"`},
		{"background = 'xyzzy'", 6, 1, `background = "xyzzy" is not known`, `background = "sky", "sunlit" or "shaded"`},
		{"background = 3", 6, 1, "subject.background is a number; it must be text", `background = "sky"`},
		{"background_distance_m = 5", 6, 1, "subject.background_distance_m is of a background on the ground", `background = "sunlit" or "shaded"`},
		{"background_reflectance = 0.5", 6, 1, "subject.background_reflectance is of a background on the ground", ""},
		{"background = 'sunlit'\nbackground_reflectance = 0", 7, 1, "lies outside 0.01 to 1", "background_reflectance = 0.01"},
		{"background = 'sunlit'\nbackground_distance_m = 0", 7, 1, "lies outside 0.1 to 100000", "background_distance_m = 0.1"},
		{"background = 'sunlit'\nbackground_distance = 2", 7, 1, "unknown key subject.background_distance", "background_distance_m"},
	} {
		faults := faultsOf(t, somewhere+"[subject]\n"+c.text)
		require.Len(t, faults, 1, "%v", faults)
		f := faults[0]
		assert.Equal(t, [2]int{c.line, c.column}, [2]int{f.Line, f.Column}, "%v", f)
		assert.Contains(t, f.What, c.what)
		assert.Contains(t, f.Hint, c.hint)
	}
}
