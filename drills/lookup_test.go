package drills

import (
	"slices"
	"strings"
	"testing"

	"sevenyard/drills/prose"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestGrades(t *testing.T) {
	for in, want := range map[string]Grades{"3-4": {3, 4}, "k-1": {0, 1}, "K": {0, 0}, " 5 ": {5, 5}, "k - 8": {0, 8}, "3–4": {3, 4}, "10-12": {10, 12}} {
		got, err := ParseGrades(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, got, in)
		again, err := ParseGrades(got.String())
		require.NoError(t, err)
		assert.Equal(t, got, again)
	}
	for _, in := range []string{"", "-", "4-3", "3-", "-3", "13", "k-13", "3-4-5", "3rd", "+3", "1e1", "third"} {
		_, err := ParseGrades(in)
		assert.Error(t, err, in)
	}
	g := Grades{2, 4}
	assert.True(t, g.Contains(2) && g.Contains(4) && !g.Contains(1) && !g.Contains(5))
	assert.True(t, g.Overlaps(Grades{4, 9}) && g.Overlaps(Grades{0, 12}) && !g.Overlaps(Grades{5, 6}))
}

func TestRangeForIsTheWidestOfTheGrades(t *testing.T) {
	d := Drill{Ranges: []Range{{Grades{0, 1}, 5, 30}, {Grades{2, 3}, 4, 20}}}
	assert.Equal(t, Range{Grades{1, 1}, 5, 30}, d.RangeFor(Grades{1, 1}))
	assert.Equal(t, Range{Grades{1, 2}, 4, 30}, d.RangeFor(Grades{1, 2}))
	assert.Equal(t, Range{Grades{9, 9}, 4, 30}, d.RangeFor(Grades{9, 9}), "grades without a range of their own")
}

func TestNearMatch(t *testing.T) {
	cat := Default()
	for word, want := range map[string]string{"shutle": "shuttle", "SHUTTLE": "shuttle", "sprnt": "sprint", "cacth": "catch",
		"back": "backpedal", "pull-tme": "pull-time", "xylophone": "", "": "", "brake": "break"} {
		assert.Equal(t, want, prose.Near(word, cat.drillNames()), word)
	}
	assert.Equal(t, "", prose.Near("a", []string{"b"}), "a word that shares nothing is no match")
}

func TestNaturalLess(t *testing.T) {
	want := []string{"1", "2", "9", "10", "11", "a", "a2", "a10", "a10b", "b"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, func(a, b string) int {
		if NaturalLess(a, b) {
			return -1
		}
		return 1
	})
	assert.Equal(t, want, got)
}

// A strict total order: exactly one of a<b, b<a, a==b, and transitive.
func TestNaturalLessIsAnOrder(t *testing.T) {
	id := rapid.StringMatching(`[a0-2]{1,4}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := id.Draw(t, "a"), id.Draw(t, "b"), id.Draw(t, "c")
		if NaturalLess(a, b) && NaturalLess(b, a) || a != b && !NaturalLess(a, b) && !NaturalLess(b, a) || NaturalLess(a, a) {
			t.Fatalf("%q and %q are not ordered", a, b)
		}
		if NaturalLess(a, b) && NaturalLess(b, c) && !NaturalLess(a, c) {
			t.Fatalf("%q %q %q are not transitive", a, b, c)
		}
	})
}

func TestParseNumber(t *testing.T) {
	for in, want := range map[string]float64{"6.4": 6.4, "6,4": 6.4, ".64": .64, "-4.2": -4.2, "7": 7, "+7.0": 7, "06.40": 6.4, "6.": 6} {
		got, ok := parseNumber(in)
		assert.True(t, ok, in)
		assert.Equal(t, want, got, in)
	}
	for _, in := range []string{"", ".", "-", "1,234.5", "1.234.5", "7:05", "NaN", "Inf", "-inf", "1e3", "0x10", "6.4s", "6 4", "1_000", "٣"} {
		_, ok := parseNumber(in)
		assert.False(t, ok, in)
	}
}

// A jersey number a digit away is another kid: for numbers only the same number written otherwise is near, and two digits changed about in long ones.
func TestNearID(t *testing.T) {
	ids := []string{"2", "7", "12", "21", "0104", "kim"}
	for id, want := range map[string]string{"4": "", "99": "", "3": "", "22": "", "07": "7", "7.0": "7", "007": "7", "012": "12", "104": "0104", "140": "0104", "0140": "0104",
		"401": "", "1": "", "kimm": "kim", "Kim": "kim", "2x": "", "": ""} {
		assert.Equal(t, want, NearID(id, ids), id)
	}
	rapid.Check(t, func(t *rapid.T) {
		short := rapid.StringMatching(`[0-9]{1,2}`)
		id, other := short.Draw(t, "id"), short.Draw(t, "other")
		if near := NearID(id, []string{other}); near != "" && strings.TrimLeft(id, "0") != strings.TrimLeft(other, "0") {
			t.Fatalf("%s is taken for %s", id, near)
		}
	})
}
