package shootfile

import (
	"math"
	"testing"

	"evenfall/internal/scene"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Without a distance the whole figure just fills the frame: s = f + f * figure /
// frame (thin lens), by hand. Upright, the shoulders' 0.5 m go across the short
// side; level, 0.55 m or a full length of 1.75 m go up it.
func TestCameraDistance(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // m
	}{
		{"", 0.085 + 0.085*500/24},
		{"[camera]\norientation = 'landscape'", 0.085 + 0.085*550/24},
		{"[subject]\nfigure = 'full length'", 0.085 + 0.085*1750/24},
		{"[subject]\nfigure = 'full length'\n[camera]\norientation = 'portrait'", 0.085 + 0.085*1750/36},
		{"[lens]\nfocal_length_mm = 50", 0.050 + 0.050*500/24},
		{"[camera]\nkit = 'crop-250'", 0.085 + 0.085*500/15.6},
		{"[subject]\ncamera_distance_m = 3", 3},
	} {
		s := resolved(t, somewhere+c.text)
		assert.InDelta(t, c.want, s.Subject.CameraDistance, 1e-9, c.text)
		if s.Subject.CameraDistance != 3 {
			span := s.Subject.Figure.Top - s.Subject.Figure.Bottom
			assert.LessOrEqual(t, span, s.Optics(s.Lens.Wanted).FieldHeight(s.Subject.CameraDistance)+1e-9, c.text)
		}
	}
}

// Upright for head and shoulders, level for a full length, unless it is said.
func TestOrientation(t *testing.T) {
	for _, c := range []struct {
		text string
		want scene.Orientation
	}{
		{"", scene.Portrait},
		{"[subject]\nfigure = 'head and shoulders'", scene.Portrait},
		{"[subject]\nfigure = 'full length'", scene.Landscape},
		{"[camera]\norientation = 'Landscape'", scene.Landscape},
		{"[camera]\norientation = 'portrait'\n[subject]\nfigure = 'full length'", scene.Portrait},
	} {
		s := resolved(t, somewhere+c.text)
		assert.Equal(t, c.want, s.Held, c.text)
		f := s.View(1).Frame
		assert.Equal(t, c.want == scene.Landscape, f.Width > f.Height, c.text)
		assert.InDelta(t, map[bool]float64{true: 0, false: 10}[s.Subject.Figure == scene.FullLength], f.Altitude.Degrees(), 1e-9)
	}
	for _, c := range []struct{ text, what, hint string }{
		{"orientation = 'landscpe'", `camera.orientation = "landscpe" is not known`, `orientation = "landscape"`},
		{"orientation = 'sideways'", `camera.orientation = "sideways" is not known`, `orientation = "portrait" or "landscape"`},
		{"orientation = 90", "camera.orientation is a number; it must be text", `orientation = "portrait"`},
	} {
		faults := faultsOf(t, somewhere+"[camera]\n"+c.text)
		require.Len(t, faults, 1, "%v", faults)
		assert.Equal(t, [2]int{6, 1}, [2]int{faults[0].Line, faults[0].Column})
		assert.Contains(t, faults[0].What, c.what)
		assert.Equal(t, c.hint, faults[0].Hint)
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
		{"camera_distance_m = 0.1", 6, 1, "subject.camera_distance_m = 0.1: must be 0.2 to 1000",
			"camera_distance_m = 0.2"},
		{"camera_distance_m = inf", 6, 1, "must be", ""},
		{"camera_distance_m = '2'", 6, 1, "is text; it must be a number", "camera_distance_m = 2"},
		{"camera_distance_m = 0.3\n[lens]\nfocal_length_mm = 200", 6, 1,
			"subject.camera_distance_m = 0.3 is nearer than life size with a lens of 200 mm, 0.4 m",
			"camera_distance_m = 4.4"},
		{"background = 'shade'", 6, 1, `background = "shade" is not known`, `background = "shaded"`},
		{"background = 'xyzzy'", 6, 1, `background = "xyzzy" is not known`, `background = "sky", "sunlit" or "shaded"`},
		{"background = 3", 6, 1, "subject.background is a number; it must be text", `background = "sky"`},
		{"background_distance_m = 5", 6, 1, "subject.background_distance_m is of a background on the ground",
			`background = "sunlit" or "shaded"`},
		{"background_reflectance = 0.5", 6, 1, "subject.background_reflectance is of a background on the ground", ""},
		{"background = 'sunlit'\nbackground_reflectance = 0", 7, 1, "must be 0.01 to 1",
			"background_reflectance = 0.01"},
		{"background = 'sunlit'\nbackground_distance_m = 0", 7, 1, "must be 0.1 to 100000",
			"background_distance_m = 0.1"},
		{"background = 'sunlit'\nbackground_distance = 2", 7, 1, "unknown key subject.background_distance",
			"background_distance_m"},
	} {
		faults := faultsOf(t, somewhere+"[subject]\n"+c.text)
		require.Len(t, faults, 1, "%v", faults)
		f := faults[0]
		assert.Equal(t, [2]int{c.line, c.column}, [2]int{f.Line, f.Column}, "%v", f)
		assert.Contains(t, f.What, c.what)
		assert.Contains(t, f.Hint, c.hint)
	}
}
