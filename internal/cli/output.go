package cli

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"evenfall/internal/report"
	"evenfall/internal/report/text"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"
)

// output is how a command's result is written, and where to.
type output struct {
	process *Process
	command *cobra.Command
	format  string
	file    string
	color   string
	ascii   bool
	plain   bool
	full    bool
	why     bool

	calendar bool // there is one to write

	among   bool  // what is wrong with the output is told among the faults of a shoot
	refused error // that

	demonstration bool // is shown, for nobody named a shoot
}

// add gives the command the flags of its output, checked before it runs.
// inputs are the files that it reads.
func (o *output) add(inputs func() []string) {
	f := pflag.NewFlagSet(outputGroup, pflag.ContinueOnError)
	f.SortFlags = false
	f.Var(&textFlag{&o.format, "FORMAT"}, "format", o.formats()+" (default: as the output's name ends)")
	f.VarP(&textFlag{&o.file, "FILE"}, "output", "o", "write to FILE (- is the screen)")
	o.color = "auto"
	f.Var(&textFlag{&o.color, "WHEN"}, "color", "auto, always or never")
	f.BoolVar(&o.full, "full", false, "print everything, with what it means")
	f.BoolVar(&o.plain, "plain", false, "no rules, words in place of signs: for screen readers")
	f.BoolVar(&o.ascii, "ascii", false, "print nothing but ASCII")
	f.VisitAll(func(one *pflag.Flag) { grouped(one, outputGroup) })
	o.command.Flags().AddFlagSet(f)
	o.process.complete(o.command, "format", fixedWords(o.forms()))
	o.process.complete(o.command, "color", cobra.FixedCompletions([]string{"auto", "always", "never"},
		cobra.ShellCompDirectiveNoFileComp))
	o.command.PreRunE = func(*cobra.Command, []string) error {
		err := o.check(inputs())
		if o.among {
			o.refused, err = err, nil
		}
		return err
	}
}

// forms are the forms that the result can have.
func (o *output) forms() []report.Format {
	if o.calendar {
		return append(report.Formats[:], report.ICalendar)
	}
	return report.Formats[:]
}

// formats names them.
func (o *output) formats() string {
	var names []string
	for _, f := range o.forms() {
		names = append(names, f.String())
	}
	return words.Either(names...)
}

// check refuses what cannot be written, before any work is done for it.
func (o *output) check(inputs []string) error {
	_, format := o.chosenFormat()
	var color error
	if !slices.Contains([]string{"auto", "always", "never"}, o.color) {
		color = &problem{exitUsage, fmt.Sprintf("--color %q is neither auto, always nor never", o.color), "--color never"}
	}
	kind := results
	if o.calendar {
		kind = schedules
	}
	return together(format, color, o.checkFile(inputs, kind, o.renamed()))
}

// files are those that the output of a command may go to.
type files struct {
	endings []string // of their names
	rule    string   // which those are, in words
	usual   string   // a name
}

// results are the files of reports.
var results = files{[]string{"", ".", ".txt", ".json", ".csv", ".md"},
	"results are written as .txt, .json, .csv or .md", "timeline.txt"}

// schedules are the files of what can go to a calendar as well.
var schedules = files{append([]string{".ics"}, results.endings...),
	"results are written as .txt, .json, .csv, .md or .ics", "dates.txt"}

// checkFile refuses a file that the output may not go to: one that the command
// reads, or of another kind than it may be. Instead is the name of a better one.
func (o *output) checkFile(inputs []string, kind files, instead string) error {
	if !o.toFile() {
		return nil
	}
	hint := "-o " + shootfile.Typed(instead)
	if o.file == "" {
		return &problem{exitUsage, "-o was given no name", "-o " + kind.usual}
	}
	target := followed(o.file)
	switch end := strings.ToLower(filepath.Ext(target)); {
	case end == ".toml":
		return &problem{exitUsage,
			fmt.Sprintf("-o %q would write over a shoot or kit file: results never go to .toml", o.file), hint}
	case !slices.Contains(kind.endings, strings.ToLower(filepath.Ext(o.file))):
		return &problem{exitUsage, fmt.Sprintf("-o %q: %s", o.file, kind.rule), hint}
	}
	for _, one := range inputs {
		if sameFile(one, target) {
			return &problem{exitUsage, fmt.Sprintf("-o %q would write over what the command reads", o.file), hint}
		}
	}
	return nil
}

// toFile reports whether the result goes to a file.
func (o *output) toFile() bool { return o.command.Flags().Changed("output") && o.file != screen }

// screen stands for the standard output in place of a file's name.
const screen = "-"

// renamed is the output's name with the ending of its format, or of the one
// that the ending it has is nearest to.
func (o *output) renamed() string {
	end := filepath.Ext(o.file)
	likely := map[report.Format]string{report.Text: ".txt", report.JSON: ".json", report.CSV: ".csv",
		report.Markdown: ".md", report.ICalendar: ".ics"}
	format, err := o.chosenFormat()
	if !o.command.Flags().Changed("format") || err != nil {
		switch strings.ToLower(end) {
		case ".xls", ".xlsx", ".ods", ".tsv":
			format = report.CSV
		case ".htm", ".html", ".markdown", ".docx", ".odt", ".rtf":
			format = report.Markdown
		case ".toml", ".yaml", ".yml", ".xml":
			format = report.JSON
		}
	}
	if name := strings.TrimSuffix(o.file, end) + likely[format]; name != o.file {
		return name
	}
	if o.calendar {
		return "dates" + likely[format]
	}
	return "timeline" + likely[format]
}

// sameFile reports whether two names are of one regular file.
func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil || !one.Mode().IsRegular() {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

// chosenFormat is the one asked for, else the one the output's name ends in.
func (o *output) chosenFormat() (report.Format, error) {
	if !o.command.Flags().Changed("format") {
		switch end := strings.ToLower(filepath.Ext(o.file)); {
		case end == ".json":
			return report.JSON, nil
		case end == ".csv":
			return report.CSV, nil
		case end == ".md":
			return report.Markdown, nil
		case end == ".ics" && o.calendar:
			return report.ICalendar, nil
		}
		return report.Text, nil
	}
	f, err := report.ParseFormat(o.format)
	if err != nil || !slices.Contains(o.forms(), f) {
		hint := "--format json"
		meant := []string{"ics", ".ics", "ical", "icalendar", "calendar"}
		if o.calendar && slices.Contains(meant, strings.ToLower(o.format)) {
			hint = "--format icalendar"
		}
		return f, &problem{exitUsage, fmt.Sprintf("--format %q is not %s", o.format, o.formats()), hint}
	}
	return f, nil
}

// options are those of the report, whatever its form.
func (o *output) options() report.Options {
	return report.Options{ASCII: o.ascii, Full: o.full, Why: o.why, Demonstration: o.demonstration,
		Now: o.process.Now}
}

// write makes a report and writes it in the form that was asked for, to where
// it was asked for.
func (o *output) write(make func(report.Options) *report.Report) error {
	format, err := o.chosenFormat()
	if err != nil {
		return err
	}
	ctx, options := o.command.Context(), o.options()
	shown := o.shown()
	var page sheaf
	summary := ""
	err = await(ctx, func() error {
		r := make(options)
		summary = r.Summary
		if format != report.Text {
			return r.Write(&page, format, options)
		}
		return text.Write(&page, &r.Document, shown)
	})
	if err != nil {
		return err
	}
	if !o.toFile() {
		return page.to(o.process.results)
	}
	if err := writeFile(ctx, o.file, page, true); err != nil {
		return unwritten(ctx, o.file, err, otherOutput(o.file))
	}
	return o.process.say("wrote " + shootfile.Typed(o.file) + colonIf(summary))
}

// colonIf sets a text behind another with a colon, or nothing.
func colonIf(text string) string {
	if text == "" {
		return ""
	}
	return ": " + text
}

// unwritten is the error of a file that was not written, with what to type
// instead; where the context has ended it is that.
func unwritten(ctx context.Context, name string, err error, hint string) error {
	if ctx.Err() != nil {
		return err
	}
	return &problem{exitFailed, fmt.Sprintf("%q cannot be written: %v", name, withoutPath(err)), hint}
}

// otherOutput is the hint for an output that cannot be written: another name of
// its kind.
func otherOutput(name string) string {
	return "-o timeline" + cmp.Or(strings.TrimRight(filepath.Ext(name), "."), ".txt")
}

// shown is how a report is laid out as text. Where TERM says that the screen can
// do little it is plain; a file depends on none of that.
func (o *output) shown() text.Options {
	shown := text.Options{Width: text.UsualWidth, ASCII: o.ascii, Plain: o.plain, Full: o.full,
		Colour: o.color == "always"}
	if o.toFile() {
		return shown
	}
	width, terminal := o.process.terminal()
	shown.ASCII = shown.ASCII || o.process.asciiOnly()
	dumb := o.process.Getenv("TERM") == "dumb"
	shown.Width = width
	shown.Plain = shown.Plain || dumb
	if o.color == "auto" {
		shown.Colour = terminal && o.process.Getenv("NO_COLOR") == "" && !dumb
	}
	return shown
}

// asciiOnly reports whether the locale says that a screen takes ASCII only: it is
// that of the C language, or names a set of characters other than UTF-8 (POSIX.1-2024,
// Base Definitions 8.2). Where none is named, or no set, UTF-8 is taken for granted.
func (p *Process) asciiOnly() bool {
	locale := cmp.Or(p.Getenv("LC_ALL"), p.Getenv("LC_CTYPE"), p.Getenv("LANG"))
	if locale == "C" || locale == "POSIX" {
		return true
	}
	_, set, named := strings.Cut(locale, ".")
	set, _, _ = strings.Cut(set, "@")
	return named && !strings.EqualFold(strings.ReplaceAll(set, "-", ""), "utf8")
}

// terminal returns how many columns there are, and whether results
// go to a terminal at all.
func (p *Process) terminal() (width int, is bool) { return p.columnsOf(p.Stdout) }

// columnsOf returns how many columns there are where a writer writes, and
// whether that is a terminal at all.
func (p *Process) columnsOf(w io.Writer) (width int, is bool) {
	width = text.UsualWidth
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		is = true
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			width = w
		}
	}
	if w, err := strconv.Atoi(p.Getenv("COLUMNS")); err == nil && w > 0 {
		width = w
	}
	return width, is
}
