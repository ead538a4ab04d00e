package cli

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestConfigFolder(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("paths as other systems write them")
	}
	for _, c := range []struct {
		system string
		env    map[string]string
		want   string
	}{
		{"linux", map[string]string{"XDG_CONFIG_HOME": "/x", "HOME": "/h"}, "/x"},
		{"linux", map[string]string{"HOME": "/h"}, "/h/.config"},
		{"freebsd", map[string]string{"HOME": "/h"}, "/h/.config"},
		{"linux", map[string]string{"XDG_CONFIG_HOME": "x", "HOME": "/h"}, "/h/.config"},
		{"linux", map[string]string{"HOME": "h"}, ""},
		{"linux", nil, ""},
		{"darwin", map[string]string{"XDG_CONFIG_HOME": "/x", "HOME": "/h"}, "/h/Library/Application Support"},
		{"darwin", nil, ""},
		{"windows", map[string]string{"AppData": "/a", "HOME": "/h"}, "/a"},
		{"windows", map[string]string{"HOME": "/h"}, ""},
	} {
		assert.Equal(t, c.want, configFolder(c.system, func(key string) string { return c.env[key] }), "%s %v",
			c.system, c.env)
	}
}

// Where the system library knows this user's folder, it is the same one.
func TestConfigFolderAsTheSystemHasIt(t *testing.T) {
	want, err := os.UserConfigDir()
	if err != nil {
		t.Skip(err)
	}
	assert.Equal(t, want, configFolder(runtime.GOOS, os.Getenv))
}

func TestOwnKit(t *testing.T) {
	home := t.TempDir()
	p := &Process{Getenv: func(string) string { return home }} // whatever the system asks for
	file := filepath.Join(configFolder(runtime.GOOS, p.Getenv), "evenfall", "kit.toml")
	own, err := p.ownKit(t.Context())
	require.NoError(t, err, "a file that is not there")
	assert.Nil(t, own.library)
	assert.Equal(t, file, own.file)

	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte("[[gel]]\nname = 'straw'\nshift_mired = 90\n"), 0o644))
	own, err = p.ownKit(t.Context())
	require.NoError(t, err)
	assert.Len(t, own.library.Gels, 1)

	own, err = (&Process{Getenv: func(string) string { return "" }}).ownKit(t.Context())
	require.NoError(t, err, "no place for one")
	assert.Empty(t, own.file)
}
