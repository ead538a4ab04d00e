package cli

import (
	"fmt"
	"strings"

	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
)

// complete has the shell offer words for the value of a flag, where it is a shell
// that asks: what is registered is never let go of again.
func (p *Process) complete(c *cobra.Command, flag string, words cobra.CompletionFunc) {
	if len(p.Args) == 0 || !strings.HasPrefix(p.Args[0], cobra.ShellCompRequestCmd) {
		return
	}
	// The error is of a flag that the command does not have.
	_ = c.RegisterFlagCompletionFunc(flag, words)
}

// words offers the words that a key may be; of most there are none, and no
// file is one.
func (p *Process) words(k shootfile.Key) cobra.CompletionFunc {
	switch {
	case k.Flag == forecastFlag:
		return cobra.FixedCompletions([]string{"csv"}, cobra.ShellCompDirectiveFilterFileExt)
	case k.Flag == "place":
		return func(c *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
			return p.placeNames(c.Context()), cobra.ShellCompDirectiveNoFileComp
		}
	case k.List:
		return listOf(k.Words)
	case k.Kit != "":
		return func(c *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
			names, directive := p.kitNames(c.Context(), k.Kit)
			return append(names, k.Words...), directive
		}
	case k.Words != nil:
		return cobra.FixedCompletions(k.Words, cobra.ShellCompDirectiveNoFileComp)
	}
	return cobra.NoFileCompletions
}

// fixedWords offers all words of a kind.
func fixedWords[T fmt.Stringer](kind []T) cobra.CompletionFunc {
	var words []string
	for _, one := range kind {
		words = append(words, one.String())
	}
	return cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)
}

// listOf offers the words behind the last comma.
func listOf(words []string) cobra.CompletionFunc {
	return func(_ *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
		before := typed[:strings.LastIndex(typed, ",")+1]
		var lists []string
		for _, one := range words {
			lists = append(lists, before+one)
		}
		return lists, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	}
}
