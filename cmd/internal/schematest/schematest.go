// Package schematest holds objects against their JSON Schemas, for tests.
package schematest

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"sevenyard/cmd/internal/report"
)

// compiled are the schemas by what an object says at its top.
var compiled = sync.OnceValues(func() (map[string]*jsonschema.Schema, error) {
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	out := map[string]*jsonschema.Schema{}
	for _, name := range report.SchemaNames() {
		text, _ := report.SchemaText(name)
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			return nil, err
		}
		id := "urn:sevenyard:" + name
		if err := c.AddResource(id, doc); err != nil {
			return nil, err
		}
		if out["sevenyard."+name+"/1"], err = c.Compile(id); err != nil {
			return nil, err
		}
	}
	return out, nil
})

// ErrNone says that there is no schema of the name that an object gives.
var ErrNone = errors.New("no such schema")

// Keeps gives an error where the object, in JSON, does not keep the schema that it names.
func Keeps(object []byte) error {
	all, err := compiled()
	if err != nil {
		return err
	}
	var top struct{ Schema string }
	if err := json.Unmarshal(object, &top); err != nil {
		return err
	}
	s, ok := all[top.Schema]
	if !ok {
		return fmt.Errorf("%w: %q", ErrNone, top.Schema)
	}
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(string(object)))
	if err != nil {
		return err
	}
	if err := s.Validate(v); err != nil {
		return fmt.Errorf("%s: %w", top.Schema, err)
	}
	return nil
}

// Objects are the objects of a text that stand on lines of their own, "{" to "}", as the program writes them, and name a schema.
func Objects(text string) []string {
	var out []string
	lines := strings.Split(text, "\n")
	for i := 0; i < len(lines); i++ {
		if lines[i] != "{" || i+1 == len(lines) || !strings.HasPrefix(lines[i+1], ` "schema": `) {
			continue
		}
		from := i
		for i < len(lines) && lines[i] != "}" {
			i++
		}
		if i < len(lines) { // else it is cut off
			out = append(out, strings.Join(lines[from:i+1], "\n"))
		}
	}
	return out
}
