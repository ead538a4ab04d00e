package cli

import (
	"fmt"
	"slices"

	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
)

// forecastFlag is the flag of a forecast's file.
const forecastFlag = "forecast"

// addSearch gives a command the flags of a search over dates: what is wished for,
// and all that is planned but the day and its hours.
func addSearch(p *Process, c *cobra.Command) *planning {
	return addKeys(p, c, shootfile.SearchFlags(), plannedShoot)
}

// search reads the shoot and what is wished for, with the flags laid over both,
// and warns of a zone that nobody named.
func (g *planning) search() (*shoot.Shoot, shoot.Wishes, error) {
	document, env, err := g.read()
	if err != nil {
		return nil, shoot.Wishes{}, err
	}
	named := "" // the forecast's file, as it is typed
	if forecast := g.command.Flags().Lookup(forecastFlag); forecast.Changed {
		name := forecast.Value.String()
		named = shootfile.Typed(name)
		text, err := readFile(g.command.Context(), name)
		if err != nil {
			return nil, shoot.Wishes{}, &problem{exitUsage, fmt.Sprintf("--forecast %s cannot be read: %v",
				named, withoutPath(err)), "leave --forecast out"}
		}
		document.SetForecast(name, text)
	}
	s, wishes, err := document.ResolveSearch(env)
	if err != nil {
		return nil, shoot.Wishes{}, err
	}
	g.remark(s, env)
	for _, remark := range shootfile.SearchRemarks(s, &wishes, named) {
		g.process.printProblem(remark.What, remark.Hint)
	}
	return s, wishes, nil
}

// searches reports whether a command searches over dates.
func searches(c *cobra.Command) bool { return c.Flags().Lookup("dates") != nil }

// asWish is what to type in the place of a flag of a plan's own day, on a command
// that searches over dates; empty for any other.
func (p *Process) asWish(flag string) string {
	value, to := p.valueOf(flag), ""
	given := "--" + flag
	if value != "" {
		given += " " + shootfile.Typed(value)
	}
	if flag == "from" && p.follows("to", flag) {
		to = p.valueOf("to")
		given += " --to " + shootfile.Typed(to)
	}
	better := shootfile.AsWish(flag, value, to)
	switch {
	case flag == "step":
		return "leave --step out"
	case better == "":
		return ""
	}
	return better + " in place of " + given
}

// follows reports whether a flag was typed right behind another, each with a
// value as a word of its own.
func (p *Process) follows(flag, before string) bool {
	at := slices.Index(p.Args, "--"+before)
	return at >= 0 && at+3 < len(p.Args) && p.Args[at+2] == "--"+flag
}
