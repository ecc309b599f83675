package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"strings"
)

// mutant is one small change of one file: bytes from start up to end are replaced.
type mutant struct {
	file       string // as given to mutantsOf
	function   string // the declaration that it stands in, "" outside functions
	kind       string
	line       int
	start, end int
	text       string
}

// swaps are the operators and what stands in for each.
var swaps = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL},
	token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL}, token.REM: {token.MUL},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN},
	token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN},
	token.INC: {token.DEC}, token.DEC: {token.INC},
}

// finder collects the mutants of one file.
type finder struct {
	file     string
	function string
	fset     *token.FileSet
	out      []mutant
}

// mutantsOf gives every mutant of a Go file, in the order of the text. Some of them will not compile.
func mutantsOf(file string, source []byte) ([]mutant, error) {
	f := &finder{file: file, fset: token.NewFileSet()}
	tree, err := parser.ParseFile(f.fset, file, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	for _, d := range tree.Decls {
		f.function = ""
		switch d := d.(type) {
		case *ast.FuncDecl:
			f.function = name(d)
			f.look(d.Body)
		case *ast.GenDecl:
			if d.Tok != token.IMPORT {
				f.look(d)
			}
		}
	}
	slices.SortStableFunc(f.out, func(a, b mutant) int { return a.start - b.start })
	return f.out, nil
}

// name is a function's name, with its receiver's type in front for a method.
func name(d *ast.FuncDecl) string {
	if d.Recv == nil {
		return d.Name.Name
	}
	t := d.Recv.List[0].Type
	if p, ok := t.(*ast.StarExpr); ok {
		t = p.X
	}
	if id, ok := t.(*ast.Ident); ok {
		return id.Name + "." + d.Name.Name
	}
	return d.Name.Name
}

func (f *finder) look(root ast.Node) {
	if root == nil || root == (*ast.BlockStmt)(nil) {
		return
	}
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			f.operator(n.OpPos, n.Op)
		case *ast.AssignStmt:
			f.operator(n.TokPos, n.Tok)
		case *ast.IncDecStmt:
			f.operator(n.TokPos, n.Tok)
		case *ast.UnaryExpr:
			if n.Op == token.SUB {
				f.add("sign", n.OpPos, n.OpPos+1, "")
			}
			if n.Op == token.NOT {
				f.add("condition", n.OpPos, n.OpPos+1, "")
			}
		case *ast.IfStmt:
			f.condition(n.Cond)
		case *ast.ForStmt:
			f.condition(n.Cond)
		case *ast.BasicLit:
			f.constant(n)
		case *ast.Ident:
			switch n.Name {
			case "true":
				f.add("constant", n.Pos(), n.End(), "false")
			case "false":
				f.add("constant", n.Pos(), n.End(), "true")
			}
		case *ast.BlockStmt:
			f.removals(n.List)
		case *ast.CaseClause:
			f.removals(n.Body)
		case *ast.CallExpr:
			// Of the argument of math.Inf only the sign counts.
			if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "Inf" && len(n.Args) == 1 {
				if sign, ok := n.Args[0].(*ast.UnaryExpr); ok {
					f.add("sign", sign.OpPos, sign.OpPos+1, "")
					return false
				}
				_, literal := n.Args[0].(*ast.BasicLit)
				return !literal
			}
		case *ast.Field:
			return false // tags, and lengths of types
		}
		return true
	})
}

func (f *finder) operator(at token.Pos, op token.Token) {
	for _, by := range swaps[op] {
		kind := "arithmetic"
		switch op {
		case token.LSS, token.LEQ, token.GTR, token.GEQ, token.EQL, token.NEQ:
			kind = "comparison"
		case token.LAND, token.LOR:
			kind = "logic"
		}
		f.add(kind, at, at+token.Pos(len(op.String())), by.String())
	}
}

// condition negates one that has no operator of its own to be changed.
func (f *finder) condition(c ast.Expr) {
	switch c := c.(type) {
	case nil:
	case *ast.BinaryExpr:
		if c.Op == token.LAND || c.Op == token.LOR {
			f.negate(c)
		}
	case *ast.UnaryExpr: // its ! is taken away elsewhere
	default:
		f.negate(c)
	}
}

func (f *finder) negate(c ast.Expr) {
	f.add("condition", c.Pos(), c.Pos(), "!(")
	last := &f.out[len(f.out)-1]
	last.end = f.fset.Position(c.End()).Offset
	last.text = "!(\x00)" // the text between stays: see apply
}

// constant changes a whole number by one either way.
func (f *finder) constant(l *ast.BasicLit) {
	if l.Kind != token.INT {
		return
	}
	v, err := strconv.ParseInt(l.Value, 0, 64)
	if err != nil {
		return
	}
	for _, by := range []int64{v + 1, v - 1} {
		text := strconv.FormatInt(by, 10)
		if by < 0 {
			text = "(" + text + ")"
		}
		f.add("constant", l.Pos(), l.End(), text)
	}
}

// removals takes statements away one by one: what sets something, calls something, or leaves early.
func (f *finder) removals(list []ast.Stmt) {
	for _, s := range list {
		switch s := s.(type) {
		case *ast.AssignStmt:
			if s.Tok == token.DEFINE {
				continue
			}
		case *ast.IncDecStmt, *ast.ExprStmt, *ast.ReturnStmt, *ast.BranchStmt, *ast.DeferStmt:
		default:
			continue
		}
		f.add("statement", s.Pos(), s.End(), "")
	}
}

func (f *finder) add(kind string, start, end token.Pos, text string) {
	p := f.fset.Position(start)
	f.out = append(f.out, mutant{f.file, f.function, kind, p.Line, p.Offset, f.fset.Position(end).Offset, text})
}

// apply gives the file with the change made.
func (m *mutant) apply(source []byte) []byte {
	text := strings.Replace(m.text, "\x00", string(source[m.start:m.end]), 1)
	return slices.Concat(source[:m.start], []byte(text), source[m.end:])
}

// lines gives the lines that change, without the space around them, before and after.
func (m *mutant) lines(source []byte) (before, after string) {
	from := strings.LastIndexByte(string(source[:m.start]), '\n') + 1
	to := len(source)
	if n := strings.IndexByte(string(source[m.end:]), '\n'); n >= 0 {
		to = m.end + n
	}
	changed := m.apply(source)
	return trimmed(source[from:to]), trimmed(changed[from : len(changed)-(len(source)-to)])
}

func trimmed(text []byte) string {
	lines := strings.Split(string(text), "\n")
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return strings.Join(lines, "\n")
}

// diff is what a person reads of a mutant.
func (m *mutant) diff(source []byte) string {
	before, after := m.lines(source)
	return fmt.Sprintf("-%s\n+%s\n", strings.ReplaceAll(before, "\n", "\n-"), strings.ReplaceAll(after, "\n", "\n+"))
}
