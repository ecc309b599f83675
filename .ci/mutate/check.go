package main

import (
	"context"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// checker tells which mutants of a package compile, without building them.
type checker struct {
	fset     *token.FileSet
	files    map[string]*ast.File // by name in the module
	importer types.Importer
}

// newChecker reads a package's files and finds what its imports export.
func newChecker(ctx context.Context, root, dir string, sources map[string][]byte) (*checker, error) {
	out, err := run(ctx, root, nil, 10*time.Minute, "go", "list", "-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}", "./"+dir)
	if err != nil {
		return nil, err
	}
	exports := map[string]string{}
	for line := range strings.Lines(string(out)) {
		if path, file, ok := strings.Cut(strings.TrimSpace(line), " "); ok {
			exports[path] = file
		}
	}
	c := &checker{fset: token.NewFileSet(), files: map[string]*ast.File{}}
	c.importer = importer.ForCompiler(c.fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	for name, source := range sources {
		if filepath.Dir(name) != dir {
			continue
		}
		if c.files[name], err = parser.ParseFile(c.fset, name, source, parser.SkipObjectResolution); err != nil {
			return nil, err
		}
	}
	if err := c.check("", nil); err != nil {
		return nil, fmt.Errorf("without a mutant: %w", err)
	}
	return c, nil
}

// compiles tells whether a mutant is Go.
func (c *checker) compiles(m *mutant, source []byte) bool {
	file, err := parser.ParseFile(token.NewFileSet(), m.file, m.apply(source), parser.SkipObjectResolution)
	return err == nil && c.check(m.file, file) == nil
}

// check looks at the package with one of its files replaced.
func (c *checker) check(name string, by *ast.File) error {
	var files []*ast.File
	for n, f := range c.files {
		if n == name {
			f = by
		}
		files = append(files, f)
	}
	config := types.Config{Importer: c.importer}
	_, err := config.Check("p", c.fset, files, nil)
	return err
}
