package tty

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/optimize/rotation"
)

func TestErrorsAreFoldedOnATerminalOnly(t *testing.T) {
	text := "results.csv:3: " + strings.Repeat("words ", 30) + "end"
	var errs bytes.Buffer
	IO{Err: &errs}.Complain(text)
	require.Equal(t, text+"\n", errs.String())
	errs.Reset()
	IO{Err: &errs, ErrTerminal: true, Columns: 60}.Complain(text)
	for _, l := range strings.Split(errs.String(), "\n") {
		require.LessOrEqual(t, len(l), 60)
	}
	require.Equal(t, strings.Fields(text), strings.Fields(errs.String()))
}

func TestMeterShowsAndClears(t *testing.T) {
	var errs bytes.Buffer
	m := StartMeter(IO{Err: &errs, ErrTerminal: true})
	time.Sleep(3 * Beat)
	m.Note(rotation.Progress{Weakest: rotation.Bounded{Proven: true}})
	m.End()
	require.Contains(t, errs.String(), "looking for the best plan")
	require.True(t, strings.HasSuffix(errs.String(), "\r\x1b[K"), "the line is cleared: %q", errs.String())
	require.Contains(t, m.words(), "now the total")

	errs.Reset()
	quiet := StartMeter(IO{Err: &errs})
	quiet.End()
	require.Empty(t, errs.String(), "no terminal, no meter")
}
