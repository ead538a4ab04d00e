// Evenfall plans outdoor portrait sessions lit with battery flashes while the
// daylight changes.
package main

import (
	"context"
	"os"
	"os/signal"
	"time"
	_ "time/tzdata" // zones on machines that have none

	"evenfall/internal/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := cli.Run(ctx, cli.Process{
		Args:   os.Args[1:],
		Stdout: os.Stdout,
		Stderr: os.Stderr,
		Getenv: os.Getenv,
		Now:    time.Now(),
	})
	stop()
	os.Exit(code)
}
