package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"evenfall/internal/reading"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Many that add to one log at once leave every line whole, whatever the log's
// end was, and what was there before as it was.
func TestAppendLinesTogether(t *testing.T) {
	for _, begun := range []string{"", "# mine\n", "2027-09-18T18:00:00+02:00 ev14@lit\n2027-09-18T18:01"} {
		name := filepath.Join(t.TempDir(), "meter.log")
		if begun != "" {
			require.NoError(t, os.WriteFile(name, []byte(begun), 0o600))
		}
		const writers, each = 20, 10
		var all sync.WaitGroup
		for w := range writers {
			all.Go(func() {
				for i := range each {
					line := fmt.Sprintf("2027-09-18T18:%02d:%02d+02:00 ev13.7@lit\n", w, i)
					assert.NoError(t, appendLines(name, reading.LogHeading, line))
				}
			})
		}
		all.Wait()
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(data), begun))
		list, cut, err := reading.ParseLog(string(data))
		require.NoError(t, err)
		assert.Len(t, cut, strings.Count(begun, "18:01"))
		assert.Len(t, list, writers*each+strings.Count(begun, "ev14"))
		if begun == "" {
			assert.Equal(t, 1, strings.Count(string(data), reading.LogHeading))
		}
	}
	assert.Error(t, appendLines(t.TempDir(), "", "x\n"))
	assert.Error(t, appendLines(os.DevNull, "", "x\n"), "what is no file is not added to")
}
