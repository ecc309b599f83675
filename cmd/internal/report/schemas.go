package report

import (
	"embed"
	"slices"
	"strings"
)

//go:embed schemas/*.json
var schemas embed.FS

const (
	schemaPrefix = "sevenyard."
	schemaFolder = "schemas/"
	schemaEnding = ".json"
)

// SchemaNames are the objects that have a JSON Schema, by their schema's name without "sevenyard." and version, in the order of the alphabet.
func SchemaNames() []string {
	files, err := schemas.ReadDir(strings.TrimSuffix(schemaFolder, "/"))
	if err != nil {
		return nil // it is embedded
	}
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f.Name(), schemaEnding))
	}
	slices.Sort(names) // a point comes before a letter, but not before an ending
	return names
}

// SchemaText is the JSON Schema (2020-12) of an object, by one of SchemaNames or as the object itself says it, such as "sevenyard.lineup/1".
func SchemaText(name string) (string, bool) {
	if full, ok := strings.CutPrefix(name, schemaPrefix); ok {
		if name, ok = strings.CutSuffix(full, "/1"); !ok {
			return "", false
		}
	}
	data, err := schemas.ReadFile(schemaFolder + name + schemaEnding)
	return string(data), err == nil
}
