// Package texttab lays out small tables of plain text: two spaces between columns, a thin rule
// under the header, no boxes. It is the only package that knows the table library.
package texttab

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// Align says to which side the cells of a column lean.
type Align int

// The sides.
const (
	Left Align = iota
	Right
	Center
)

// Table is a table of text. Every row has as many cells as there are columns. Cells may hold
// terminal colours, which count as no width.
type Table struct {
	Head  []string // nil: no header
	Align []Align  // by column
	Rows  [][]string
}

// ErrRagged says that a row has not one cell a column.
var ErrRagged = errors.New("texttab: a row has the wrong number of cells")

// Ambiguous letters such as ± count one cell everywhere; the switch is process-wide, so it is
// turned once, whatever the locale says.
var narrow = sync.OnceFunc(func() { twwidth.SetEastAsian(false) })

// Width is the number of terminal cells that a text takes, colours not counted.
func Width(s string) int {
	narrow()
	return twwidth.Width(s)
}

// Columns gives the number of cells of the widest text of each column.
func (t *Table) Columns() []int {
	w := make([]int, len(t.Align))
	rows := t.Rows
	if t.Head != nil {
		rows = append([][]string{t.Head}, rows...)
	}
	for _, row := range rows {
		for i, c := range row {
			if i < len(w) {
				w[i] = max(w[i], Width(c))
			}
		}
	}
	return w
}

// Gap is the number of spaces between two columns.
const Gap = 2

// TotalWidth is the width of the rendered table.
func (t *Table) TotalWidth() int {
	n := Gap * max(0, len(t.Align)-1)
	for _, w := range t.Columns() {
		n += w
	}
	return n
}

func (t *Table) ragged() error {
	for _, row := range t.Rows {
		if len(row) != len(t.Align) {
			return fmt.Errorf("%w: %d of %d", ErrRagged, len(row), len(t.Align))
		}
	}
	if t.Head != nil && len(t.Head) != len(t.Align) {
		return fmt.Errorf("%w: header %d of %d", ErrRagged, len(t.Head), len(t.Align))
	}
	return nil
}

// Render gives the table's lines, without spaces at their ends.
func (t *Table) Render() (string, error) {
	narrow()
	if err := t.ragged(); err != nil {
		return "", err
	}
	if len(t.Rows) == 0 && t.Head == nil {
		return "", nil
	}
	var buf bytes.Buffer
	w := tablewriter.NewTable(&buf, t.options()...)
	if t.Head != nil {
		w.Header(t.Head)
	}
	for _, row := range t.Rows {
		if err := w.Append(append([]string(nil), row...)); err != nil { // it keeps the slice
			return "", err
		}
	}
	if err := w.Render(); err != nil {
		return "", err
	}
	lines := strings.Split(strings.TrimRight(buf.String(), "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n") + "\n", nil
}

// Blocks renders the table in blocks of columns, each at most width cells wide where a column allows it,
// an empty line between them. The first keep columns are repeated in every block.
func (t *Table) Blocks(width, keep int) (string, error) {
	if err := t.ragged(); err != nil {
		return "", err
	}
	out := ""
	for _, cols := range t.split(width, keep) {
		part := t.pick(cols)
		text, err := part.Render()
		if err != nil {
			return "", err
		}
		if out != "" {
			out += "\n"
		}
		out += text
	}
	return out, nil
}

// split shares the columns out to as few blocks as the width allows, evenly where that fits too.
func (t *Table) split(width, keep int) [][]int {
	w := t.Columns()
	keep = min(keep, len(w))
	var fixed []int
	used := 0
	for c := range keep {
		fixed = append(fixed, c)
		used += w[c] + Gap
	}
	greedy := fill(w, fixed, used, keep, width, len(w))
	if len(greedy) == 0 {
		return [][]int{fixed}
	}
	even := (len(w) - keep + len(greedy) - 1) / len(greedy)
	if b := fill(w, fixed, used, keep, width, even); len(b) == len(greedy) {
		return b
	}
	return greedy
}

// fill puts columns from first on into blocks of at most most columns and width cells.
func fill(w, fixed []int, used, first, width, most int) [][]int {
	var blocks [][]int
	room, n := 0, 0
	for c := first; c < len(w); c++ {
		if n == 0 || n == most || w[c] > room {
			blocks = append(blocks, append([]int(nil), fixed...))
			room, n = width-used, 0
		}
		last := len(blocks) - 1
		blocks[last] = append(blocks[last], c)
		room -= w[c] + Gap
		n++
	}
	return blocks
}

func (t *Table) pick(cols []int) *Table {
	take := func(row []string) []string {
		if row == nil {
			return nil
		}
		out := make([]string, len(cols))
		for i, c := range cols {
			if c < len(row) {
				out[i] = row[c]
			}
		}
		return out
	}
	part := &Table{Head: take(t.Head)}
	for _, c := range cols {
		part.Align = append(part.Align, t.Align[c])
	}
	for _, row := range t.Rows {
		part.Rows = append(part.Rows, take(row))
	}
	return part
}

func (t *Table) options() []tablewriter.Option {
	align := make([]tw.Align, len(t.Align))
	pads := make([]tw.Padding, len(t.Align))
	for i, a := range t.Align {
		align[i] = [...]tw.Align{tw.AlignLeft, tw.AlignRight, tw.AlignCenter}[a]
		pads[i] = tw.Padding{Right: strings.Repeat(" ", Gap), Overwrite: true}
		if i == len(t.Align)-1 {
			pads[i].Right = ""
		}
	}
	lines := tw.Lines{ShowTop: tw.Off, ShowBottom: tw.Off, ShowHeaderLine: tw.On, ShowFooterLine: tw.Off}
	return []tablewriter.Option{
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithTrimSpace(tw.Off),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Symbols:  tw.NewSymbolCustom("thin").WithRow("─").WithCenter("─").WithMidLeft("─").WithMidRight("─"),
			Borders:  tw.BorderNone,
			Settings: tw.Settings{Lines: lines, Separators: tw.Separators{ShowHeader: tw.On, ShowFooter: tw.Off, BetweenRows: tw.Off, BetweenColumns: tw.Off}},
		})),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithHeaderPaddingPerColumn(pads),
		tablewriter.WithRowPaddingPerColumn(pads),
	}
}
