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
	ctx := signalled()
	folder, _ := os.Getwd() // without one no sources lie around it
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

// signalled returns a context that ends with the first signal to end, which is its
// cause. A second one ends the process whatever it does. What was started not to
// be ended by a signal, as behind nohup, is not.
func signalled() context.Context {
	ctx, end := context.WithCancelCause(context.Background())
	signals := make(chan os.Signal, 1)
	for _, s := range [...]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		if !signal.Ignored(s) {
			signal.Notify(signals, s)
		}
	}
	go func() {
		s := <-signals
		signal.Stop(signals)
		number, _ := s.(syscall.Signal)
		end(cli.Signal(number))
	}()
	return ctx
}
