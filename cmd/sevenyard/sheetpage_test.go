package main

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/fixtures"
)

// largeTeam is an invented team of 15 kids with 14 series in three formations, in a folder.
func largeTeam(t testing.TB) string {
	c := fixtures.Standard(7, 15)
	c.Team = fixtures.Team{Name: "Oystercatchers", Series: 14, Formations: []string{"2-3", "4-1", "1-2-1-1"}}
	return written(t, c, nil)
}

// hotGame is a saved plan for a large team in the heat: water after each series, and a formation with a long name.
func hotGame(t testing.TB) (dir, plan string) {
	c := fixtures.Standard(7, 15)
	c.Team = fixtures.Team{Name: "Turnstones", Series: 14, Formations: []string{"2-3", "1-2-1-1"}}
	dir, plan = written(t, c, nil), filepath.Join(t.TempDir(), "plan.json")
	own, err := os.ReadFile(filepath.Join(dir, "team.toml"))
	require.NoError(t, err)
	text := strings.Replace(string(own), `"1-2-1-1"`, `"1-2-1-1", "goal-mouth"`, 1)
	require.NotEqual(t, string(own), text)
	text += "\n[[formations]]\nname = \"goal-mouth\"\nroles = [\"front\", \"front\", \"corner\", \"corner\", \"deep\"]\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "team.toml"), []byte(text), 0o644))
	done(t, "lineup", dir, "--wbgt", "84F", "--save", plan)
	return dir, plan
}

// manyTeam is eight a side, 28 kids and 24 series.
func manyTeam(t testing.TB) string {
	c := fixtures.Standard(9, 28)
	c.Team = fixtures.Team{Name: "Stilts", Series: 24, Formations: []string{"5-3", "4-2-1-1"}}
	return written(t, c, nil)
}

// oddNames try everything a page could stumble over.
var oddNames = []string{
	`<script>alert(1)</script>`, `"quoted" & 'single'`, "</title></style><img src=x onerror=alert(1)>", "🦩🏈🎉 Flag 👩‍👩‍👧‍👦", "شيماء بنت الخليل",
	"יעל", strings.Repeat("Wolfgang", 8)[:60], "Maximiliana-Theodora von und zu der Alten Furt am langen Bach", "{{.}} ${x} %s", "  ", "=1+1", "李小龍", "javascript:alert(1)", "a", "ẞ̣̈",
}

const oddID = "kid-of-the-long-id-24-ab" // as long as an id can be

// oddTeam is the large team with odd names, a long team name, long ids and many formations.
func oddTeam(t testing.TB) string {
	c := fixtures.Standard(7, 15)
	c.IDs = []string{"1", "22", "333", "4444", oddID, "6", "7", "8", "9", "10", "11", "12", "13", "14", "15"}
	c.Team = fixtures.Team{Name: `The <b>"Very" Long</b> & Winding Name of a Team Beyond the Marsh`, Series: 14, Formations: []string{"2-3", "4-1", "1-2-1-1", "1-3-1", "2-1-2"}}
	return written(t, c, oddNames)
}

// written writes a generated team into a folder, with other names if there are any.
func written(t testing.TB, c fixtures.Config, names []string) string {
	dir := t.TempDir()
	for _, f := range fixtures.Generate(c).Files {
		text := string(f.Data)
		if f.Name == "roster.csv" && names != nil {
			lines := strings.Split(strings.TrimSpace(text), "\n")
			rows := lines[len(lines)-len(names):]
			for i, name := range names {
				cells := strings.Split(rows[i], ",")
				cells[1] = `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
				rows[i] = strings.Join(cells, ",")
			}
			text = strings.Join(lines, "\n") + "\n"
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.Name), []byte(text), 0o644))
	}
	return dir
}

// node is an element of a page, as far as the tests read one.
type node struct {
	tag   string
	attr  map[string]string
	text  string // all text below, in order
	below []*node
}

// readPage reads a page that this program wrote: it closes what it opens, but for meta and br.
func readPage(t testing.TB, html string) *node {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(strings.TrimPrefix(html, "<!DOCTYPE html>")))
	d.Strict, d.AutoClose, d.Entity = false, []string{"meta", "br"}, xml.HTMLEntity
	root := &node{attr: map[string]string{}}
	open := []*node{root}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			require.Len(t, open, 1, "every element is closed")
			return root
		}
		require.NoError(t, err)
		switch x := token.(type) {
		case xml.StartElement:
			n := &node{tag: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			open[len(open)-1].below = append(open[len(open)-1].below, n)
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, n := range open {
				n.text += string(x)
			}
		}
	}
}

// find gives the elements below that have the tag and the class, either of them "" for any.
func (n *node) find(tag, class string) []*node {
	var out []*node
	for _, x := range n.below {
		if (tag == "" || x.tag == tag) && (class == "" || slices.Contains(strings.Fields(x.attr["class"]), class)) {
			out = append(out, x)
		}
		out = append(out, x.find(tag, class)...)
	}
	return out
}

func (n *node) words() string { return strings.Join(strings.Fields(n.text), " ") }

// page writes a page to standard output and reads it.
func sheetOf(t testing.TB, args ...string) *node {
	return readPage(t, done(t, append([]string{"sheet"}, append(args, "--out", "-")...)...))
}

// shown is a number as pages show it.
func shown(x float64, digits int) string {
	s := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "\u2212", 1)
}

// pointAt is where along the axis from 20 to 80 points something is drawn, in points.
func pointAt(t testing.TB, percent string) float64 {
	x, err := strconv.ParseFloat(strings.TrimSuffix(percent, "%"), 64)
	require.NoError(t, err)
	return 20 + 60*x/100
}
