package newfile

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

const plan = "{\n  \"schema\": \"sevenyard.lineup/1\",\n  \"team\": \"\"\n}\n"

func names(t *testing.T, dir string) []string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestNeverOver(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "plan.json")
	require.NoError(t, Write(name, []byte("one"), false))
	require.ErrorIs(t, Write(name, []byte("two"), false), ErrExists)
	require.ErrorIs(t, Free(name, false), ErrExists)
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, "one", string(data))
	var foreign *ForeignError
	require.ErrorAs(t, Write(name, []byte("three"), true), &foreign, "a person may have made it")
	require.ErrorAs(t, Free(name, true), &foreign)
	require.NoError(t, os.WriteFile(name, []byte(plan), 0o644))
	require.NoError(t, Write(name, []byte("three"), true))
	data, err = os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, "three", string(data))
	require.Equal(t, []string{"plan.json"}, names(t, dir), "nothing is left behind")
	require.Error(t, Write(dir, nil, true), "a folder is no file")
	require.Error(t, Write(filepath.Join(dir, "none", "plan.json"), nil, false))
}

// TestOneOfMany: of many who write the same new file at once one succeeds, and the file is that one's.
func TestOneOfMany(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "plan.json")
	var wg sync.WaitGroup
	won := make([]bool, 20)
	for i := range won {
		wg.Go(func() { won[i] = Write(name, fmt.Appendf(nil, "%d", i), false) == nil })
	}
	wg.Wait()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	count := 0
	for i, w := range won {
		if w {
			count++
			require.Equal(t, fmt.Sprint(i), string(data))
		}
	}
	require.Equal(t, 1, count)
	require.Equal(t, []string{"plan.json"}, names(t, dir))
}

// Only what the program wrote is written over, and only by the same kind of thing.
func TestOnlyItsOwnKind(t *testing.T) {
	name := filepath.Join(t.TempDir(), "x")
	ours := map[Kind]string{
		Plan: plan, Teams: `{"schema":"sevenyard.draft/1"}`, Draw: ` {"schema" : "sevenyard.draft.draw/1"}`,
		Page: "<!DOCTYPE html>\n<html lang=\"en\">\n" + PageMark + "\n", Model: ModelMark + ".\n", List: "\ufeff" + ListMark[:len(ListMark)-1] + "\r\nEgrets,7\r\n",
	}
	for is, text := range ours {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		for kind := Any; kind <= List; kind++ {
			err := Target{Name: name, Kind: kind, Replace: true}.Free()
			if kind == Any || kind == is {
				require.NoError(t, err, "%v over %v", kind, is)
				continue
			}
			var foreign *ForeignError
			require.ErrorAs(t, err, &foreign, "%v over %v", kind, is)
		}
	}
	for _, text := range []string{"", "kid,name,grade\n", "[rules]\n", `{"schema":"other.lineup/1"}`, `{"team":1,"schema":"sevenyard.lineup/1"}`,
		`{"schema":"sevenyard.season/1"}`, "<!DOCTYPE html>\n<p>mine</p>\n", "team,kid,name\n", "* Column\n"} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		require.Error(t, Target{Name: name, Replace: true}.Write([]byte("new")), "%q", text)
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, text, string(data))
	}
}

// A file that the command reads is known by what it is, whatever it is called.
func TestNeverOverAnInput(t *testing.T) {
	dir := t.TempDir()
	team := filepath.Join(dir, "team")
	require.NoError(t, os.Mkdir(team, 0o755))
	roster, from := filepath.Join(team, "roster.csv"), filepath.Join(dir, "plan.json")
	for _, name := range []string{roster, from} {
		require.NoError(t, os.WriteFile(name, []byte(plan), 0o644))
	}
	hard, soft, folder := filepath.Join(dir, "hard.json"), filepath.Join(dir, "soft.json"), filepath.Join(dir, "alias")
	require.NoError(t, os.Link(from, hard))
	require.NoError(t, os.Symlink("plan.json", soft))
	require.NoError(t, os.Symlink("team", folder))
	for _, name := range []string{from, hard, soft, filepath.Join(team, "..", "plan.json"), roster, filepath.Join(folder, "roster.csv"), filepath.Join(team, "ROSTER.CSV"),
		filepath.Join(team, "fits.csv"), filepath.Join(folder, "Fits.csv")} {
		target := Target{Name: name, Kind: Plan, Replace: true, Inputs: []Input{{from, "the file of --from"}}, Folders: []string{team}, Names: []string{"roster.csv", "fits.csv"}}
		var input *InputError
		require.ErrorAs(t, target.Free(), &input, name)
		require.ErrorAs(t, target.Write([]byte("new")), &input, name)
	}
	for _, name := range []string{roster, from} {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, plan, string(data))
	}
	require.NoFileExists(t, filepath.Join(team, "fits.csv"))
}

func TestForTheOwnerAlone(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("file modes are no matter here")
	}
	name := filepath.Join(t.TempDir(), "plan.json")
	mode := func() os.FileMode {
		info, err := os.Stat(name)
		require.NoError(t, err)
		return info.Mode()
	}
	require.NoError(t, Write(name, []byte(plan), false))
	require.Equal(t, os.FileMode(0o600), mode())
	require.NoError(t, os.Chmod(name, 0o644))
	require.NoError(t, Write(name, []byte(plan), true))
	require.Equal(t, os.FileMode(0o600), mode())
}

func TestNeverThroughALink(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "plan.json")
	require.NoError(t, os.Symlink("none", name))
	for _, replace := range []bool{false, true} {
		require.ErrorContains(t, Write(name, []byte(plan), replace), "is a link")
	}
	require.Equal(t, []string{"plan.json"}, names(t, dir))
}
