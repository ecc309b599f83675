package lasting_test

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/drills/lasting"
)

// full is a disk that takes so many bytes more.
func full(room int) lasting.Through {
	return func(w io.Writer) io.Writer { return &disk{w, room} }
}

type disk struct {
	w    io.Writer
	room int
}

func (d *disk) Write(p []byte) (int, error) {
	n, err := d.w.Write(p[:min(d.room, len(p))])
	if d.room -= n; err == nil && n < len(p) {
		err = errors.New("full")
	}
	return n, err
}

// TestAppending: whatever the disk has room for, the file is as it was or has the whole block, and what a crash had left is kept.
func TestAppending(t *testing.T) {
	for room := range 12 {
		name := filepath.Join(t.TempDir(), "a")
		require.NoError(t, os.WriteFile(name, []byte("whole\ntor"), 0o600))
		a := lasting.Appending{Name: name, Read: []byte("whole\ntor"), Size: 6, Block: []byte("block\n"), Through: full(room)}
		a.Aside = func() error {
			kept, err := lasting.Torn(name, []byte("tor"), nil)
			require.Equal(t, name+".torn-1", kept)
			return err
		}
		err := a.Write()
		data, bad := os.ReadFile(name)
		require.NoError(t, bad)
		torn, bad := os.ReadFile(name + ".torn-1")
		require.NoError(t, bad)
		require.Equal(t, "tor", string(torn))
		if room < 6 {
			var failed *lasting.FailedError
			require.ErrorAs(t, err, &failed)
			require.NoError(t, failed.Back)
			require.Equal(t, "whole\n", string(data))
			continue
		}
		require.NoError(t, err)
		require.Equal(t, "whole\nblock\n", string(data))
	}
}

// TestChangedMeanwhile: what another program has saved stays, and nothing is put aside.
func TestChangedMeanwhile(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a")
	for _, now := range []string{"", "whole", "whole\ntor and more", "other\ntor"} {
		require.NoError(t, os.WriteFile(name, []byte(now), 0o600))
		a := lasting.Appending{Name: name, Read: []byte("whole\ntor"), Size: 6, Block: []byte("block\n"), Aside: func() error { t.Fatal("aside"); return nil }}
		require.ErrorIs(t, a.Write(), lasting.ErrChanged)
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, now, string(data))
	}
}

func TestTornIsKeptOnce(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a")
	for _, x := range []struct{ torn, want string }{{"one", ".torn-1"}, {"one", ".torn-1"}, {"two", ".torn-2"}, {"one", ".torn-1"}} {
		kept, err := lasting.Torn(name, []byte(x.torn), nil)
		require.NoError(t, err)
		require.Equal(t, name+x.want, kept)
	}
	_, err := lasting.Torn(name, []byte("three"), full(2))
	require.ErrorContains(t, err, "full")
	require.NoFileExists(t, name+".torn-3")
	require.ErrorIs(t, lasting.New(name+".torn-1", nil, nil), os.ErrExist)
}

func ExampleAppending() {
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	name := filepath.Join(dir, "list")
	if err := lasting.New(name, []byte("one\n"), nil); err != nil {
		panic(err)
	}
	a := lasting.Appending{Name: name, Read: []byte("one\n"), Size: 4, Block: []byte("two\n")}
	fmt.Println(a.Write(), errors.Is(a.Write(), lasting.ErrChanged)) // the second time the file is not what was read
	// Output: <nil> true
}
