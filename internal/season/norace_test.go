//go:build !race

package season

const racing = false
