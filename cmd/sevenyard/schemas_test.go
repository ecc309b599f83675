package main

import (
	"encoding/json"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/tools/txtar"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/schematest"
)

// keepsSchemas gives an error where an object that the text has does not keep the schema it names. What scripts print, and what tests decode, goes through it.
func keepsSchemas(text string) error {
	for _, object := range schematest.Objects(text) {
		if err := schematest.Keeps([]byte(object)); err != nil {
			return err
		}
	}
	return nil
}

// masked is a time in a recording.
var masked = regexp.MustCompile(`: TIME\b`)

// Every object of the recorded sessions, printed or saved, keeps its schema, and every schema has an object there or just made.
func TestRecordedObjectsKeepTheirSchemas(t *testing.T) {
	texts := map[string]string{"a league": done(t, append([]string{"lineup", "--format", "json"}, inventLeague(t, 2)...)...)} // a recorded one is too long to be kept in full
	files, err := filepath.Glob(filepath.Join("testdata", "recorded", "*.txtar"))
	require.NoError(t, err)
	for _, name := range files {
		a, err := txtar.ParseFile(name)
		require.NoError(t, err)
		for _, f := range a.Files {
			if !strings.HasPrefix(f.Name, "given ") {
				texts[name+": "+f.Name] = masked.ReplaceAllString(string(f.Data), ": 1.5")
			}
		}
	}
	seen := map[string]int{}
	for name, text := range texts {
		for _, object := range schematest.Objects(text) {
			require.NoError(t, schematest.Keeps([]byte(object)), name)
			var top struct{ Schema string }
			require.NoError(t, json.Unmarshal([]byte(object), &top))
			seen[top.Schema]++
		}
	}
	for _, name := range report.SchemaNames() {
		require.Positive(t, seen["sevenyard."+name+"/1"], "%s: no recorded session has one: %v", name, seen)
	}
}
