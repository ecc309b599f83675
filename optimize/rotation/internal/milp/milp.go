// Package milp writes mixed-integer programs in free MPS.
package milp

import (
	"bufio"
	"fmt"
	"io"
	"sort"
)

// Term is a coefficient at a column.
type Term struct {
	Col  int
	Coef int64
}

// Row is a linear rule; Sense is one of the letters of MPS: E, L (at most), G (at least).
type Row struct {
	Name  string
	Sense byte
	RHS   int64
	Terms []Term
}

// Column is a variable; Bound is its type in the BOUNDS section of MPS: BV binary, FR free, empty for 0 or
// more.
type Column struct{ Name, Bound string }

// Program is a mixed-integer program under construction.
type Program struct {
	Name string // in the file, one word
	Cols []Column
	Rows []Row
	Max  []Term // the objective, to be maximised
}

// Col adds a column and gives its number.
func (m *Program) Col(c Column) int {
	m.Cols = append(m.Cols, c)
	return len(m.Cols) - 1
}

// Add adds a rule. Columns that stand twice are added up; a rule without columns is kept only
// if it cannot hold, which is how a contradiction in the problem reaches the reader.
func (m *Program) Add(sense byte, rhs int64, terms []Term, name string, index ...int) {
	for _, i := range index {
		name += fmt.Sprintf("_%d", i)
	}
	sort.SliceStable(terms, func(i, j int) bool { return terms[i].Col < terms[j].Col })
	merged := terms[:0]
	for _, t := range terms {
		if n := len(merged); n > 0 && merged[n-1].Col == t.Col {
			merged[n-1].Coef += t.Coef
		} else {
			merged = append(merged, t)
		}
	}
	holds := sense == 'E' && rhs == 0 || sense == 'L' && rhs >= 0 || sense == 'G' && rhs <= 0
	if len(merged) > 0 || !holds {
		m.Rows = append(m.Rows, Row{name, sense, rhs, merged})
	}
}

// Write puts the program into free MPS: fields apart by blanks, one section after the other. about are lines of comment to begin with.
func (m *Program) Write(w io.Writer, about ...string) error {
	b := bufio.NewWriter(w)
	for _, line := range about {
		fmt.Fprintln(b, "*", line)
	}
	fmt.Fprintln(b, "* The objective is to be maximised; it stands here negated, to be minimised.")
	fmt.Fprintln(b, "NAME "+m.Name+" FREE")
	fmt.Fprintln(b, "ROWS\n N negated")
	byCol := make([][]Term, len(m.Cols)) // here term.Col is a row, -1 the objective
	for _, t := range m.Max {
		byCol[t.Col] = append(byCol[t.Col], Term{-1, -t.Coef})
	}
	for i, r := range m.Rows {
		fmt.Fprintf(b, " %c %s\n", r.Sense, r.Name)
		for _, t := range r.Terms {
			byCol[t.Col] = append(byCol[t.Col], Term{i, t.Coef})
		}
	}
	fmt.Fprintln(b, "COLUMNS")
	for c, terms := range byCol {
		if len(terms) == 0 {
			// A column must stand in some row to exist.
			terms = []Term{{-1, 0}}
		}
		for _, t := range terms {
			name := "negated"
			if t.Col >= 0 {
				name = m.Rows[t.Col].Name
			}
			fmt.Fprintf(b, " %s %s %d\n", m.Cols[c].Name, name, t.Coef)
		}
	}
	fmt.Fprintln(b, "RHS")
	for _, r := range m.Rows {
		if r.RHS != 0 {
			fmt.Fprintf(b, " rhs %s %d\n", r.Name, r.RHS)
		}
	}
	fmt.Fprintln(b, "BOUNDS")
	for _, c := range m.Cols {
		if c.Bound != "" {
			fmt.Fprintf(b, " %s bounds %s\n", c.Bound, c.Name)
		}
	}
	fmt.Fprintln(b, "ENDATA")
	return b.Flush()
}
