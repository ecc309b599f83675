package gameday

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/sevenyard/internal/tty"
)

func TestLeagueMeter(t *testing.T) {
	var errs bytes.Buffer
	l := &league{sio: tty.IO{Err: &errs, ErrTerminal: true}, games: make([]*Game, 7), done: 3, open: 1, failed: 1}
	stop := l.meter()
	time.Sleep(2 * tty.Beat)
	stop()
	require.Contains(t, errs.String(), "3 of 7 teams planned, 1 not proven, 1 without a plan")
	require.Regexp(t, `\r\x1b\[K$`, errs.String())
}
