// Evenfall plans outdoor portrait sessions lit with battery flashes while the
// daylight changes.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"
	_ "time/tzdata" // zones on machines that have none

	"evenfall/internal/cli"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400) // a plan lives for some 30 ms and a few MB: collecting less saves a fifth of them
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(96 << 20) // near which it collects more often: a large plan is worth it
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	context.AfterFunc(ctx, stop) // a second signal ends the process whatever it does
	folder, _ := os.Getwd()      // without one no sources lie around it
	code := cli.Run(ctx, cli.Process{
		Args:   os.Args[1:],
		Stdout: os.Stdout,
		Stderr: os.Stderr,
		Getenv: os.Getenv,
		Now:    time.Now(),
		Engine: engine,
		Folder: folder,
	})
	os.Exit(code)
}
