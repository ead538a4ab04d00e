//go:build !engine

package main

//go:generate go run ../../internal/enginebuild/write.go engine.wasm.gz

// engine is what pages plan again with: none is inside.
var engine []byte
