package drills

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	okTeam   = "division = \"3-4\"\n"
	okRoster = "kid,name,grade,hold,never,notes\n2,Ann,3,,,\n7,Ben,4,,deep;corner,left-handed\n10,Cy,,sprained ankle,,\n"
	okLong   = "kid,drill,trial,value,attempts,timer,date\n2,shuttle,1,6.4,,Kim,2026-08-29\n2,shuttle,2,6.5,,Lee,2026-08-29\n7,pull,1,7,10,,\n"
)

// folder makes a team folder out of name and text pairs.
func folder(files ...string) fs.FS {
	dir := fstest.MapFS{}
	for i := 0; i < len(files); i += 2 {
		dir[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	return dir
}

func problemsOf(t *testing.T, err error) Problems {
	t.Helper()
	if err == nil {
		return nil
	}
	var ps Problems
	require.True(t, errors.As(err, &ps), "the error is of type Problems, not %T", err)
	return ps
}

// noLines takes the lines out of a folder, so that folders with rows in another order compare equal.
func noLines(f *Folder) *Folder {
	out := *f
	out.Roster = append([]Kid(nil), f.Roster...)
	out.Trials = append([]Trial(nil), f.Trials...)
	out.Untested = append([]Untested(nil), f.Untested...)
	out.Fits = append([]OwnFit(nil), f.Fits...)
	for i := range out.Roster {
		out.Roster[i].Line = 0
	}
	for i := range out.Trials {
		out.Trials[i].At.Line = 0
	}
	for i := range out.Untested {
		out.Untested[i].At.Line = 0
	}
	for i := range out.Fits {
		out.Fits[i].At.Line = 0
	}
	out.Warnings = nil
	return &out
}

// mustRead reads a folder without problems.
func mustRead(t interface {
	Helper()
	Fatalf(string, ...any)
}, dir fs.FS) *Folder {
	t.Helper()
	f, err := ReadFolder(dir)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return f
}

// sound checks what holds for the problems of any file.
func sound(t *testing.T, file string, ps Problems) {
	t.Helper()
	assert.LessOrEqual(t, len(ps), MaxProblems+1)
	for i, p := range ps {
		assert.Equal(t, file, p.At.File)
		assert.NotEmpty(t, p.What)
		assert.NotContains(t, p.Error(), "\n", "one problem, one line")
		assert.False(t, strings.ContainsFunc(p.Error(), func(r rune) bool { return r < ' ' || r == 0x7f }), "control characters in %q", p.Error())
		last := i == len(ps)-1 && strings.HasPrefix(p.What, "and ")
		if i > 0 && !last {
			assert.LessOrEqual(t, ps[i-1].At.Line, p.At.Line, "problems stand in line order")
			assert.NotEqual(t, ps[i-1], p, "no problem twice")
		}
	}
}
