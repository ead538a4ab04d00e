package cli

import (
	"bytes"
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/term"
)

// On a terminal a page would be of no use: the command says so, and where to
// write it instead.
func TestSheetOnATerminal(t *testing.T) {
	terminal, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil || !term.IsTerminal(int(terminal.Fd())) {
		t.Skip("there is no terminal to write to")
	}
	defer terminal.Close()
	var says bytes.Buffer
	code := Run(context.Background(), Process{Args: []string{"sheet"}, Stdout: terminal, Stderr: &says, Getenv: os.Getenv,
		Now: noon})
	assert.Equal(t, exitUsage, code)
	assert.Equal(t, "evenfall: the sheet is a page of HTML, and would fill the screen\nhint: -o sheet.html\n",
		says.String())
}
