package shootfile

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a step asks for is bounded by its moments and by its answers, of all
// methods and both cases of a broken sky; the step of the hint is taken.
func TestStepsAreBounded(t *testing.T) {
	const text = "methods = [%s]\n[place]\nlatitude_deg = 54\nlongitude_deg = 10\ntime_zone = \"Europe/Berlin\"\n" +
		"[when]\ndate = \"2027-06-21\"\nfrom = \"00:00\"\nto = \"23:59\"\nstep_minutes = %s\n[[sky]]\ncondition = %q\n"
	all := `"` + strings.Join(methodWords(), `", "`) + `"`
	for _, c := range []struct {
		methods, step, sky, want string // empty for no fault
	}{
		{`"sync"`, "1", "clear", ""},
		{`"sync"`, "0.75", "clear", ""},
		{`"sync"`, "0.7", "clear", "steps of 42s make 2056 moments of the window, more than 2000"},
		{`"sync", "hss"`, "0.75", "clear", ""},
		{`"sync", "hss"`, "0.75", "broken", ""},
		{`"sync", "hss"`, "1.2", "broken", ""},
		{all, "2", "clear", "steps of 2m make 720 moments of the window, and 7920 answers of all methods, more than 3000"},
		{all, "11", "broken", ""},
		{all, "5", "broken", "steps of 5m make 288 moments of the window, and 6336 answers of all methods, more than 3000"},
	} {
		given := func(step string) error {
			d, err := Parse("shoot.toml", fmt.Appendf(nil, text, c.methods, step, c.sky))
			require.NoError(t, err)
			_, err = d.Resolve(environment(t))
			return err
		}
		err := given(c.step)
		if c.want == "" {
			assert.NoError(t, err, "%+v", c)
			continue
		}
		var faults Faults
		require.ErrorAs(t, err, &faults, "%+v", c)
		require.Len(t, faults, 1)
		assert.Equal(t, c.want, faults[0].What)
		step, ok := strings.CutPrefix(faults[0].Hint, "step_minutes = ")
		require.True(t, ok, faults[0].Hint)
		assert.NoError(t, given(step), "the hint")
	}
}
