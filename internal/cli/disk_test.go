//go:build linux

package cli

import (
	"cmp"
	"errors"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"evenfall/internal/reading"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writing are commands that write a file, each with the file's name.
var writing = map[string][]string{
	"plan.json":  {"timeline", "--method", "sync", "--format", "json", "-o", "plan.json"},
	"plan.txt":   {"compare", "--full", "-o", "plan.txt"},
	"cues.csv":   {"cues", "--cue-step", "1/3", "-o", "cues.csv"},
	"shoot.toml": {"new", "shoot.toml", "--force"},
	"page.html":  {"sheet", "--method", "sync", "-o", "page.html"},
	"dates.ics":  {"schedule", "--dates", "2027-09-01..2027-09-02", "--light", "golden-hour", "-o", "dates.ics"},
}

// stamp is when a calendar was written, which differs from one run to the next.
var stamp = regexp.MustCompile(`(?m)^DTSTAMP:.*$`)

// A disk that is full leaves the file that is there as it was, and where there was
// none nothing, nor anything beside it: a file system of a few kB, which takes the
// rights to mount it, and as anybody a limit to the size of files.
func TestFullDisk(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	program := binary(t)
	tried := 0
	for where, run := range map[string]func(folder string, args []string) error{
		"mounted": func(folder string, args []string) error {
			cmd := exec.Command(program, args...)
			cmd.Dir = folder
			return cmd.Run()
		},
		"limited": func(folder string, args []string) error {
			cmd := exec.Command("sh", append([]string{"-c", `ulimit -f 1; exec "$0" "$@"`, program}, args...)...)
			cmd.Dir = folder
			return cmd.Run()
		},
	} {
		for name, args := range writing {
			for _, before := range [...]string{"", "before\n"} {
				folder := t.TempDir()
				if where == "mounted" {
					if err := syscall.Mount("none", folder, "tmpfs", 0, "size=4k"); err != nil {
						require.ErrorIs(t, err, fs.ErrPermission)
						t.Log("not mounted: ", err)
						continue
					}
					t.Cleanup(func() { assert.NoError(t, syscall.Unmount(folder, 0)) })
				}
				if before != "" {
					require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(before), 0o640))
				}
				var exit *exec.ExitError
				require.ErrorAs(t, run(folder, args), &exit, "%s, %s", where, name)
				assert.Equal(t, exitFailed, exit.ExitCode(), "%s, %s", where, name)
				assertOnly(t, folder, name, before)
				tried++
			}
		}
	}
	t.Logf("%d full disks", tried)
	assert.GreaterOrEqual(t, tried, 2*len(writing))
}

// assertOnly holds a folder to one file, or to none where its text is empty.
func assertOnly(t *testing.T, folder, name, text string) {
	t.Helper()
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	if text == "" {
		assert.Empty(t, files, "%s", name)
		return
	}
	require.Len(t, files, 1, "%s", name)
	data, err := os.ReadFile(filepath.Join(folder, name))
	require.NoError(t, err)
	assert.Equal(t, text, string(data), "%s", name)
}

// A log on a full disk keeps its readings, and gets no part of another.
func TestFullDiskKeepsTheLog(t *testing.T) {
	program := binary(t)
	folder := t.TempDir()
	add := func(limit string) error {
		cmd := exec.Command("sh", "-c", limit+`exec "$0" "$@"`, program, "adjust", "--reading", "18:05=ev12", "--readings",
			"meter.log", "--save")
		cmd.Dir = folder
		_, err := cmd.Output()
		return err
	}
	done := func(err error) bool {
		var exit *exec.ExitError
		return err == nil || errors.As(err, &exit) && exit.ExitCode() == exitOutOfReach
	}
	require.True(t, done(add("")))
	name := filepath.Join(folder, "meter.log")
	log, err := os.ReadFile(name)
	require.NoError(t, err)
	// Up to the end of a block of 512 bytes there is room, for the beginning of a line.
	log = append(log, strings.Repeat("#\n", (512-len(log)-4)/2)...)
	require.NoError(t, os.WriteFile(name, log, 0o600))
	require.False(t, done(add("ulimit -f 1; ")))
	after, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(log), string(after))
	require.True(t, done(add("")))
}

// Modes, links and the disk: what takes the place of a file has its mode and the
// umask counts for a new one; a link still leads where it did; and the data is on
// the disk before the file has its name.
func TestWriteFileKeepsWhatIsThere(t *testing.T) {
	old := syscall.Umask(0o027)
	defer syscall.Umask(old)
	for _, mode := range [...]fs.FileMode{0, 0o600, 0o644, 0o640, 0o666, 0o751} {
		folder := t.TempDir()
		name := filepath.Join(folder, "plan.json")
		want := fs.FileMode(0o640)
		if mode != 0 {
			require.NoError(t, os.WriteFile(name, []byte("before"), 0o600))
			require.NoError(t, os.Chmod(name, mode))
			want = mode
		}
		require.NoError(t, writeFile(t.Context(), name, sheaf{[]byte("after")}, true))
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode(), "%v", mode)
	}
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	require.NoError(t, os.Mkdir(at("deep"), 0o700))
	require.NoError(t, os.Symlink("deep/plan.json", at("one")))
	require.NoError(t, os.Symlink("one", at("two")))
	require.NoError(t, os.Symlink(at("two"), at("three")))
	for _, text := range [...]string{"first", "second"} {
		require.NoError(t, writeFile(t.Context(), at("three"), sheaf{[]byte(text)}, true))
		data, err := os.ReadFile(at("deep/plan.json"))
		require.NoError(t, err)
		assert.Equal(t, text, string(data))
		for _, link := range [...]string{"one", "two", "three"} {
			info, err := os.Lstat(at(link))
			require.NoError(t, err)
			assert.Equal(t, fs.ModeSymlink, info.Mode().Type(), "%s", link)
		}
	}
	require.NoError(t, os.Symlink("round", at("round")))
	assert.Error(t, writeFile(t.Context(), at("round"), sheaf{[]byte("x")}, true), "a link to itself")
	assert.ErrorIs(t, writeFile(t.Context(), at("one"), sheaf{[]byte("x")}, false), fs.ErrExist, "not over a link")
}

// A process that is killed at any moment leaves each file old and whole or new and
// whole; a log has the reading or has it not. Every other one is killed while the
// new file is being written beside the old one, the rest all through the run. With
// EVENFALL_LONG a hundred times each, else a few.
func TestKilledAtAnyMoment(t *testing.T) {
	program := binary(t)
	times := 4
	switch os.Getenv("EVENFALL_LONG") {
	case "":
	case "1":
		times = 20
	default:
		times = 100
	}
	const places = "evenfall/places.toml"
	texts := map[string]string{places: "[somewhere]\nlatitude_deg = 50\nlongitude_deg = 10\ntime_zone = \"Europe/Berlin\"\n",
		"meter.log": reading.LogHeading + "2027-09-18T18:00:00+02:00 ev12.5@lit\n"}
	commands := maps.Clone(writing)
	commands["meter.log"] = []string{"adjust", "--at", "54.33,10.15", "--tz", "Europe/Berlin", "--date", "2027-09-18",
		"--reading", "18:05=ev12.4", "--readings", "meter.log", "--save"}
	commands[places] = []string{"place", "save", "west-quay", "--at", "54.33,10.15", "--tz", "Europe/Berlin"}
	for name, args := range commands {
		before := cmp.Or(texts[name], "what stood there before\n")
		killed := func(when func(folder string, started time.Time)) string {
			home := t.TempDir()
			file := filepath.Join(home, name)
			folder := filepath.Dir(file)
			require.NoError(t, os.MkdirAll(folder, 0o700))
			require.NoError(t, os.WriteFile(file, []byte(before), 0o600))
			cmd := exec.Command(program, args...)
			cmd.Dir, cmd.Env = home, append(os.Environ(), "XDG_CONFIG_HOME="+home)
			require.NoError(t, cmd.Start())
			when(folder, time.Now())
			cmd.Process.Kill() // or it was done before
			cmd.Wait()
			data, err := os.ReadFile(file)
			require.NoError(t, err, "%s", name)
			return stamp.ReplaceAllString(string(data), "")
		}
		var took time.Duration
		whole := killed(func(folder string, started time.Time) {
			for took < 20*time.Second {
				data, _ := os.ReadFile(filepath.Join(folder, filepath.Base(name)))
				if took = time.Since(started); string(data) != before {
					return
				}
			}
		})
		require.NotEqual(t, before, whole, "%s", name)
		old, fresh := 0, 0
		for n := range times {
			data := killed(func(folder string, started time.Time) {
				after := took * time.Duration(n) / time.Duration(times)
				for beside := 1; n%2 == 0 && beside == 1 && time.Since(started) < 2*took; {
					files, _ := os.ReadDir(folder)
					beside, after = len(files), time.Since(started)+time.Duration(n)*20*time.Microsecond
				}
				for time.Since(started) < after { // too short to sleep through
				}
			})
			switch data {
			case before:
				old++
			case whole:
				fresh++
			default:
				require.Fail(t, "neither the old nor the new", "%s, kill %d: %d bytes", name, n, len(data))
			}
		}
		t.Logf("%s: %d old, %d new", name, old, fresh)
	}
}
