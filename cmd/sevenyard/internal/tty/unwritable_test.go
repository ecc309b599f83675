package tty

import (
	"errors"
	"io/fs"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestUnwritable asks for words that a coach can act on where the record may not be written, and for other errors as they are.
func TestUnwritable(t *testing.T) {
	other := errors.New("other")
	require.Equal(t, other, Unwritable("team", other))
	require.NoError(t, Unwritable("team", nil))
	err := Unwritable("team", &fs.PathError{Op: "open", Path: "team/games.csv", Err: fs.ErrPermission})
	require.ErrorIs(t, err, fs.ErrPermission)
	require.ErrorContains(t, err, "nothing was recorded: games.csv in the folder team may not be written by you; have its owner allow it")
}
