package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// readers are functions that may be given a command line: those that read it into options, those that make or explain a command, and what they call.
var readers = regexp.MustCompile(`^([Rr]ead|[Nn]ew)[A-Z]|^(many|onlySaved|kidList|poolSource|commandPath|explain|Target|OnUsage|onUsage|badValue|helpOne)$`)

// TestFlagsAreReadOnce: a command line is read into options, and whatever works with these is handed none.
func TestFlagsAreReadOnce(t *testing.T) {
	seen := 0
	require.NoError(t, filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		for _, decl := range file.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok {
				continue
			}
			for _, p := range f.Type.Params.List {
				star, ok := p.Type.(*ast.StarExpr)
				if !ok {
					continue
				}
				if sel, ok := star.X.(*ast.SelectorExpr); ok && sel.Sel.Name == "Context" {
					seen++
					require.Regexp(t, readers, f.Name.Name, path)
				}
			}
		}
		return nil
	}))
	require.Greater(t, seen, 20)
}
