package games

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestBytesAndDiskAgree: entry for entry, what a change does to a record kept as bytes is what it does to the file, also where a crash has left the end
// of an entry, and the same bytes are put aside.
func TestBytesAndDiskAgree(t *testing.T) {
	histories := rapid.Custom(genChanges)
	torn, refused := 0, 0
	for seed := range 25 {
		dir := t.TempDir()
		name := filepath.Join(dir, File)
		j := &Journal{Dir: dir}
		r := rand.New(rand.NewPCG(uint64(seed), 3))
		var data []byte
		there := false
		for _, c := range histories.Example(seed) {
			ask := func(*Record) (*Change, error) { return c, nil }
			a, err := Add(data, there, ask)
			res, onDisk := j.Update(context.Background(), ask)
			if err != nil { // what it builds on was cut off by the crash
				refused++
				require.EqualError(t, onDisk, err.Error())
				continue
			}
			require.NoError(t, onDisk)
			data, there = a.Bytes(data), true
			file, err := os.ReadFile(name)
			require.NoError(t, err)
			require.Equal(t, string(file), string(data))
			require.Equal(t, res.Entry, a.Entry)
			require.Equal(t, res.Record.Games, a.Record.Games)
			require.Equal(t, res.Cut, int64(len(a.Torn)))
			if res.Kept != "" {
				torn++
				kept, err := os.ReadFile(filepath.Join(dir, res.Kept))
				require.NoError(t, err)
				require.Equal(t, string(kept), string(a.Torn))
			}
			if !a.First && r.IntN(2) == 0 { // a crash in the middle of writing
				data = data[:len(data)-1-r.IntN(len(a.Block))]
				require.NoError(t, os.WriteFile(name, data, 0o600))
			}
		}
		nothing, err := Add(data, there, func(*Record) (*Change, error) { return nil, nil })
		require.NoError(t, err)
		require.Equal(t, string(data), string(nothing.Bytes(data)))
		require.Zero(t, nothing.Entry)
	}
	require.Greater(t, torn, 5)
	t.Logf("%d ends of entries put aside, %d entries refused by both", torn, refused)
}

// TestAddRefuses: what the file would refuse, the bytes do, and an error of the change comes with the record as it is.
func TestAddRefuses(t *testing.T) {
	no := errors.New("no")
	a, err := Add([]byte(two(t)), true, func(*Record) (*Change, error) { return nil, no })
	require.ErrorIs(t, err, no)
	require.NotEmpty(t, a.Record.Games)
	for name, c := range map[string]*Change{"nothing": {Game: "1"}, "no id": {Game: "a b", VoidGame: true}} {
		_, err := Add([]byte(two(t)), true, func(*Record) (*Change, error) { return c, nil })
		require.Error(t, err, name)
	}
	_, err = Add(make([]byte, maxFile+1), true, nil)
	require.ErrorContains(t, err, "larger than")
	_, err = Add([]byte("no record\n"), true, nil)
	require.Error(t, err)
}
