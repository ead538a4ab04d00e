package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Other machines plan alike: what a 32-bit processor, and one that fuses
// multiplication and addition, print of every example are the same outcomes and
// texts, and numbers to a part in a thousand million. The last needs Debian's
// qemu-user.
func TestOtherMachines(t *testing.T) {
	t.Parallel()
	if os.Getenv("EVENFALL_MACHINES") != "required" {
		t.Skip("set EVENFALL_MACHINES=required to compare builds for other processors")
	}
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	examples, err := filepath.Glob(filepath.Join(root, "examples", "*.toml"))
	require.NoError(t, err)
	require.NotEmpty(t, examples)
	if os.Getenv("EVENFALL_LONG") != "2" {
		examples = examples[:4]
	}
	native := builtFor(t, root, "amd64")
	for arch, run := range map[string][]string{
		"386":   {builtFor(t, root, "386")},
		"arm64": {"qemu-aarch64", builtFor(t, root, "arm64")},
	} {
		t.Run(arch, func(t *testing.T) {
			values := 0
			for _, example := range examples {
				for _, command := range []string{"timeline", "cues", "compare"} {
					args := []string{command, example, "--format", "json"}
					want, wantCode := printed(t, []string{native}, args)
					got, code := printed(t, run, args)
					assert.Equal(t, wantCode, code, "%s %s", command, example)
					values += sameValues(t, want, got, command+" "+filepath.Base(example))
				}
			}
			t.Logf("%d values alike", values)
		})
	}
}

// builtFor returns the command built for a processor.
func builtFor(t *testing.T, root, arch string) string {
	out := filepath.Join(t.TempDir(), "evenfall-"+arch)
	build := exec.Command("go", "build", "-o", out, "./cmd/evenfall")
	build.Dir, build.Env = root, append(os.Environ(), "GOOS=linux", "CGO_ENABLED=0", "GOARCH="+arch)
	message, err := build.CombinedOutput()
	require.NoError(t, err, "%s", message)
	return out
}

// printed runs the command, and returns the JSON that it prints and its exit code.
func printed(t *testing.T, run, args []string) (any, int) {
	c := exec.Command(run[0], append(run[1:], args...)...)
	out, err := c.Output()
	if err != nil {
		var exit *exec.ExitError
		require.ErrorAs(t, err, &exit)
	}
	var value any
	require.NoError(t, json.Unmarshal(out, &value), "%s", out)
	return value, c.ProcessState.ExitCode()
}

// sameValues holds two values of JSON against each other, and counts what they hold.
func sameValues(t *testing.T, want, got any, where string) int {
	switch want := want.(type) {
	case map[string]any:
		object, ok := got.(map[string]any)
		require.True(t, ok && len(object) == len(want), "%s", where)
		n := 0
		for key, one := range want {
			n += sameValues(t, one, object[key], where+"."+key)
		}
		return n
	case []any:
		list, ok := got.([]any)
		require.True(t, ok && len(list) == len(want), "%s", where)
		n := 0
		for i, one := range want {
			n += sameValues(t, one, list[i], fmt.Sprintf("%s[%d]", where, i))
		}
		return n
	case float64:
		number, ok := got.(float64)
		const within = 1e-9
		if !ok || math.Abs(number-want) > within*max(1, math.Abs(want)) {
			t.Errorf("%s: %v, and %v here", where, got, want)
		}
		return 1
	}
	assert.Equal(t, want, got, "%s", where)
	return 1
}
