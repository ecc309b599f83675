package drills

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"unicode/utf8"
)

const (
	// MaxProblems is how many problems of one file are reported one by one; a last entry then
	// says how many more there are.
	MaxProblems = 200
	// A garbage file can have a problem on each of a million lines; this many are kept to sort.
	keptProblems = 10_000
)

// collector gathers the problems of one file.
type collector struct {
	file string
	list Problems
	more int
}

// add notes a problem; line 0 means the whole file.
func (c *collector) add(line int, do, format string, args ...any) {
	if len(c.list) >= keptProblems {
		c.more++
		return
	}
	c.list = append(c.list, Problem{Place{c.file, line}, fmt.Sprintf(format, args...), do})
}

// finish sorts by line, takes out repetitions and caps the list; nil if there is none.
func (c *collector) finish() Problems {
	slices.SortStableFunc(c.list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.At.Line, b.At.Line), cmp.Compare(a.What, b.What), cmp.Compare(a.Do, b.Do))
	})
	list := slices.Compact(c.list)
	if more := c.more + len(list) - MaxProblems; more > 0 && len(list) > MaxProblems {
		list = append(list[:MaxProblems:MaxProblems], Problem{
			Place{c.file, 0}, fmt.Sprintf("and %d more", more), "put the ones above right first"})
	}
	return list
}

// err is the list as an error, nil if it is empty.
func (ps Problems) err() error {
	if len(ps) == 0 {
		return nil
	}
	return ps
}

// quote shows a value from a file: quoted, control characters escaped, long ones cut.
func quote(s string) string {
	const longest = 40
	if utf8.RuneCountInString(s) > longest {
		s = string([]rune(s)[:longest]) + "..."
	}
	return strconv.Quote(s)
}

// number writes a value without trailing zeros.
func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
