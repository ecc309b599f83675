package report_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/schematest"
)

var update = flag.Bool("update", false, "write the JSON Schemas anew")

// roots are the objects at whose top a schema is named.
var roots = map[string]any{
	report.LineupSchema: report.Lineup{}, report.RebuildSchema: report.Rebuild{}, report.WhySchema: report.Why{}, report.ProfileSchema: report.Profile{},
	report.CheckSchema: report.Check{}, report.ClearSchema: report.Clear{}, report.DraftSchema: report.Draft{}, report.TradeSchema: report.Trade{},
	report.PlaceSchema: report.Placement{}, report.DrawSchema: report.Draw{}, report.BoardSchema: report.Board{}, report.DrillsSchema: report.DrillSheet{}, report.FormationsSchema: report.FormationSheet{},
	report.LineupsSchema: report.Lineups{}, report.RecordSchema: report.Record{}, report.RefusalSchema: report.Refusal{},
	report.SeasonSchema: report.Season{}, report.SheetSchema: report.Sheet{},
}

// wordsOf are the fields that hold one of a few words.
var wordsOf = map[string][]string{
	"Lineup.favor": {"weakest", "total", "even"}, "RecordSeries.state": {"new", "corrected", "kept"}, "BoardEntry.how": {"picked", "placed", "owed", "full"},
	"Station.kind": {"timed", "counted", "rated"}, "Sheet.sheet": {"game", "kid", "team", "draft"},
	"KeptRule.rule": {"sizes", "siblings", "coach", "fixed", "nights", "apart", "returning"},
}

// allOrNone are types whose own fields, beside those of the struct within, come all together or not at all: a rebuilt plan that clear has saved, without
// the mark, is no longer compared with another.
var allOrNone = map[string]bool{"Rebuild": true}

// writer makes the schema of one object.
type writer struct {
	t    *testing.T
	s    source
	done map[string]bool
	defs object
}

// schemaOf gives the schema as a file, by the name that the object says at its top.
func schemaOf(t *testing.T, s source, name string) []byte {
	w := &writer{t: t, s: s, done: map[string]bool{}}
	typ := reflect.TypeOf(roots[name])
	whole := object{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", name}}
	whole = append(whole, w.body(typ)...)
	if len(w.defs) > 0 {
		whole = append(whole, pair{"$defs", w.defs})
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	require.NoError(t, enc.Encode(whole))
	return b.Bytes()
}

// body describes a struct: each field with its comment, those without omitempty required, and no others.
func (w *writer) body(typ reflect.Type) object {
	require.NotEmpty(w.t, w.s.types[typ.Name()], "%s has no comment", typ)
	var props object
	required, together := []string{}, []string{}
	for _, f := range fieldsOf(typ) {
		words := w.s.fields[f.owner][f.Name]
		require.NotEmpty(w.t, words, "%s.%s has no comment", f.owner, f.Name)
		p := append(object{{"description", words}}, w.value(f.Type, f.optional)...)
		if one := wordsOf[f.owner+"."+f.key]; one != nil {
			p = append(p, pair{"enum", one})
		}
		if f.Name == "Schema" {
			p = append(p, pair{"const", schemaName(typ)})
		}
		props = append(props, pair{f.key, p})
		switch {
		case allOrNone[f.owner]:
			together = append(together, f.key)
		case !f.optional:
			required = append(required, f.key)
		}
	}
	out := object{{"description", w.s.types[typ.Name()]}, {"type", "object"}, {"properties", props}, {"required", required}, {"additionalProperties", false}}
	if len(together) > 0 {
		var each object
		for _, key := range together {
			each = append(each, pair{key, together})
		}
		out = append(out, pair{"dependentRequired", each})
	}
	return out
}

// schemaName is what objects of a type say at their top.
func schemaName(typ reflect.Type) string {
	for name, root := range roots {
		if reflect.TypeOf(root) == typ {
			return name
		}
	}
	return ""
}

// field is a field of an object, those of structs within included.
type field struct {
	reflect.StructField
	owner, key string
	optional   bool
}

func fieldsOf(typ reflect.Type) []field {
	var out []field
	for i := range typ.NumField() {
		f := typ.Field(i)
		if f.Anonymous {
			out = append(out, fieldsOf(f.Type)...)
			continue
		}
		key, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		out = append(out, field{f, typ.Name(), key, option == "omitempty"})
	}
	return out
}

// value describes a value. A pointer may be null, unless what is not there is left out.
func (w *writer) value(typ reflect.Type, optional bool) object {
	switch typ.Kind() {
	case reflect.String:
		return object{{"type", "string"}}
	case reflect.Bool:
		return object{{"type", "boolean"}}
	case reflect.Int, reflect.Int64:
		return object{{"type", "integer"}}
	case reflect.Uint64:
		return object{{"type", "integer"}, {"minimum", 0}}
	case reflect.Float64:
		return object{{"type", "number"}}
	case reflect.Map:
		return object{{"type", "object"}, {"additionalProperties", w.value(typ.Elem(), false)}}
	case reflect.Slice:
		return object{{"type", "array"}, {"items", w.value(typ.Elem(), false)}}
	case reflect.Array:
		return object{{"type", "array"}, {"items", w.value(typ.Elem(), false)}, {"minItems", typ.Len()}, {"maxItems", typ.Len()}}
	case reflect.Pointer:
		if inner := w.value(typ.Elem(), false); optional {
			return inner
		} else {
			return object{{"anyOf", []object{inner, {{"type", "null"}}}}}
		}
	case reflect.Struct:
		if name := typ.Name(); !w.done[name] {
			w.done[name] = true
			at := len(w.defs)
			w.defs = append(w.defs, pair{name, nil}) // before those within
			w.defs[at].value = w.body(typ)
		}
		return object{{"$ref", "#/$defs/" + typ.Name()}}
	}
	w.t.Fatalf("no schema for %s", typ)
	return nil
}

// Every object has its schema, and that is what its Go type and comments say: a property for each field, required unless it may be left out.
func TestSchemasAreThoseOfTheTypes(t *testing.T) {
	s := readSource(t)
	for name, value := range s.consts {
		require.Contains(t, roots, value, "%s: roots in this file has no object for it", name)
	}
	require.Len(t, roots, len(s.consts))
	var names []string
	for _, full := range slices.Sorted(maps.Keys(roots)) {
		name := strings.TrimSuffix(strings.TrimPrefix(full, "sevenyard."), "/1")
		names = append(names, name)
		want := schemaOf(t, s, full)
		if *update {
			require.NoError(t, os.WriteFile(filepath.Join("schemas", name+".json"), want, 0o644))
			continue
		}
		got, ok := report.SchemaText(name)
		require.True(t, ok, "%s (go test ./cmd/internal/report -update writes it)", name)
		require.Equal(t, string(want), got, "%s (go test ./cmd/internal/report -update writes it anew)", name)
		same, ok := report.SchemaText(full)
		require.True(t, ok)
		require.Equal(t, got, same)
	}
	if !*update {
		slices.Sort(names)
		have := report.SchemaNames()
		slices.Sort(have)
		require.Equal(t, names, have)
	}
	for _, no := range []string{"", "nosuch", "sevenyard.lineup", "sevenyard.lineup/2", "../report"} {
		_, ok := report.SchemaText(no)
		require.False(t, ok, no)
	}
}

// units are what a number may be counted or measured in.
var units = regexp.MustCompile(`(?i)T points?|T point|\bseries\b|number of|\bnumbers? of\b|counted from [01]|\bplace\b|seconds|minutes|bytes|degrees|\byards\b|share of attempts|no unit|parts? of 1|0 to 1|at most 1|1/n to 1|\(n-1\)/n|where the search began|0: the file as a whole|own unit|index`)

// The description of everything that is a number, or is made of numbers, says in what unit.
func TestDescriptionsSayUnits(t *testing.T) {
	s := readSource(t)
	seen := map[reflect.Type]bool{}
	numbers := 0
	var walk func(reflect.Type)
	walk = func(typ reflect.Type) {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice || typ.Kind() == reflect.Map {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || seen[typ] {
			return
		}
		seen[typ] = true
		for _, f := range fieldsOf(typ) {
			if inMost(f.Type) {
				numbers++
				require.Regexp(t, units, s.fields[f.owner][f.Name], "%s.%s", f.owner, f.Name)
			}
			walk(f.Type)
		}
	}
	for _, root := range roots {
		walk(reflect.TypeOf(root))
	}
	require.Greater(t, numbers, 100)
}

// inMost tells whether a value is a number in the end.
func inMost(typ reflect.Type) bool {
	for slices.Contains([]reflect.Kind{reflect.Pointer, reflect.Slice, reflect.Map, reflect.Array}, typ.Kind()) {
		typ = typ.Elem()
	}
	return slices.Contains([]reflect.Kind{reflect.Int, reflect.Int64, reflect.Uint64, reflect.Float64}, typ.Kind())
}

// A schema turns away what its object never has.
func TestSchemasTurnAway(t *testing.T) {
	good := `{"schema":"sevenyard.season/1","team":"","games":[],"kids":[],"jain":null,"gini":0.5,"warnings":[]}`
	require.NoError(t, schematest.Keeps([]byte(good)))
	for _, c := range [][2]string{
		{`"team"`, `"teams"`}, {`"gini":0.5,`, ``}, {`"games":[]`, `"games":null`}, {`0.5`, `"0.5"`}, {`"team":""`, `"team":"","more":1`},
		{`"kids":[]`, `"kids":[{}]`}, {`season/1`, `season/2`}, {`season/1`, `lineup/1`},
	} {
		bad := strings.Replace(good, c[0], c[1], 1)
		require.NotEqual(t, good, bad)
		require.Error(t, schematest.Keeps([]byte(bad)), bad)
	}
}
