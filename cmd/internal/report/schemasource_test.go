package report_test

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// source is what the files of the package say beside its types.
type source struct {
	consts map[string]string            // the values of ...Schema
	types  map[string]string            // comments by type
	fields map[string]map[string]string // comments by type and Go field
}

func readSource(t *testing.T) source {
	s := source{consts: map[string]string{}, types: map[string]string{}, fields: map[string]map[string]string{}}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	files = append([]string{"../../../drills/games/types.go"}, files...) // the slot of the record; where names are alike, those of this package count
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GenDecl:
				for _, spec := range n.Specs {
					s.take(t, n, spec)
				}
			}
			return true
		})
	}
	return s
}

func (s source) take(t *testing.T, decl *ast.GenDecl, spec ast.Spec) {
	switch spec := spec.(type) {
	case *ast.ValueSpec:
		if name := spec.Names[0].Name; decl.Tok == token.CONST && strings.HasSuffix(name, "Schema") {
			v, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
			require.NoError(t, err)
			s.consts[name] = v
		}
	case *ast.TypeSpec:
		st, ok := spec.Type.(*ast.StructType)
		if !ok {
			return
		}
		s.types[spec.Name.Name] = plain(decl.Doc)
		s.fields[spec.Name.Name] = map[string]string{}
		for _, f := range st.Fields.List {
			for _, n := range f.Names {
				s.fields[spec.Name.Name][n.Name] = strings.TrimSpace(plain(f.Doc) + " " + plain(f.Comment))
			}
		}
	}
}

// plain is a comment on one line.
func plain(c *ast.CommentGroup) string { return strings.Join(strings.Fields(c.Text()), " ") }

// object is a JSON object whose keys keep their order.
type object []pair

type pair struct {
	key   string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, p := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := text(p.key)
		if err != nil {
			return nil, err
		}
		value, err := text(p.value)
		if err != nil {
			return nil, err
		}
		b.Write(append(append(key, ':'), value...))
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func text(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSpace(b.Bytes()), err
}
