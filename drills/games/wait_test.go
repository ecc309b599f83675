package games

import (
	"bytes"
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// written is a record that somebody is writing just now: the first looks find half of an entry.
type written struct {
	half, whole []byte
	after       int // looks
	looks       *int
}

func (w written) Open(name string) (fs.File, error) {
	data := w.whole
	if *w.looks++; *w.looks <= w.after {
		data = w.half
	}
	return fstest.MapFS{File: {Data: data}}.Open(name)
}

// An entry that is only half there is looked at again: who was hurt may stand in it. One that stays so does not count, and is warned of.
func TestHalfAnEntryIsLookedAtAgain(t *testing.T) {
	c := &Change{Game: "1", Kids: []Presence{{Kid: "2", First: 1}}, Hurt: []Mark{{Kid: "2", Series: 1}}}
	whole, err := c.encode(fileState{cut: -1})
	require.NoError(t, err)
	half := whole[:bytes.LastIndex(whole, []byte(closed))]
	half = half[:bytes.LastIndexByte(half, '\n')+1]
	for after, found := range map[int]bool{0: true, 1: true, 3: true, 100: false} {
		looks := 0
		rec, err := ReadFolder(written{half, whole, after, &looks})
		require.NoError(t, err)
		require.Equal(t, found, len(rec.Games) == 1 && len(rec.Games[0].Hurt) == 1, "whole after %d looks", after)
		require.Equal(t, found, len(rec.Warnings) == 0)
		if found {
			require.Equal(t, after+1, looks)
		}
	}
}
