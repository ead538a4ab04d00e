package page

import (
	"bytes"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// unpacked reads text of base 94 by the digits' places, as one number a group.
func unpacked(text string, size int) []byte {
	const all = " !\"#$%&'()*+,-./0123456789:;=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~"
	var data []byte
	for ; text != ""; text = text[11:] {
		group := new(big.Int)
		for _, c := range []byte(text[:11]) {
			group.Mul(group, big.NewInt(94))
			group.Add(group, big.NewInt(int64(strings.IndexByte(all, c))))
		}
		data = append(data, group.FillBytes(make([]byte, 9))...)
	}
	return data[:size]
}

func TestPacked(t *testing.T) {
	for size := range 40 {
		counted := make([]byte, size)
		for i := range counted {
			counted[i] = byte(37 * i)
		}
		for _, data := range [][]byte{counted, bytes.Repeat([]byte{0xff}, size), make([]byte, size)} {
			text := packed(data)
			assert.Equal(t, data, append([]byte{}, unpacked(text, size)...))
			assert.NotContains(t, text, "<")
		}
	}
}
