package nameless

import (
	"bytes"
	"encoding/csv"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/games"
)

// Games go by their ids, and an id with letters in it may be a name: of the other team's coach, say. Where names are left out, numbers stay,
// and other ids are told by their place in the record.

// MaybeName tells whether a game's id is more than a number.
func MaybeName(id string) bool { return strings.ContainsFunc(id, unicode.IsLetter) }

// GameInList is the id of a game in a list of several: in quotation marks, so that it is not told where names are left out, unless it is a
// number.
func GameInList(id string) string {
	if MaybeName(id) {
		return strconv.Quote(id)
	}
	return id
}

// mostOfRecord is the most bytes of a record that are looked through for ids.
const mostOfRecord = 64 << 20

// GamesNamed are the ids in the record of a folder that may be names, longer ones first. They are looked for in the file as it is, since
// a message may be about a record that cannot be read as one.
func GamesNamed(dir fs.FS) []string {
	if dir == nil {
		return nil
	}
	f, err := dir.Open(games.File)
	if err != nil {
		return nil
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil
	}
	data, err := io.ReadAll(io.LimitReader(f, mostOfRecord))
	if err != nil {
		return nil
	}
	var out []string
	column := -1
	for _, line := range bytes.Split(bytes.ReplaceAll(data, []byte("\r"), []byte("\n")), []byte("\n")) {
		cells := cellsOf(string(bytes.TrimPrefix(line, []byte("\ufeff"))))
		if column < 0 {
			column = slices.IndexFunc(cells, func(c string) bool { return strings.EqualFold(c, "game") })
			continue
		}
		if column < len(cells) && MaybeName(cells[column]) && !slices.Contains(out, cells[column]) {
			out = append(out, cells[column])
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return len(b) - len(a) })
	return out
}

// cellsOf are the cells of a row, whatever stands between them.
func cellsOf(line string) []string {
	r := csv.NewReader(strings.NewReader(line))
	r.LazyQuotes, r.FieldsPerRecord = true, -1
	for _, sep := range ";\t" {
		if strings.ContainsRune(line, sep) && !strings.ContainsRune(line, ',') {
			r.Comma = sep
		}
	}
	cells, err := r.Read()
	if err != nil {
		return nil
	}
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
	}
	return cells
}

// HideGames gives a function that takes the ids of games out of a message, where it speaks of a game.
func HideGames(ids []string) func(string) string {
	return func(text string) string {
		for _, id := range ids {
			for _, before := range []string{"game ", "Game "} {
				text = replaceWord(text, before, id)
			}
		}
		return text
	}
}

// replaceWord takes a word out of a text where it follows the words before it and ends there.
func replaceWord(text, before, word string) string {
	var b strings.Builder
	for {
		i := strings.Index(text, before+word)
		if i < 0 {
			return b.String() + text
		}
		end := i + len(before) + len(word)
		next := strings.IndexFunc(text[end:], func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '-' && r != '_' })
		if next != 0 && end < len(text) { // a longer word
			b.WriteString(text[:end])
		} else {
			b.WriteString(text[:i+len(before)] + NotShown)
		}
		text = text[end:]
	}
}

// OfRecord is Problems for the record of a folder: ids of games that may be names go too.
func OfRecord(ps drills.Problems, dir fs.FS, f *drills.Folder) drills.Problems {
	out, hide := Problems(ps, f), HideGames(GamesNamed(dir))
	for i := range out {
		out[i].What, out[i].Do = hide(out[i].What), hide(out[i].Do)
	}
	return out
}

// GameID is the id of a game, as far as it may be shown.
func GameID(id string) string {
	if MaybeName(id) {
		return NotShown
	}
	return id
}

// Date is the date of a game, as far as it may be shown: a record typed by hand may have something else in its place.
func Date(text string) string {
	if _, err := time.Parse(time.DateOnly, text); err != nil && text != "" {
		return NotShown
	}
	return text
}

// Season takes opponents, and ids and dates that may be names, out of a season.
func Season(s *report.Season) {
	for i := range s.Games {
		g := &s.Games[i]
		if g.Opponent = ""; MaybeName(g.Game) {
			g.Game = "number " + strconv.Itoa(i+1)
		}
		g.Date = Date(g.Date)
		for k := range s.Kids {
			s.Kids[k].Games[i].Game = g.Game // one for each game, in the same order
		}
	}
}
