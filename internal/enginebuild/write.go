//go:build ignore

// Write compiles the engine of the checkout that it is run in, and writes it,
// compressed, to the file that it is given.
package main

import (
	"context"
	"fmt"
	"os"

	"evenfall/internal/enginebuild"
)

func main() {
	module, err := enginebuild.Build(context.Background(), enginebuild.Root("."))
	if err == nil {
		err = os.WriteFile(os.Args[1], module, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	fmt.Printf("%s: %d bytes\n", os.Args[1], len(module))
}
