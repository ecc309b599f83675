package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
)

// variable is the environment variable that chooses the mutant of a batch.
const variable = "MUTANT"

// switchFile is added to a package whose mutants are built in one go.
const switchFile = `package %s

import "os"

var mutantOn__ = os.Getenv("` + variable + `")
`

// batch puts many mutants into one build, since building costs more than testing: for each a copy of its function with the change made
// is appended to the file, and the function itself begins by handing over to the copy that the environment asks for. It gives
// the changed files of a package and the mutants that are in them; those of constants, variables and unusual functions are not.
func batch(dir string, mutants []*mutant, sources map[string][]byte) (files map[string][]byte, in map[*mutant]string, err error) {
	files, in = map[string][]byte{}, map[*mutant]string{}
	byFile := map[string][]*mutant{}
	for _, m := range mutants {
		if filepath.Dir(m.file) == dir {
			byFile[m.file] = append(byFile[m.file], m)
		}
	}
	pkg := ""
	for name, ms := range byFile {
		tree, err := parser.ParseFile(token.NewFileSet(), name, sources[name], parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		pkg = tree.Name.Name
		if text := batchFile(tree, sources[name], ms, in); text != nil {
			files[name] = text
		}
	}
	if len(in) > 0 {
		files[filepath.Join(dir, "mutant_on__.go")] = fmt.Appendf(nil, switchFile, pkg)
	}
	return files, in, nil
}

// batchFile gives a file with the copies of functions, nil if none of the mutants can be made so.
func batchFile(tree *ast.File, source []byte, mutants []*mutant, in map[*mutant]string) []byte {
	type insert struct {
		at   int
		text string
	}
	var heads []insert
	var copies strings.Builder
	for _, d := range tree.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Body == nil {
			continue
		}
		// Offsets are positions less the file's first.
		offset := func(p token.Pos) int { return int(p - tree.FileStart) }
		for _, m := range mutants {
			if m.start < offset(f.Body.Pos()) || m.end > offset(f.Body.End()) {
				continue
			}
			number := fmt.Sprint(len(in) + 1)
			call, ok := handOver(f, f.Name.Name+"__"+number)
			if !ok {
				continue
			}
			in[m] = number
			heads = append(heads, insert{offset(f.Body.Lbrace) + 1, fmt.Sprintf(" if mutantOn__ == %q { %s };", number, call)})
			changed := m.apply(source)
			end := offset(f.End()) + len(changed) - len(source)
			name := offset(f.Name.End())
			fmt.Fprintf(&copies, "\n%s__%s%s\n", changed[offset(f.Pos()):name], number, changed[name:end])
		}
	}
	if len(heads) == 0 {
		return nil
	}
	slices.SortStableFunc(heads, func(a, b insert) int { return b.at - a.at })
	for _, h := range heads {
		source = slices.Concat(source[:h.at], []byte(h.text), source[h.at:])
	}
	return slices.Concat(source, []byte(copies.String()))
}

// handOver is the call of a function's copy from the function; ok is false where that cannot be written down.
func handOver(f *ast.FuncDecl, name string) (call string, ok bool) {
	if f.Name.Name == "init" || f.Name.Name == "main" || f.Name.Name == "_" {
		return "", false
	}
	if f.Recv != nil {
		t := f.Recv.List[0].Type
		if p, is := t.(*ast.StarExpr); is {
			t = p.X
		}
		if _, plain := t.(*ast.Ident); !plain || len(f.Recv.List[0].Names) == 0 || f.Recv.List[0].Names[0].Name == "_" {
			return "", false
		}
		name = f.Recv.List[0].Names[0].Name + "." + name
	}
	names := func(list *ast.FieldList) (out []string, ok bool) {
		if list == nil {
			return nil, true
		}
		for _, p := range list.List {
			if len(p.Names) == 0 {
				return nil, false
			}
			for _, n := range p.Names {
				if n.Name == "_" {
					return nil, false
				}
				out = append(out, n.Name)
			}
		}
		return out, true
	}
	if kinds, _ := names(f.Type.TypeParams); len(kinds) > 0 {
		name += "[" + strings.Join(kinds, ", ") + "]"
	}
	given, ok := names(f.Type.Params)
	if !ok {
		return "", false
	}
	if n := len(given); n > 0 {
		if _, variadic := f.Type.Params.List[len(f.Type.Params.List)-1].Type.(*ast.Ellipsis); variadic {
			given[n-1] += "..."
		}
	}
	call = name + "(" + strings.Join(given, ", ") + ")"
	if f.Type.Results == nil {
		return call + "; return", true
	}
	return "return " + call, true
}
