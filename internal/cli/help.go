package cli

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"evenfall/internal/report"
	"evenfall/internal/shootfile"

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
	return help
}

// unknownTopic is the error of a word that there is no help on.
func unknownTopic(c *cobra.Command, args []string, err error) error {
	names := []string{"words"}
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

// helpWidth is the most columns that help takes.
const helpWidth = 80

// usage writes how a command is called, its flags in their groups.
func usage(c *cobra.Command) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Usage:\n")
	if c.Runnable() {
		fmt.Fprintf(&b, "  %s\n", c.UseLine())
	}
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "  %s [command]\n", c.CommandPath())
	}
	if c.HasExample() {
		fmt.Fprintf(&b, "\nExamples:\n%s\n", fitted(c.Example))
	}
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "\nAvailable Commands:\n")
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() || sub.Name() == "help" {
				fmt.Fprintf(&b, "  %-*s %s\n", sub.NamePadding(), sub.Name(), sub.Short)
			}
		}
	}
	b.WriteString(flagUsages(c))
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "\nUse \"%s [command] --help\" for more information about a command.\n", c.CommandPath())
	}
	_, err := c.OutOrStderr().Write([]byte(b.String()))
	return err
}

// fitted breaks the lines of a text that are too wide for help: those of a
// command before a flag, with the backslash that a shell continues a line after,
// and those of prose between words.
func fitted(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
		switch {
		case utf8.RuneCountInString(line) <= helpWidth:
		case strings.HasPrefix(line[len(indent):], "evenfall "):
			lines[i] = brokenCommand(line, indent+"    ")
		default:
			lines[i] = indent + wrapped(line[len(indent):], helpWidth-len(indent), "\n"+indent)
		}
	}
	return strings.Join(lines, "\n")
}

// brokenCommand writes a command in lines that are continued with an indent.
func brokenCommand(line, indent string) string {
	const lineBreak = " \\"
	parts := strings.Split(line, " --")
	text, used := parts[0], utf8.RuneCountInString(parts[0])
	for _, part := range parts[1:] {
		part = "--" + part
		size := utf8.RuneCountInString(part)
		if used+1+size+len(lineBreak) > helpWidth {
			text += lineBreak + "\n" + indent + part
			used = len(indent) + size
			continue
		}
		text += " " + part
		used += 1 + size
	}
	return text
}

// flagUsages writes the flags of a command by group, those without one first.
func flagUsages(c *cobra.Command) string {
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
		text += "\n" + title + ":\n" + sets[group].FlagUsagesWrapped(helpWidth)
	}
	return text
}
