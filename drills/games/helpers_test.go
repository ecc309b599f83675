package games

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/drills"
)

// read reads a text that must be without problems.
func read(t testing.TB, text string) *Record {
	t.Helper()
	rec, err := Read(File, strings.NewReader(text))
	require.NoError(t, err)
	return rec
}

// problems reads a text that must have some.
func problems(t testing.TB, text string) []string {
	t.Helper()
	_, err := Read(File, strings.NewReader(text))
	var ps drills.Problems
	require.ErrorAs(t, err, &ps)
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.Error()
	}
	return out
}

// blocks writes changes one after the other, and gives the text and where each entry ends in it.
func blocks(t require.TestingT, st fileState, text string, changes []*Change) (string, []int) {
	var ends []int
	for _, c := range changes {
		block, err := c.encode(st)
		require.NoError(t, err)
		text += string(block)
		ends = append(ends, len(text))
		rec, err := parse(File, []byte(text))
		require.NoError(t, err, text)
		st = rec.state
	}
	return text, ends
}

var someRoles = []string{"front", "corner", "deep", "rusher"}

// genChanges draws entries that go together: games with some kids, series, corrections, and now and then something void.
func genChanges(t *rapid.T) []*Change {
	var out []*Change
	type known struct {
		series map[int]bool
		there  bool
	}
	games := map[string]*known{}
	n := rapid.IntRange(1, 6).Draw(t, "entries")
	for range n {
		id := rapid.SampledFrom([]string{"1", "2", "final", "a-3"}).Draw(t, "game")
		c := &Change{Game: id, Date: rapid.SampledFrom([]string{"", "2026-09-12", "2026-10-03"}).Draw(t, "date"),
			Opponent: rapid.SampledFrom([]string{"", "Egrets", `Herons, "B"`, "Möwen; Süd"}).Draw(t, "opponent")}
		g := games[id]
		if g == nil {
			g = &known{series: map[int]bool{}}
			games[id] = g
		} else if len(g.series) > 0 && rapid.IntRange(0, 5).Draw(t, "void") == 0 {
			c.VoidGame = true
			*g = known{series: map[int]bool{}}
		} else if s := rapid.IntRange(1, 8).Draw(t, "series"); g.series[s] && rapid.Bool().Draw(t, "void one") {
			c.Void = []int{s}
			delete(g.series, s)
		}
		kids := rapid.IntRange(7, 12).Draw(t, "kids")
		if !g.there || rapid.Bool().Draw(t, "attendance") {
			g.there = true
			for k := range 12 {
				c.Kids = append(c.Kids, Presence{Kid: fmt.Sprint(k + 1), First: 1})
			}
		}
		for range rapid.IntRange(0, 5).Draw(t, "lines") {
			s := Series{Number: rapid.IntRange(1, 8).Draw(t, "number")}
			if g.series[s.Number] && contains(c.Series, s.Number) || contains(c.Series, s.Number) {
				continue
			}
			for _, k := range rapid.Permutation(count(kids)).Draw(t, "order")[:5] {
				s.Slots = append(s.Slots, Slot{rapid.SampledFrom(someRoles).Draw(t, "role"), fmt.Sprint(k + 1)})
			}
			c.Series = append(c.Series, s)
			g.series[s.Number] = true
		}
		if c.check() == nil {
			out = append(out, c)
		}
	}
	return out
}

func contains(series []Series, n int) bool {
	for _, s := range series {
		if s.Number == n {
			return true
		}
	}
	return false
}

func count(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// replay applies changes in memory, by a way of its own.
func replay(changes []*Change) map[string]map[int][]Slot {
	out := map[string]map[int][]Slot{}
	for _, c := range changes {
		if out[c.Game] == nil || c.VoidGame {
			out[c.Game] = map[int][]Slot{}
		}
		for _, n := range c.Void {
			delete(out[c.Game], n)
		}
		for _, s := range c.Series {
			out[c.Game][s.Number] = s.Slots
		}
	}
	return out
}

// played gives the series of a record in the same form.
func playedIn(rec *Record) map[string]map[int][]Slot {
	out := map[string]map[int][]Slot{}
	for _, g := range rec.Games {
		out[g.ID] = map[int][]Slot{}
		for _, s := range g.Series {
			out[g.ID][s.Number] = s.Slots
		}
	}
	return out
}

// prune drops games without a series, of which a record may or may not know.
func prune(m map[string]map[int][]Slot) map[string]map[int][]Slot {
	for id, g := range m {
		if len(g) == 0 {
			delete(m, id)
		}
	}
	return m
}

// season is a record of at least so many rows: games of 10 series and 12 kids, each written in one entry.
func season(t testing.TB, rows int) string {
	t.Helper()
	var text strings.Builder
	st := fileState{cut: -1}
	for g, n := 1, 0; n < rows; g++ {
		c := &Change{Game: fmt.Sprint(g), Date: "2026-09-12", Opponent: "Egrets"}
		for k := range 12 {
			c.Kids = append(c.Kids, Presence{fmt.Sprint(k + 1), 1, 0})
		}
		for s := range 10 {
			line := Series{Number: s + 1}
			for i := range 5 {
				line.Slots = append(line.Slots, Slot{someRoles[i%4], fmt.Sprint((s*5+i)%12 + 1)})
			}
			c.Series = append(c.Series, line)
		}
		block, err := c.encode(st)
		require.NoError(t, err)
		text.Write(block)
		n += len(c.Kids) + 50 + 2
		st = fileState{cut: -1, there: true, columns: columns, separator: ',', lineEnd: "\n", last: g}
	}
	return text.String()
}
