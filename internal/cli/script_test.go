package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the command prints into the scripts that compare it")

func TestMain(m *testing.M) {
	debug.SetGCPercent(400) // as the command has it
	testscript.Main(tests{m}, map[string]func(){
		"evenfall": func() {
			os.Exit(Run(context.Background(), Process{
				Args: os.Args[1:], Stdout: os.Stdout, Stderr: os.Stderr, Getenv: os.Getenv, Now: noon,
			}))
		},
	})
}

// tests are all of the package, with a folder for what they share.
type tests struct{ *testing.M }

func (t tests) Run() int {
	var err error
	if scratch, err = os.MkdirTemp("", "evenfall-tests-"); err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(scratch)
	return t.M.Run()
}

var scratch string

// TestScripts replays the specification of the commands. Beyond the commands
// that testscript has, the scripts use:
//
//	exits CODE evenfall ...   run, and expect the exit code
//	plans evenfall ...        run, and expect a plan, whether it holds the look or not
//	refused evenfall ...      run, and expect exit code 2, nothing on stdout, and
//	                          on stderr pairs of lines, what is wrong and a hint
//	heed                      type all the hints of the last refusal and expect
//	                          that the command is no longer refused
//	columns N                 no line of the last stdout is wider than N columns
//	ascii FILE                no byte of the file is above 0x7f
//	empty DIR                 no file is in the folder, hidden or not
//	first N FILE              put the first lines of the file into first.txt
//	lines N FILE              the file has no more lines than that
//
// What begins with [long] is done with EVENFALL_LONG.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			// Under the race detector every command would sleep a second at its end.
			e.Setenv("GORACE", "atexit_sleep_ms=0")
			e.Setenv("ESC", "\x1b")
			e.Setenv("BACKWARDS", "\u202e") // right-to-left override
			e.Values[lastKey{}] = &lastCommand{}
			return nil
		},
		Condition: func(name string) (bool, error) {
			if name != "long" {
				return false, fmt.Errorf("no condition %q", name)
			}
			return os.Getenv("EVENFALL_LONG") != "", nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "plans": plans, "refused": refused, "heed": heed, "columns": columns, "ascii": ascii, "empty": empty,
			"first": first, "lines": mostLines,
		},
	})
}

// lastCommand is what refused ran, for heed; a script keeps it under lastKey.
type (
	lastCommand struct{ words []string }
	lastKey     struct{}
)

// exitCode runs a command whose output the script can then look at.
func exitCode(ts *testscript.TestScript, words []string) int {
	err := ts.Exec(words[0], words[1:]...)
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		ts.Fatalf("%v", err)
	}
	if stderr := ts.ReadFile("stderr"); strings.Contains(stderr, "goroutine ") || strings.Contains(stderr, "panic:") {
		ts.Fatalf("a stack trace:\n%s", stderr)
	}
	if exit == nil {
		return 0
	}
	return exit.ExitCode()
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ...")
	}
	if code := exitCode(ts, args[1:]); strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d, expected %s", code, args[0])
	}
}

func plans(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: plans COMMAND ...")
	}
	if code := exitCode(ts, args); code != exitDone && code != exitOutOfReach {
		ts.Fatalf("exit code %d of a plan", code)
	}
}

func refused(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: refused COMMAND ...")
	}
	if code := exitCode(ts, args); code != exitUsage {
		ts.Fatalf("exit code %d, expected %d", code, exitUsage)
	}
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("something on stdout:\n%s", out)
	}
	if _, err := refusals(ts.ReadFile("stderr")); err != nil {
		ts.Fatalf("%v", err)
	}
	ts.Value(lastKey{}).(*lastCommand).words = args
}

// refusal is one fault as it is told, and where it lies in a file.
type refusal struct {
	file         string
	line, column int
	hint         string
	leftOver     string // a word that the shell took off a value
}

var inFile = regexp.MustCompile(`^evenfall: (.+?):(\d+):(\d+): `)

// refusals reads the pairs of lines that a refusal is made of.
func refusals(stderr string) ([]refusal, error) {
	lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
	if len(lines)%2 != 0 {
		return nil, fmt.Errorf("not pairs of what and hint:\n%s", stderr)
	}
	var list []refusal
	for i := 0; i < len(lines); i += 2 {
		hint, ok := strings.CutPrefix(lines[i+1], "hint: ")
		if !ok || hint == "" || !strings.HasPrefix(lines[i], "evenfall: ") {
			return nil, fmt.Errorf("not what and hint:\n%s\n%s", lines[i], lines[i+1])
		}
		r := refusal{hint: hint}
		if m := inFile.FindStringSubmatch(lines[i]); m != nil {
			r.file = m[1]
			r.line, _ = strconv.Atoi(m[2]) // digits, by the form
			r.column, _ = strconv.Atoi(m[3])
		}
		if m := leftOver.FindStringSubmatch(lines[i]); m != nil {
			r.leftOver = m[1]
		}
		list = append(list, r)
	}
	return list, nil
}

// shellWords takes a line apart as a shell does, of which only single quotes
// are known.
func shellWords(line string) []string {
	var words []string
	for _, m := range regexp.MustCompile(`'([^']*)'|[^ ]+`).FindAllStringSubmatch(line, -1) {
		words = append(words, strings.Trim(m[0], "'"))
	}
	return words
}

// What a hint may begin with: something to type, of which anything else is the
// explanation or the alternative.
var (
	flagHint  = regexp.MustCompile(`^(--?[a-z-]+)(?: ('[^']*'|[^ ]+?))?(?:$|[,;] | or )`)
	flagsHint = regexp.MustCompile(`^(?:--[a-z-]+ [^ ]+ ?){2,}$`)
	aloneHint = regexp.MustCompile(`^(--[a-z-]+) ([^ ]+) without (--[a-z-]+)$`)
	leftOver  = regexp.MustCompile(`^evenfall: "(.*)" is left over$`)
	placeHint = regexp.MustCompile(`^(.+?) in place of (.+?)(?:$|; )`)
	leaveHint = regexp.MustCompile(`^leave ([^ ]+) out(?:$|, or )`)
	lineHint  = regexp.MustCompile(`^([a-z_]+ = (?:"[^"]*"|\[.*\]|[^ ,;]+))(?:$|[,;] | or )`)
	headHint  = regexp.MustCompile(`^\[+[a-z_.]+\]+$`)
	wordHint  = regexp.MustCompile(`^([a-z0-9_+-]+)$`)
	firstWord = regexp.MustCompile(`[A-Za-z0-9_+-]+`)
)

func heed(ts *testscript.TestScript, neg bool, args []string) {
	words := slices.Clone(ts.Value(lastKey{}).(*lastCommand).words)
	if neg || len(args) > 0 || words == nil {
		ts.Fatalf("usage: heed, after refused")
	}
	list, err := refusals(ts.ReadFile("stderr"))
	if err != nil {
		ts.Fatalf("%v", err)
	}
	slices.Reverse(list) // so that what stands before in a line stays where it was
	for _, r := range list {
		flags, line := flagHint.FindStringSubmatch(r.hint), lineHint.FindStringSubmatch(r.hint)
		alone, place := aloneHint.FindStringSubmatch(r.hint), placeHint.FindStringSubmatch(r.hint)
		leave, word := leaveHint.FindStringSubmatch(r.hint), wordHint.FindString(r.hint)
		switch {
		case strings.HasPrefix(r.hint, "evenfall "):
			command, _, _ := strings.Cut(r.hint, ", or ")
			words = shellWords(command)
		case alone != nil:
			words = withFlag(withoutFlag(words, alone[3]), alone[1], alone[2])
		case place != nil && strings.HasPrefix(place[1], "--"):
			old := shellWords(place[2])
			at := slices.Index(words, old[0])
			if at < 0 || at+len(old) > len(words) || !slices.Equal(words[at:at+len(old)], old) {
				ts.Fatalf("no %q in %q", old, words)
			}
			words = slices.Replace(words, at, at+len(old), shellWords(place[1])...)
		case place != nil && r.file != "":
			changeLine(ts, r, func(line string) string {
				if !strings.Contains(line, place[2]) {
					ts.Fatalf("no %q in %q", place[2], line)
				}
				return strings.Replace(line, place[2], place[1], 1)
			})
		case leave != nil && strings.HasPrefix(leave[1], "--"):
			words = withoutFlag(words, leave[1])
		case leave != nil && r.file != "":
			changeLine(ts, r, func(line string) string {
				if !strings.HasPrefix(strings.TrimSpace(line), leave[1]+" =") {
					ts.Fatalf("no %q in %q", leave[1], line)
				}
				return ""
			})
		case flagsHint.MatchString(r.hint):
			for pair := range slices.Chunk(strings.Fields(r.hint), 2) {
				words = withFlag(words, pair[0], pair[1])
			}
		case flags != nil && r.leftOver != "":
			at := slices.Index(words, r.leftOver)
			for words = slices.Delete(words, at, at+1); at < len(words) && !strings.HasPrefix(words[at], "-"); {
				words = slices.Delete(words, at, at+1)
			}
			words = withFlag(words, flags[1], flags[2])
		case flags != nil:
			words = withFlag(words, flags[1], strings.Trim(flags[2], "'"))
		case r.file != "" && line != nil:
			change(ts, r, func(rest string) string {
				if strings.HasSuffix(rest, "]") && !strings.Contains(rest, "=") {
					return rest + "\n" + line[1] // below the head of its table
				}
				return line[1]
			})
		case r.file != "" && headHint.MatchString(r.hint):
			changeLine(ts, r, func(string) string { return r.hint })
		case r.file != "" && word != "":
			change(ts, r, func(rest string) string {
				at := firstWord.FindStringIndex(rest)
				if at == nil {
					ts.Fatalf("no word to replace in %q", rest)
				}
				return rest[:at[0]] + word + rest[at[1]:]
			})
		default:
			ts.Fatalf("a hint that cannot be typed: %s", r.hint)
		}
	}
	if code := exitCode(ts, words); code != exitDone && code != exitOutOfReach {
		ts.Fatalf("exit code %d of %q, with the hints heeded", code, words)
	}
}

// withFlag puts a flag in the place of the one of its name, or behind the rest.
func withFlag(words []string, name, value string) []string {
	set := []string{name}
	if value != "" {
		set = append(set, value)
	}
	for i, word := range words {
		switch {
		case strings.HasPrefix(word, name+"="):
			return slices.Replace(words, i, i+1, set...)
		case word == name:
			return slices.Replace(words, i, min(i+2, len(words)), set...)
		}
	}
	return append(words, set...)
}

// withoutFlag takes a flag and its value out.
func withoutFlag(words []string, name string) []string {
	for i, word := range words {
		switch {
		case strings.HasPrefix(word, name+"="):
			return slices.Delete(words, i, i+1)
		case word == name:
			return slices.Delete(words, i, min(i+2, len(words)))
		}
	}
	return words
}

// changeLine edits the line of a file that a fault names.
func changeLine(ts *testscript.TestScript, r refusal, edit func(line string) string) {
	r.column = 1
	change(ts, r, edit)
}

// change edits the line of a file from the column on that a fault names.
func change(ts *testscript.TestScript, r refusal, edit func(rest string) string) {
	lines := strings.Split(ts.ReadFile(r.file), "\n")
	if r.line > len(lines) || r.column-1 > utf8.RuneCountInString(lines[r.line-1]) {
		ts.Fatalf("%s has no line %d, column %d", r.file, r.line, r.column)
	}
	line := []rune(lines[r.line-1])
	lines[r.line-1] = string(line[:r.column-1]) + edit(string(line[r.column-1:]))
	if err := os.WriteFile(ts.MkAbs(r.file), []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		ts.Fatalf("%v", err)
	}
}

func columns(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: columns N")
	}
	most, err := strconv.Atoi(args[0])
	if err != nil {
		ts.Fatalf("%v", err)
	}
	out := ts.ReadFile("stdout")
	if out == "" {
		ts.Fatalf("nothing on stdout")
	}
	for _, line := range strings.Split(out, "\n") {
		// All the characters of the scripts' shoots take one column.
		if n := utf8.RuneCountInString(line); n > most {
			ts.Fatalf("%d columns: %s", n, line)
		}
	}
}

func ascii(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 1 {
		ts.Fatalf("usage: ascii FILE")
	}
	text := ts.ReadFile(args[0])
	if text == "" {
		ts.Fatalf("%s is empty", args[0])
	}
	other := strings.IndexFunc(text, func(r rune) bool { return r >= utf8.RuneSelf })
	if neg != (other >= 0) {
		ts.Fatalf("first character that is not ASCII: at byte %d", other)
	}
}

func empty(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: empty DIR")
	}
	files, err := os.ReadDir(ts.MkAbs(args[0]))
	if err != nil {
		ts.Fatalf("%v", err)
	}
	for _, f := range files {
		ts.Fatalf("%s is in %s", f.Name(), args[0])
	}
}

// countedLines reads the arguments of a count and a file.
func countedLines(ts *testscript.TestScript, neg bool, args []string) (n int, list []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: N FILE")
	}
	n, err := strconv.Atoi(args[0])
	if err != nil {
		ts.Fatalf("%v", err)
	}
	return n, strings.SplitAfter(strings.TrimSuffix(ts.ReadFile(args[1]), "\n"), "\n")
}

func first(ts *testscript.TestScript, neg bool, args []string) {
	n, list := countedLines(ts, neg, args)
	text := strings.Join(list[:min(n, len(list))], "")
	if err := os.WriteFile(ts.MkAbs("first.txt"), []byte(text), 0o644); err != nil {
		ts.Fatalf("%v", err)
	}
}

func mostLines(ts *testscript.TestScript, neg bool, args []string) {
	if n, list := countedLines(ts, neg, args); len(list) > n {
		ts.Fatalf("%d lines, more than %d", len(list), n)
	}
}
