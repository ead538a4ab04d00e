package cli

import (
	"cmp"
	"embed"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"evenfall/internal/report"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// newHelp is the help command, with an error for what there is no help on.
func newHelp(p *Process) *cobra.Command {
	help := &cobra.Command{
		Use:   "help [command]",
		Short: "Help about any command; help words explains every term",
		RunE: func(c *cobra.Command, args []string) error {
			about, rest, err := c.Root().Find(args)
			if err == nil && about == c.Root() && len(rest) > 0 {
				err = noArguments(about, rest)
			}
			if err != nil {
				return unknownTopic(c, args, err)
			}
			if err := noArguments(about, rest); err != nil {
				return err
			}
			about.InitDefaultHelpFlag()
			return about.Help()
		},
	}
	help.AddCommand(newWords(p))
	for _, guide := range words.Guides() {
		help.AddCommand(newGuide(p, &guide))
	}
	return help
}

// unknownTopic is the error of a word that there is no help on.
func unknownTopic(c *cobra.Command, args []string, err error) error {
	names := []string{"words"}
	for _, guide := range words.Guides() {
		names = append(names, guide.Name)
	}
	for _, sub := range c.Root().Commands() {
		names = append(names, sub.Name())
	}
	hint := "evenfall help"
	if near := shootfile.Nearest(args[0], names); near != "" {
		hint += " " + near
	}
	return &problem{exitUsage, fmt.Sprintf("there is no help on %q", args[0]), hint}
}

func newWords(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "words [flags]",
		Short: "What the terms mean, in a line each",
		Long:  "words explains the terms of commands, shoot files and reports, in a line each.",
		Example: `  evenfall help words
  evenfall help words --format markdown -o words.md`,
		Args: noArguments,
	}
	c.Flags().SortFlags = false
	o := &output{process: p, command: c}
	o.add(func() []string { return nil })
	c.RunE = func(*cobra.Command, []string) error {
		return o.write(func(report.Options) *report.Report { return report.Words() })
	}
	return c
}

// topics hold what the examples of the guides print, on a screen of 60 columns.
//
//go:embed topics/*.txt
var topics embed.FS

// newGuide is help on the words of one kind.
func newGuide(p *Process, guide *words.Guide) *cobra.Command {
	c := &cobra.Command{
		Use:     guide.Name + " [flags]",
		Short:   guide.Short + ", in a line each",
		Long:    fmt.Sprintf("%s explains %s, in a line each, with an example.", guide.Name, guide.Name),
		Example: "  evenfall help " + guide.Name,
		Args:    noArguments,
	}
	c.Flags().SortFlags = false
	o := &output{process: p, command: c}
	o.add(func() []string { return nil })
	c.RunE = func(*cobra.Command, []string) error {
		printed, err := topics.ReadFile("topics/" + guide.Name + ".txt")
		if err != nil {
			return err
		}
		example := "$ evenfall " + guide.Example + "\n" + string(printed) + "...\n"
		return o.write(func(report.Options) *report.Report { return report.Guide(guide, example) })
	}
	return c
}

// groupKey is the annotation of a flag that names its group.
const groupKey = "group"

// outputGroup is the group of the flags of how and where to a result goes.
const outputGroup = "Output"

// grouped notes the group of a flag.
func grouped(f *pflag.Flag, group string) {
	if f.Annotations == nil {
		f.Annotations = map[string][]string{}
	}
	f.Annotations[groupKey] = []string{group}
}

// The columns that help takes, on a screen of as many.
const (
	narrowestHelp = 60
	widestHelp    = 80
)

// helpWidth is how wide help may be.
func (p *Process) helpWidth() int {
	width, _ := p.terminal()
	return max(narrowestHelp, min(width, widestHelp))
}

// help writes what a command does and how it is called.
func (p *Process) help(c *cobra.Command, _ []string) {
	text := fitted(cmp.Or(c.Long, c.Short), p.helpWidth()) + "\n\n" + c.UsageString()
	if p.asciiOnly() {
		text = words.ASCII(text)
	}
	_, _ = io.WriteString(c.OutOrStdout(), text) // the error is kept by the writer
}

// usage writes how a command is called, its flags in their groups.
func (p *Process) usage(c *cobra.Command) error {
	columns := p.helpWidth()
	var b strings.Builder
	fmt.Fprintf(&b, "Usage:\n")
	if c.Runnable() {
		fmt.Fprintf(&b, "%s\n", fittedLine(c.UseLine(), "  ", columns))
	}
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "  %s [command]\n", c.CommandPath())
	}
	if c.HasExample() {
		fmt.Fprintf(&b, "\nExamples:\n%s\n", fitted(c.Example, columns))
	}
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "\nAvailable Commands:\n")
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() || sub.Name() == "help" {
				indent := fmt.Sprintf("  %-*s ", sub.NamePadding(), sub.Name())
				b.WriteString(indent + broken(sub.Short, columns-len(indent), "\n"+strings.Repeat(" ", len(indent))) + "\n")
			}
		}
	}
	b.WriteString(flagUsages(c, columns))
	if c.HasAvailableSubCommands() {
		more := fmt.Sprintf("Use \"%s [command] --help\" for more information about a command.", c.CommandPath())
		b.WriteString("\n" + broken(more, columns, "\n") + "\n")
	}
	_, err := c.OutOrStderr().Write([]byte(b.String()))
	return err
}

// fitted breaks the lines of a text that are too wide for help: those of a
// command before a flag, with the backslash that a shell continues a line after,
// and those of prose between words. A paragraph with such a line is set anew.
func fitted(text string, columns int) string {
	paragraphs := strings.Split(strings.ReplaceAll(strings.TrimRight(text, "\n"), "\t", "    "), "\n\n")
	for i, paragraph := range paragraphs {
		lines := strings.Split(paragraph, "\n")
		if !slices.ContainsFunc(lines, func(l string) bool { return utf8.RuneCountInString(l) > columns }) {
			continue
		}
		var set []string
		prose := ""
		flush := func() {
			if prose != "" {
				set = append(set, broken(prose, columns, "\n"))
			}
			prose = ""
		}
		for _, line := range lines {
			if rest := strings.TrimLeft(line, " "); rest == line {
				prose = strings.TrimSpace(prose + " " + line)
			} else {
				flush()
				set = append(set, fittedLine(rest, line[:len(line)-len(rest)], columns))
			}
		}
		flush()
		paragraphs[i] = strings.Join(set, "\n")
	}
	return strings.Join(paragraphs, "\n\n")
}

// fittedLine breaks a line behind its indent.
func fittedLine(line, indent string, columns int) string {
	switch {
	case utf8.RuneCountInString(indent+line) <= columns:
		return indent + line
	case strings.HasPrefix(line, "evenfall "):
		return brokenCommand(indent+line, indent+"    ", columns)
	}
	return indent + broken(line, columns-len(indent), "\n"+indent)
}

// clause is where a command may be continued on another line: at a flag, or where
// its output goes.
var clause = regexp.MustCompile(` (?:--|>|\|)`)

// brokenCommand writes a command in lines that are continued with an indent.
func brokenCommand(line, indent string, columns int) string {
	const lineBreak = " \\"
	var b strings.Builder
	used, from := 0, 0
	for _, at := range append(clause.FindAllStringIndex(line, -1), []int{len(line)}) {
		part := line[from:at[0]] // with a blank before it, but for the first
		size := utf8.RuneCountInString(part)
		if from > 0 && used+size+len(lineBreak) > columns {
			b.WriteString(lineBreak + "\n" + indent + part[1:])
			used = len(indent) + size - 1
		} else {
			b.WriteString(part)
			used += size
		}
		from = at[0]
	}
	return b.String()
}

// flagUsages writes the flags of a command by group, those without one first.
func flagUsages(c *cobra.Command, columns int) string {
	groups := []string{""}
	for _, one := range shootfile.Groups {
		groups = append(groups, string(one))
	}
	groups = append(groups, outputGroup)
	sets := map[string]*pflag.FlagSet{}
	for _, group := range groups {
		sets[group] = pflag.NewFlagSet(group, pflag.ContinueOnError)
		sets[group].SortFlags = false
	}
	c.Flags().VisitAll(func(f *pflag.Flag) {
		group := ""
		if named := f.Annotations[groupKey]; len(named) > 0 {
			group = named[0]
		}
		sets[group].AddFlag(f)
	})
	text := ""
	for _, group := range groups {
		if !sets[group].HasAvailableFlags() {
			continue
		}
		title := "Flags"
		if group != "" {
			title = group
		}
		text += "\n" + title + ":\n" + flagTable(sets[group], columns)
	}
	return text
}

// flagTable writes flags in two columns: how each is typed, and what it is. Where
// that leaves too little room for a word, the longest flags have a line of their
// own.
func flagTable(flags *pflag.FlagSet, columns int) string {
	var heads, usages []string
	indent, longest := 0, 0
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, usage := pflag.UnquoteUsage(f)
		head := "      --" + f.Name
		if f.Shorthand != "" {
			head = "  -" + f.Shorthand + ", --" + f.Name
		}
		if f.DefValue != "" && f.DefValue != "false" {
			usage += " (default " + f.DefValue + ")"
		}
		heads, usages = append(heads, strings.TrimRight(head+" "+value, " ")), append(usages, usage)
		indent = max(indent, utf8.RuneCountInString(heads[len(heads)-1])+3)
		for _, word := range strings.Fields(usage) {
			longest = max(longest, utf8.RuneCountInString(word))
		}
	})
	const least = 28 // columns for what flags are
	indent = min(indent, columns-max(longest, least))
	var b strings.Builder
	for i, head := range heads {
		gap := indent - utf8.RuneCountInString(head)
		if b.WriteString(head); gap < 2 {
			b.WriteString("\n")
			gap = indent
		}
		b.WriteString(strings.Repeat(" ", gap))
		b.WriteString(broken(usages[i], columns-indent, "\n"+strings.Repeat(" ", indent)) + "\n")
	}
	return b.String()
}
