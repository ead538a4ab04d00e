//go:build unix

package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"evenfall/internal/page"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// interrupted runs a command, ends its context once it has been busy for a
// while, and returns its exit code and how long it took from then on.
func interrupted(t *testing.T, after time.Duration, stdout io.Writer, args ...string) (code int, took time.Duration) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan int, 1)
	go func() {
		ended <- Run(ctx, Process{
			Args: args, Stdout: stdout, Stderr: io.Discard, Getenv: func(string) string { return "" }, Now: noon,
		})
	}()
	select {
	case code := <-ended:
		require.Fail(t, "it ended by itself", "exit code %d of %q", code, args)
	case <-time.After(after):
	}
	from := time.Now()
	cancel()
	select {
	case code = <-ended:
	case <-time.After(30 * time.Second):
		require.Fail(t, "it does not end", "%q", args)
	}
	took = time.Since(from)
	t.Logf("%.60q ended after %v", args, took)
	return code, took
}

// pipeIn makes a named pipe in a folder of its own.
func pipeIn(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(name, 0o600))
	return name
}

// siteOfPipe makes a folder that looks like a site, but for a pipe in the place of
// its script.
func siteOfPipe(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, syscall.Mkfifo(filepath.Join(folder, page.WorkerFile), 0o600))
	return folder
}

// deafWriter is a pipe that nobody reads: a write to it does not return.
type deafWriter struct{ until <-chan struct{} }

func (w deafWriter) Write([]byte) (int, error) { <-w.until; return 0, io.ErrClosedPipe }

func TestInterruptedWork(t *testing.T) {
	for _, command := range [...]string{"timeline", "compare", "cues", "explain"} {
		for _, after := range [...]time.Duration{time.Millisecond, 60 * time.Millisecond, 300 * time.Millisecond} {
			code, took := interrupted(t, after, io.Discard, append([]string{command}, busy...)...)
			assert.Equal(t, exitInterrupted, code, command)
			assert.Less(t, took, 5*soon, "%s, interrupted after %v", command, after)
		}
	}
}

// A search of a century takes long too.
func TestInterruptedSearch(t *testing.T) {
	for _, after := range [...]time.Duration{time.Millisecond, 300 * time.Millisecond} {
		code, took := interrupted(t, after, io.Discard, "schedule", "--dates", "2000..2099", "--at-least", "20h")
		assert.Equal(t, exitInterrupted, code)
		assert.Less(t, took, 5*soon, "interrupted after %v", after)
	}
}

func TestInterruptedWorkLeavesTheFile(t *testing.T) {
	folder := t.TempDir()
	name := filepath.Join(folder, "plan.json")
	require.NoError(t, os.WriteFile(name, []byte("before"), 0o600))
	code, took := interrupted(t, 300*time.Millisecond, io.Discard, append([]string{"timeline", "-o", name}, busy...)...)
	assert.Equal(t, exitInterrupted, code)
	assert.Less(t, took, 5*soon)
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "before", string(data))
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, files, 1, "nothing is left beside it")
}

// A pipe without another end is waited for until the interrupt, and no longer.
func TestInterruptedWait(t *testing.T) {
	closed := make(chan struct{})
	defer close(closed)
	for name, c := range map[string]struct {
		stdout io.Writer
		args   []string
	}{
		"shoot":     {io.Discard, []string{"timeline", "--shoot", pipeIn(t)}},
		"argument":  {io.Discard, []string{"cues", pipeIn(t)}},
		"kit check": {io.Discard, []string{"kit", "check", pipeIn(t)}},
		"readings":  {io.Discard, []string{"timeline", "--readings", pipeIn(t)}},
		"log":       {io.Discard, []string{"adjust", "--reading", "18:05=ev12", "--readings", pipeIn(t), "--save"}},
		"site":      {io.Discard, []string{"sheet", "--site", siteOfPipe(t)}},
		"sheet":     {deafWriter{closed}, []string{"sheet", "--method", "sync"}},
		"dates":     {deafWriter{closed}, []string{"schedule", "--dates", "2027-09"}},
		"served":    {io.Discard, []string{"sheet", "--method", "sync", "--serve", "0"}},
		"kit list":  {io.Discard, []string{"kit", "list", "--shoot", pipeIn(t)}},
		"output":    {io.Discard, []string{"timeline", "--method", "sync", "-o", pipeIn(t)}},
		"stdout":    {deafWriter{closed}, []string{"timeline", "--method", "sync"}},
		"help":      {deafWriter{closed}, []string{"timeline", "--help"}},
		"version":   {deafWriter{closed}, []string{"version"}},
		"starter":   {deafWriter{closed}, []string{"new"}},
	} {
		code, took := interrupted(t, soon, c.stdout, c.args...)
		assert.Equal(t, exitInterrupted, code, name)
		assert.Less(t, took, 5*soon, name)
	}
}

// What comes through a pipe comes once: the page's engine gets what the plan did,
// and variants of a shoot the same readings.
func TestPipesAreReadOnce(t *testing.T) {
	run := func(args ...string) (string, int) {
		var out bytes.Buffer
		ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
		defer cancel()
		code := Run(ctx, Process{Args: args, Stdout: &out, Stderr: io.Discard, Engine: []byte("none"),
			Getenv: func(string) string { return "" }, Now: noon})
		return out.String(), code
	}
	through := func(text string) string {
		name := pipeIn(t)
		go os.WriteFile(name, []byte(text), 0)
		return name
	}
	shoot, code := run("new")
	require.Equal(t, exitDone, code)
	log := "2027-09-18T18:00:00+02:00 ev13.1@lit\n"
	page, code := run("sheet", through("name = \"Through a pipe\"\n"+shoot[strings.Index(shoot, "\n[place]"):]), "--date",
		"2027-09-18", "--readings", through(log))
	require.Contains(t, []int{exitDone, exitOutOfReach}, code)
	_, of, _ := strings.Cut(page, `id="shoot">`)
	assert.Contains(t, of, `Through a pipe`)
	assert.Contains(t, of, "ev13.1@lit")
	_, code = run("compare", "--vary", "units=1,2", "--at", "54.33,10.15", "--tz", "Europe/Berlin", "--date", "2027-09-18",
		"--readings", through(log))
	assert.Contains(t, []int{exitDone, exitOutOfReach}, code)
}

// The own kit, too, may be a pipe.
func TestInterruptedKit(t *testing.T) {
	home := t.TempDir()
	getenv := func(string) string { return home }
	file := (&Process{Getenv: getenv}).ownKitFile()
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o700))
	require.NoError(t, syscall.Mkfifo(file, 0o600))
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	code := Run(ctx, Process{Args: []string{"kit", "list"}, Stdout: io.Discard, Stderr: io.Discard, Getenv: getenv,
		Now: noon})
	assert.Equal(t, exitInterrupted, code)
}

// A context that has ended before anything began leaves everything alone.
func TestInterruptedAtOnce(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	name := filepath.Join(t.TempDir(), "shoot.toml")
	var out bytes.Buffer
	for _, args := range [][]string{{"timeline"}, {"compare"}, {"cues"}, {"new", name}, {"kit", "list"}} {
		code := Run(ctx, Process{Args: args, Stdout: &out, Stderr: io.Discard,
			Getenv: func(string) string { return "" }, Now: noon})
		assert.Equal(t, exitInterrupted, code, "%q", args)
	}
	assert.Empty(t, out.String())
	assert.NoFileExists(t, name)
}

// binary is the command as it is, built once for all tests.
func binary(t *testing.T) string {
	t.Helper()
	name, err := built()
	require.NoError(t, err)
	return name
}

var built = sync.OnceValues(func() (string, error) {
	name := filepath.Join(scratch, "evenfall")
	if out, err := exec.Command("go", "build", "-o", name, "../../cmd/evenfall").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return name, nil
})

// signals are those that end a process, with the exit codes of shells: 128 and the
// signal's number.
var signals = map[syscall.Signal]int{syscall.SIGINT: 130, syscall.SIGTERM: 143, syscall.SIGHUP: 129}

// ended sends a signal to a process and waits for its end.
func ended(t *testing.T, cmd *exec.Cmd, sent syscall.Signal) (code int, took time.Duration) {
	t.Helper()
	from := time.Now()
	require.NoError(t, cmd.Process.Signal(sent))
	err := cmd.Wait()
	took = time.Since(from)
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		return exit.ExitCode(), took
	}
	require.NoError(t, err)
	return 0, took
}

// The signals of a real process, one that waits for its input, one that works, one
// that writes into a pipe which nobody reads, and one that is told to by a pipe
// without another end. The file that is there stays as it is, and nothing lies
// beside it.
func TestSignals(t *testing.T) {
	program := binary(t)
	heard := make(chan os.Signal, 1)
	defer signal.Stop(heard)
	for sent, want := range signals {
		signal.Notify(heard, sent) // behind nohup it is ignored, and so it would be by what is started here
		folder := t.TempDir()
		name := filepath.Join(folder, "plan.json")
		require.NoError(t, os.WriteFile(name, []byte("before"), 0o600))
		running := map[string]*exec.Cmd{}
		for what, args := range map[string][]string{
			"waits":   {"timeline", "--shoot", "/dev/stdin"},
			"works":   append([]string{"timeline", "-o", name}, busy...),
			"writes":  {"timeline", "--step", "1m", "--format", "json"},
			"reads":   {"cues", pipeIn(t)},
			"outputs": {"timeline", "-o", pipeIn(t)},
		} {
			cmd := exec.Command(program, args...)
			_, err := cmd.StdinPipe() // that nobody writes to
			require.NoError(t, err)
			_, err = cmd.StdoutPipe() // that nobody reads
			require.NoError(t, err)
			require.NoError(t, cmd.Start())
			running[what] = cmd
		}
		time.Sleep(500 * time.Millisecond)
		for what, cmd := range running {
			code, took := ended(t, cmd, sent)
			assert.Equal(t, want, code, "%v, %s", sent, what)
			assert.Less(t, took, 20*soon, "%v, %s", sent, what) // the machine may be busy elsewhere
			t.Logf("%v, %s: ended after %v", sent, what, took)
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Equal(t, "before", string(data), "%v", sent)
		files, err := os.ReadDir(folder)
		require.NoError(t, err)
		assert.Len(t, files, 1, "%v", sent)
	}
}

// What was started to go on when its terminal is closed goes on.
func TestSignalsIgnored(t *testing.T) {
	cmd := exec.Command("sh", "-c", `trap "" HUP; exec "$0" timeline --shoot /dev/stdin`, binary(t))
	input, err := cmd.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	time.Sleep(300 * time.Millisecond)
	require.NoError(t, cmd.Process.Signal(syscall.SIGHUP))
	time.Sleep(200 * time.Millisecond)
	_, err = input.Write([]byte("name = "))
	require.NoError(t, err)
	require.NoError(t, input.Close())
	var exit *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &exit)
	assert.Equal(t, exitUsage, exit.ExitCode(), "it has read what there was to read")
}
