package cli

import (
	"fmt"
	"strings"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/spf13/cobra"
)

// complete has the shell offer words for the value of a flag.
func complete(c *cobra.Command, flag string, words cobra.CompletionFunc) {
	// The error is of a flag that the command does not have.
	_ = c.RegisterFlagCompletionFunc(flag, words)
}

// words offers the words that an override knows; of most there are none, and
// no file is one.
func (p *Process) words(override string) cobra.CompletionFunc {
	switch override {
	case "sky":
		return fixedWords(sky.Words[:])
	case "date":
		return cobra.FixedCompletions([]string{"today", "tomorrow"}, cobra.ShellCompDirectiveNoFileComp)
	case "facing":
		return fixedWords([]scene.Facing{{Side: scene.Backlit}, {Side: scene.FrontLit}, {Side: scene.LeftLit}, {Side: scene.RightLit}})
	case "method":
		return methodList
	case "modifier":
		return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return p.kitNames(shoot.ModifierKit)
		}
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

// methodList offers the methods behind the last comma.
func methodList(_ *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
	before := typed[:strings.LastIndex(typed, ",")+1]
	var lists []string
	for _, m := range shoot.AllMethods {
		lists = append(lists, before+m.String())
	}
	return lists, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
}
