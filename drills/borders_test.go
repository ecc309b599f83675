package drills

import (
	"fmt"
	"strings"
	"testing"

	"sevenyard/drills/prose"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a text may be, on both sides of every border.
func TestBordersOfTexts(t *testing.T) {
	for _, c := range []struct {
		text    string
		longest int
		says    string
	}{
		{strings.Repeat("n", 80), 80, ""}, {strings.Repeat("n", 81), 80, "is 81 letters long, more than 80"},
		{strings.Repeat("é", 80), 80, ""}, {strings.Repeat("é", 81), 80, "81 letters"},
		{"~ }", 3, ""}, {" ", 1, ""}, {"José", 80, ""}, {"", 0, ""},
		{"a\x1fb", 80, "U+001F"}, {"a\x7fb", 80, "U+007F"}, {"a\u0080b", 80, "U+0080"}, {"a\u009fb", 80, "U+009F"},
		{"a\u202ab", 80, "U+202A"}, {"a\u202eb", 80, "U+202E"}, {"a\u2066b", 80, "U+2066"}, {"a\u2069b", 80, "U+2069"},
		{"a\u2028b", 80, "U+2028"}, {"a\u2029b", 80, "U+2029"}, {"a\ufeffb", 80, "U+FEFF"}, {"\tb", 80, "U+0009"}, {"a\xffb", 80, "is not UTF-8 text"},
	} {
		if got := badText(c.text, c.longest); c.says == "" {
			assert.Empty(t, got, "%q", c.text)
		} else {
			assert.Contains(t, got, c.says, "%q", c.text)
		}
	}
	for id, says := range map[string]string{
		"a-b": "", "a_b.c": "", "7": "", "É7": "", strings.Repeat("7", 24): "", strings.Repeat("7", 25): "25 letters", "-7": `"-" cannot stand`, "_7": `"_"`, ".7": `"."`,
		"7 8": `" "`, "absent": "means 'not done'", "Absent": "means 'not done'", "absentee": "", "7/8": `"/"`,
	} {
		if got := badID(id); says == "" {
			assert.Empty(t, got, id)
		} else {
			assert.Contains(t, got, says, id)
		}
	}
	assert.Equal(t, `"`+strings.Repeat("é", 40)+`"`, quote(strings.Repeat("é", 40)))
	assert.Equal(t, `"`+strings.Repeat("é", 40)+`..."`, quote(strings.Repeat("é", 41)))
	assert.Equal(t, []string{"0 kids", "1 kid", "2 kids"}, []string{prose.Count(0, "kid"), prose.Count(1, "kid"), prose.Count(2, "kid")})
}

// What reads as a number, on both sides of every border.
func TestBordersOfNumbers(t *testing.T) {
	_, ok := parseNumber("0." + strings.Repeat("1", 28))
	assert.True(t, ok, "thirty characters")
	_, ok = parseNumber("0." + strings.Repeat("1", 29))
	assert.False(t, ok)
	for _, bad := range []string{"--7", "+", ",", "7-", "7+1", "/", ":", "1,2,3"} {
		_, ok := parseNumber(bad)
		assert.False(t, ok, bad)
	}
	for text, want := range map[string]float64{"7:05": 425, "7'05\"": 425, "7'05''": 425, "0:06.4": 6.4, "7 : 5": 425, "0:0": 0, "1:0": 60} {
		got, ok := parseClock(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, bad := range []string{"7", ":5", "7:", "-1:05", "1:-5", "a:5", "5:a", "7:05s"} {
		_, ok := parseClock(bad)
		assert.False(t, ok, bad)
	}
	for text, want := range map[string]int{"0": 0, "7": 7, "10.0": 10, "999999": 999_999, "1": 1} {
		got, ok := parseWhole(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, bad := range []string{"1000000", "-1", "-0.5", "7.5", "", "a"} {
		_, ok := parseWhole(bad)
		assert.False(t, ok, bad)
	}
	for text, want := range map[string]int{"k": 0, "K": 0, "0": 0, "1": 1, "12": 12, " 7 ": 7, "07": 7} {
		got, ok := parseGrade(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, bad := range []string{"13", "007", "", "-1", "kk", "1a"} {
		_, ok := parseGrade(bad)
		assert.False(t, ok, bad)
	}
	assert.Equal(t, []string{"k", "k-1", "5", "3-4"}, []string{Grades{}.String(), Grades{0, 1}.String(), Grades{5, 5}.String(), Grades{3, 4}.String()})
}

// How unlike a slip may be grows with the length of the word: one letter up to three, two up to seven, three beyond.
func TestBordersOfNearMatches(t *testing.T) {
	for _, c := range []struct{ word, choice, want string }{
		{"cat", "cot", "cot"}, {"cat", "cow", ""}, {"cats", "coward", ""}, {"shut", "shod", "shod"},
		{"shuttle", "shuttab", "shuttab"}, {"shuttle", "shutabc", ""}, {"shuttles", "shutabcs", "shutabcs"}, {"shuttles", "shuabcds", ""},
		{"sprints", "sprint", "sprint"}, {"spri", "sprint", "sprint"}, {"sprin", "sprinter", "sprinter"}, {"ba", "backpedal", ""}, {"bac", "backpedal", "backpedal"},
		{"shut", "shuttle", "shuttle"}, {" SHUTLE ", "Shuttle", "Shuttle"}, {"ab", "cd", ""}, {"ab", "ac", "ac"}, {"a", "", ""}, {"a", "bc", ""},
		{strings.Repeat("a", 60), strings.Repeat("a", 59), strings.Repeat("a", 59)}, {strings.Repeat("a", 61), strings.Repeat("a", 60), ""},
		{"abcd", "abcdef", "abcdef"}, {"abcdef", "abcd", "abcd"}, {"xxxxcd", "abcd", ""},
	} {
		assert.Equal(t, c.want, prose.Near(c.word, []string{c.choice}), "%q and %q", c.word, c.choice)
	}
	assert.Equal(t, "shuttle", prose.Near("shuttl", []string{"shuttab", "shuttle", "shut"}), "the nearest wins")
	assert.Equal(t, "cot", prose.Near("cat", []string{"cot", "cut"}), "the first of equals")
	assert.Equal(t, "did you mean cot, cut or bat?", prose.DidYouMean("cat", []string{"cot", "cut", "bat", "cow"}, "no"))
	assert.Equal(t, "no", prose.DidYouMean("cat", []string{"cot", "cut", "bat", "rat"}, "no"), "four are no help")
	assert.Equal(t, []string{"", "a", "a and b", "a, b and c"}, []string{prose.And(nil), prose.And([]string{"a"}), prose.And([]string{"a", "b"}), prose.And([]string{"a", "b", "c"})})
	for _, c := range []struct {
		a, b string
		want int
	}{{"7", "7", 0}, {"7", "8", -1}, {"8", "7", 1}, {"07", "7", -1}, {"7", "07", 1}, {"7", "7a", -1}, {"7a", "7", 1}, {"a1b", "a01c", -1}, {"0", "9", -1}, {"a", "1", 1}, {"/", "0", -1}, {":", "9", 1}} {
		assert.Equal(t, c.want, NaturalOrder(c.a, c.b), "%q and %q", c.a, c.b)
	}
}

// An id that nothing is known of is told once, with the lines it stands on: six of them by number.
func TestUnknownIsToldWithItsLines(t *testing.T) {
	for n, also := range map[int]string{
		1: "", 2: " (also on line 3)", 3: " (also on lines 3 and 4)", 6: " (also on lines 3, 4, 5, 6 and 7)", 7: " (also on lines 3, 4, 5, 6, 7 and 1 more)",
		9: " (also on lines 3, 4, 5, 6, 7 and 3 more)",
	} {
		text := "kid,drill,trial,value\n"
		for i := range n {
			text += fmt.Sprintf("55,shuttle,%d,6.4\n", i+1)
		}
		_, err := ReadResults(strings.NewReader(text), Default(), okKids(t), Grades{3, 4})
		ps := problemsOf(t, err)
		require.Len(t, ps, 1)
		assert.Equal(t, Place{"results.csv", 2}, ps[0].At)
		assert.Equal(t, `unknown kid "55"`+also, ps[0].What)
	}
}

// Some spreadsheets write the separator on a line of its own; lines are counted from it.
func TestSeparatorSaidOutright(t *testing.T) {
	for _, c := range []struct{ head, sep string }{{"sep=;", ";"}, {"SEP=;", ";"}, {"sep=,", ","}, {"sep=\t", "\t"}, {"sep=; ", ";"}} {
		text := c.head + "\n" + strings.Join([]string{"kid", "name", "hold"}, c.sep) + "\n" + strings.Join([]string{"2", "Ann, Bea; Cy"}, c.sep) + "\n"
		if c.sep != "\t" {
			text = strings.ReplaceAll(text, "Ann, Bea; Cy", `"Ann, Bea; Cy"`)
		}
		kids, warn, err := ReadRoster(strings.NewReader(text), Default())
		require.NoError(t, err, "%q", text)
		assert.Empty(t, warn)
		assert.Equal(t, []Kid{{ID: "2", Name: "Ann, Bea; Cy", Grade: -1, Line: 3}}, kids, "%q", text)
		_, _, err = ReadRoster(strings.NewReader(text+"2"+c.sep+"Di\n"+"8"+c.sep+"\"E\nF"), Default())
		ps := problemsOf(t, err)
		require.Len(t, ps, 2)
		assert.Equal(t, []int{4, 5}, []int{ps[0].At.Line, ps[1].At.Line})
		assert.Contains(t, ps[0].What, "already on line 3")
		assert.Contains(t, ps[1].What, "lines 5 to 6 were not read")
	}
	_, _, err := ReadRoster(strings.NewReader("sep=;"), Default())
	assert.ErrorContains(t, err, "roster.csv is empty")
	_, _, err = ReadRoster(strings.NewReader("sep=long words\nkid\n2\n"), Default())
	assert.ErrorContains(t, err, "column kid is missing", "a header that only begins so")
	kids, _, err := ReadRoster(strings.NewReader("# a;b;c\n\"# d;e\"\n,,\nkid,name\n2,\"a;b;c\"\n"), Default())
	require.NoError(t, err)
	assert.Equal(t, []Kid{{ID: "2", Name: "a;b;c", Grade: -1, Line: 5}}, kids, "notes and quoted cells say nothing of the separator")
	_, _, err = ReadRoster(strings.NewReader("\"a;b;c;d\",kid\n1,2\n"), Default())
	assert.ErrorContains(t, err, `unknown column "a;b;c;d"`)
}

// A row that begins with # is a note; one that looks like a jersey number written as #7 is pointed out.
func TestNotesThatLookLikeRows(t *testing.T) {
	for row, warns := range map[string]bool{"#8,Cy": true, "#8,": true, "#8": false, "# 8,Cy": false, "#note, of all": false, "#0,": true, "#8;Cy": false} {
		_, warn, err := ReadRoster(strings.NewReader("kid,name,hold\n2,Ann\n"+row+"\n"), Default())
		require.NoError(t, err)
		if assert.Equal(t, warns, len(warn) == 1, row) && warns {
			assert.Equal(t, 3, warn[0].At.Line)
		}
	}
}

// A slip of a zero byte or two is told where it stands; a file full of them is no text.
func TestTextOrNot(t *testing.T) {
	zeros := func(n, length int) []byte { return []byte(strings.Repeat("\x00", n) + strings.Repeat("a", length-n)) }
	for _, c := range []struct {
		data []byte
		want bool
	}{
		{nil, true}, {zeros(2, 2), true}, {zeros(3, 59), false}, {zeros(3, 60), true}, {zeros(400, 7999), false}, {zeros(400, 8000), true}, {append(zeros(0, 8000), zeros(900, 900)...), true},
		{[]byte("PK\x03\x04"), false}, {[]byte("%PDF-1.7"), false}, {[]byte("\x89PNG\r\n"), false}, {[]byte("\xff\xd8\xff\xe0"), false}, {[]byte("\xd0\xcf\x11\xe0"), false}, {[]byte("PK"), true},
	} {
		assert.Equal(t, c.want, isText(c.data), "%.20q", c.data)
	}
	for text, says := range map[string]string{"\xfe\xff\x00k": "UTF-16", "PK\x03\x04": "is no text file"} {
		_, _, err := ReadRoster(strings.NewReader(text), Default())
		assert.ErrorContains(t, err, says)
		assert.ErrorContains(t, err, "CSV UTF-8")
	}
	_, _, err := ReadTeam(strings.NewReader("PK\x03\x04"))
	assert.ErrorContains(t, err, "write it with a text editor")
	_, _, err = ReadTeam(strings.NewReader(strings.Repeat("#", maxTOML)))
	assert.NoError(t, err, "as large as it may be")
}
