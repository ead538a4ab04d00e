//go:build engine

package main

import _ "embed"

// engine is what pages plan again with: go generate ./cmd/evenfall makes it.
//
//go:embed engine.wasm.gz
var engine []byte
