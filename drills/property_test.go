package drills

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// sheet is a random evaluation night: cells[k][c] for kid k and column c, "" for none.
type sheet struct {
	kids    []string
	columns []string // wide headers
	drills  []string // of the columns
	trials  []int
	of      []int // attempts; 0 for timed drills
	cells   [][]string
	timer   []string // of each kid
}

func drawSheet(t *rapid.T) sheet {
	s := sheet{kids: rapid.SliceOfNDistinct(rapid.StringMatching(`[1-9][0-9]?|[A-Z][a-z]{1,3}[0-9]`), 1, 8,
		func(id string) string { return strings.ToLower(id) }).Draw(t, "kids")}
	for _, d := range Default().Drills {
		for trial := range rapid.IntRange(0, 2).Draw(t, d.Name) {
			of, header := 0, fmt.Sprintf("%s %d", d.Name, trial+1)
			if d.Kind == Counted {
				of = rapid.IntRange(5, 12).Draw(t, "attempts")
				header += fmt.Sprintf("/%d", of)
			}
			s.columns, s.drills = append(s.columns, header), append(s.drills, d.Name)
			s.trials, s.of = append(s.trials, trial+1), append(s.of, of)
		}
	}
	for range s.kids {
		row := make([]string, len(s.columns))
		for c := range row {
			switch rapid.IntRange(0, 5).Draw(t, "cell") {
			case 0:
			case 1:
				row[c] = "DNF"
			default:
				row[c] = fmt.Sprintf("%.2f", 5+float64(rapid.IntRange(0, 500).Draw(t, "hundredths"))/100)
				if s.of[c] > 0 {
					row[c] = fmt.Sprint(rapid.IntRange(0, s.of[c]).Draw(t, "successes"))
				}
			}
		}
		s.cells = append(s.cells, row)
		s.timer = append(s.timer, rapid.SampledFrom([]string{"", "Kim", "Lee, the other"}).Draw(t, "timer"))
	}
	return s
}

func csvCell(s string, sep string) string {
	if strings.ContainsAny(s, sep+`"`) {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

func csvRow(sep string, cells ...string) string {
	for i, c := range cells {
		cells[i] = csvCell(c, sep)
	}
	return strings.Join(cells, sep)
}

// long gives the rows of the sheet, header first, in long form.
func (s sheet) long(sep string) []string {
	rows := []string{csvRow(sep, "kid", "drill", "trial", "value", "attempts", "timer", "date")}
	for k, id := range s.kids {
		for c := range s.columns {
			if s.cells[k][c] == "" {
				continue
			}
			of := ""
			if s.of[c] > 0 {
				of = fmt.Sprint(s.of[c])
			}
			rows = append(rows, csvRow(sep, id, s.drills[c], fmt.Sprint(s.trials[c]), s.cells[k][c], of, s.timer[k], "2026-08-29"))
		}
	}
	return rows
}

func (s sheet) wide(sep string) []string {
	rows := []string{csvRow(sep, append([]string{"kid", "timer", "date"}, s.columns...)...)}
	for k, id := range s.kids {
		rows = append(rows, csvRow(sep, append([]string{id, s.timer[k], "2026-08-29"}, s.cells[k]...)...))
	}
	return rows
}

func (s sheet) roster() []string {
	rows := []string{"kid,name,grade,hold,never,notes"}
	for i, id := range s.kids {
		rows = append(rows, fmt.Sprintf("%s,Kid %d,%d,,,", id, i, i%3+1))
	}
	return rows
}

func text(rows []string) string { return strings.Join(rows, "\n") + "\n" }

func (s sheet) read(t *rapid.T, roster, results string) *Folder {
	return noLines(mustRead(t, folder("team.toml", okTeam, "roster.csv", roster, "results.csv", results)))
}

func shuffled(t *rapid.T, rows []string) []string {
	return append(rows[:1:1], rapid.Permutation(rows[1:]).Draw(t, "order")...)
}

func TestOrderOfRowsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		want := s.read(t, text(s.roster()), text(s.long(",")))
		assert.Equal(t, want, s.read(t, text(shuffled(t, s.roster())), text(shuffled(t, s.long(",")))))
	})
}

func TestOrderOfFitsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		rows := []string{"kid,role,fit,se"}
		for _, id := range s.kids {
			for _, role := range Default().Roles {
				if rapid.Bool().Draw(t, "given") {
					rows = append(rows, fmt.Sprintf("%s,%s,%d,5", id, role.Name, rapid.IntRange(0, 100).Draw(t, "fit")))
				}
			}
		}
		read := func(rows []string) []OwnFit {
			f := mustRead(t, folder("team.toml", okTeam, "roster.csv", text(s.roster()), "results.csv", text(s.long(",")), "fits.csv", text(rows)))
			for i := range f.Fits {
				f.Fits[i].At = Place{}
			}
			return f.Fits
		}
		want := read(rows)
		assert.Len(t, want, len(rows)-1)
		assert.Equal(t, want, read(shuffled(t, rows)))
	})
}

// Problems too are the same for shuffled rows, but for their lines.
func TestOrderOfRowsChangesNoProblem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		rows := append(s.long(","), "99x,shuttle,1,6.4,,,", s.kids[0]+",shutle,1,6.4,,,", s.kids[0]+",shuttle,8,66,,,")
		what := func(rows []string) []string {
			_, err := ReadFolder(folder("team.toml", okTeam, "roster.csv", text(s.roster()), "results.csv", text(rows)))
			var out []string
			for _, p := range err.(Problems) {
				out = append(out, p.What+p.Do)
			}
			return out
		}
		assert.ElementsMatch(t, what(rows), what(shuffled(t, rows)))
	})
}

func TestWideEqualsLong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		if len(s.columns) == 0 {
			return
		}
		want := s.read(t, text(s.roster()), text(s.long(",")))
		assert.Equal(t, want, s.read(t, text(s.roster()), text(s.wide(","))))
	})
}

// Separators, decimal commas, line ends, byte order marks, quotes, spaces, blank lines and notes
// are a matter of the spreadsheet and change nothing.
func TestFormsOfTextChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		want := s.read(t, text(s.roster()), text(s.long(",")))

		other := s
		if rapid.Bool().Draw(t, "decimal commas") {
			other.cells = nil
			for _, row := range s.cells {
				var out []string
				for _, c := range row {
					out = append(out, strings.Replace(c, ".", ",", 1))
				}
				other.cells = append(other.cells, out)
			}
		}
		sep := rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "separator")
		rows := other.long(sep)
		if rapid.Bool().Draw(t, "wide") && len(s.columns) > 0 {
			rows = other.wide(sep)
		}
		if rapid.Bool().Draw(t, "blank lines and notes") {
			rows = append([]string{"# a note, with; all", "", sep + sep}, append(rows, "", strings.Repeat(sep, 7), "# the end")...)
		}
		if rapid.Bool().Draw(t, "upper case") {
			for i, r := range rows {
				if strings.HasPrefix(r, "kid"+sep) {
					rows[i] = strings.ToUpper(r)
				}
			}
		}
		end := rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(t, "line end")
		file := strings.Join(rows, end)
		if rapid.Bool().Draw(t, "last line end") {
			file += end
		}
		if rapid.Bool().Draw(t, "byte order mark") {
			file = "\ufeff" + file
		}
		roster := "\ufeff" + strings.Join(s.roster(), end)
		assert.Equal(t, want, s.read(t, roster, file), "%q", file)
	})
}

// Columns may stand in any order.
func TestOrderOfColumnsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		if len(s.columns) == 0 {
			return
		}
		want := s.read(t, text(s.roster()), text(s.long(",")))
		for i := range s.timer {
			s.timer[i] = strings.ReplaceAll(s.timer[i], ", the other", "")
		}
		plain := s.read(t, text(s.roster()), text(s.long(",")))
		assert.Len(t, plain.Trials, len(want.Trials))
		for _, rows := range [][]string{s.long(","), s.wide(",")} {
			n := strings.Count(rows[0], ",") + 1
			places := make([]int, n)
			for i := range places {
				places[i] = i
			}
			order := rapid.Permutation(places).Draw(t, "columns")
			var out []string
			for _, r := range rows {
				cells := strings.Split(r, ",")
				moved := make([]string, n)
				for i, from := range order {
					moved[i] = cells[from]
				}
				out = append(out, strings.Join(moved, ","))
			}
			assert.Equal(t, plain, s.read(t, text(s.roster()), text(out)))
		}
	})
}

// A name is only a name: other names leave everything else as it is.
func TestNamesChangeOnlyNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		want := s.read(t, text(s.roster()), text(s.long(",")))
		got := s.read(t, strings.ReplaceAll(text(s.roster()), "Kid ", "Player "), text(s.long(",")))
		for i := range got.Roster {
			got.Roster[i].Name = strings.ReplaceAll(got.Roster[i].Name, "Player ", "Kid ")
		}
		assert.Equal(t, want, got)
	})
}
