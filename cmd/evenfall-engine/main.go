//go:build wasip1

// Evenfall-engine is what a page calls to plan again: the package engine,
// compiled to WebAssembly as a library of functions (go build
// -buildmode=c-shared). A call puts bytes where input says, and finds the answer
// where output says, as long as the function called returned that it is.
package main

import (
	"runtime/debug"
	"unsafe"

	"evenfall/internal/engine"
)

// The state between two calls, which have only numbers to hand over.
var (
	planning engine.Engine
	request  []byte
	response []byte
)

func main() {} // a library has none, but the linker asks for it

// A plan leaves a few megabytes behind. Cleared up less often than is usual they
// take some 40 MB, and a change less time.
func init() { debug.SetGCPercent(400) }

//go:wasmexport input
func input(size uint32) unsafe.Pointer {
	request = make([]byte, size+1) // never without a first byte
	return unsafe.Pointer(unsafe.SliceData(request))
}

//go:wasmexport output
func output() unsafe.Pointer { return unsafe.Pointer(unsafe.SliceData(response)) }

//go:wasmexport plan
func plan() uint32 { return answered(planning.Plan(request[:max(len(request), 1)-1])) }

//go:wasmexport timeline
func timeline() uint32 { return answered(planning.Timeline()) }

//go:wasmexport adjust
func adjust() uint32 { return answered(planning.Adjust()) }

//go:wasmexport now
func now(seconds int64) uint32 { return answered(planning.Now(seconds)) }

func answered(data []byte) uint32 {
	response = data
	return uint32(len(data))
}
