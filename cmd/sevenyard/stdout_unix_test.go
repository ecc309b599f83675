//go:build unix

package main

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestClosedOut(t *testing.T) {
	for name, x := range map[string]struct {
		flag   int
		closed bool
	}{"thrown away": {os.O_WRONLY, false}, "as Go opens it in place of a closed one": {os.O_RDWR, true}} {
		f, err := os.OpenFile(os.DevNull, x.flag, 0)
		require.NoError(t, err)
		require.Equal(t, x.closed, closedOut(f), name)
		require.NoError(t, f.Close())
	}
	f, err := os.OpenFile(t.TempDir()+"/x", os.O_RDWR|os.O_CREATE, 0o600)
	require.NoError(t, err)
	require.False(t, closedOut(f))
	require.NoError(t, f.Close())
	require.True(t, closedOut(f))
}
