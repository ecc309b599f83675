package main

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/assess"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/cmd/sevenyard/internal/pages"
	"sevenyard/cmd/sevenyard/internal/team"
	"sevenyard/drills"
	"sevenyard/fixtures"
	"sevenyard/optimize/rotation"
)

func TestKidCardsEqualTheProfile(t *testing.T) {
	for _, dir := range []string{"--demo", largeTeam(t)} {
		p := decode[report.Profile](t, done(t, "profile", dir, "--format", "json"))
		f, err := drills.ReadFolder(fixtures.Demo())
		require.NoError(t, err)
		cards := sheetOf(t, "kid", dir).find("section", "page")
		require.Len(t, cards, len(p.Kids))
		for i, k := range p.Kids {
			rows := cards[i].find("div", "row")
			for j, x := range f.Team.Catalogue.Traits {
				tr := k.Traits[x.Name]
				require.Equal(t, x.Title, rows[j].find("span", "label")[0].words())
				said := rows[j].find("span", "shown")[0].words()
				if !tr.Tested {
					require.Equal(t, "not tested", said)
					require.Empty(t, rows[j].find("circle", ""))
					continue
				}
				require.Equal(t, shown(tr.T, 0)+" ±"+shown(tr.SE, 0), said)
				require.InDelta(t, tr.T, pointAt(t, rows[j].find("circle", "dot")[0].attr["cx"]), 0.01)
				near := rows[j].find("line", "near")[0]
				require.InDelta(t, max(20, tr.T-tr.SE), pointAt(t, near.attr["x1"]), 0.01)
				require.InDelta(t, min(80, tr.T+tr.SE), pointAt(t, near.attr["x2"]), 0.01)
			}
		}
	}
}

// A card is one kid's: no other kid's name or rank is on it.
func TestKidCardsNameNoOtherKid(t *testing.T) {
	f, err := drills.ReadFolder(fixtures.Demo())
	require.NoError(t, err)
	for i, card := range sheetOf(t, "kid", "--demo").find("section", "page") {
		for j, k := range f.Roster {
			require.Equal(t, i == j, strings.Contains(card.text, k.Name), "card %d, %s", i, k.Name)
		}
	}
}

func TestKidCardsEqualTheSeason(t *testing.T) {
	s := decode[report.Season](t, done(t, "season", "--demo", "--format", "json"))
	for i, card := range sheetOf(t, "kid", "--demo").find("section", "page") {
		k := s.Kids[i]
		var got []string
		for _, x := range card.find("dl", "facts")[0].find("dd", "") {
			got = append(got, x.words())
		}
		require.Equal(t, []string{fmt.Sprint(k.Attended), fmt.Sprint(k.Series), shown(k.Share, 1), shown(k.Owed, 1)}, got)
	}
}

func TestTeamPageEqualsTheReports(t *testing.T) {
	for _, dir := range []string{"--demo", largeTeam(t)} {
		l := decode[report.Lineup](t, done(t, "lineup", dir, "--format", "json"))
		p := decode[report.Profile](t, done(t, "profile", dir, "--format", "json"))
		page := sheetOf(t, "team", dir)
		var roles []string
		for _, th := range page.find("table", "heat")[0].find("thead", "")[0].find("th", "")[1:] {
			roles = append(roles, strings.Fields(th.words())[1])
		}
		for i, tr := range page.find("table", "heat")[0].find("tbody", "")[0].find("tr", "") {
			for j, td := range tr.find("td", "") {
				f := p.Kids[i].Fits[roles[j]]
				require.Contains(t, td.words(), shown(f.Fit, 0)+" ±"+shown(f.SE, 0))
			}
		}
		letters := map[string]string{"front": "F", "corner": "C", "deep": "D", "rusher": "R"}
		for i, tr := range page.find("table", "turns")[0].find("tbody", "")[0].find("tr", "") {
			k := l.Kids[i]
			for j, td := range tr.find("td", "cell") {
				want := "· bench"
				for _, x := range l.Series[j].Slots {
					if x.Kid == k.Kid {
						want = letters[x.Role] + " " + x.Role
					}
				}
				require.Equal(t, strings.Replace(want, " ", "", 1), td.words(), "kid %s, series %d", k.Kid, j+1)
			}
			sums := tr.find("td", "sum")
			require.Equal(t, []string{fmt.Sprint(k.Series), shown(k.Share, 1)}, []string{sums[0].words(), sums[1].words()})
		}
		plot := page.find("div", "plot")[0]
		for i, s := range l.Series {
			row := plot.find("div", "row")[i]
			require.Equal(t, fmt.Sprintf("Series %d", s.Number), row.find("span", "label")[0].words())
			require.Equal(t, shown(s.Strength, 1), row.find("span", "shown")[0].words())
		}
		require.Contains(t, page.text, "lifts the weakest series above "+shown(l.Weakest.Bound, 1)+" (proven)")
		require.Contains(t, page.text, "All series together: "+shown(l.Total.Value, 1))
	}
}

func TestGameSheetEqualsThePlan(t *testing.T) {
	for _, args := range [][]string{{"--demo"}, {"--demo", "--late", "9@3", "--leaves", "2@6"}, {largeTeam(t)}} {
		l := decode[report.Lineup](t, done(t, append([]string{"lineup", "--format", "json"}, args...)...))
		page := sheetOf(t, append([]string{"game"}, args...)...)
		require.Len(t, page.find("section", "page"), 1, "one page")
		for i, tr := range page.find("table", "plan")[0].find("tbody", "")[0].find("tr", "") {
			s := l.Series[i]
			var want, got, off []string
			for _, x := range s.Slots {
				want = append(want, x.Kid)
			}
			for _, kid := range tr.find("span", "kid") {
				got = append(got, kid.find("b", "")[0].words())
			}
			require.ElementsMatch(t, want, got, "series %d", i+1)
			require.Contains(t, tr.find("th", "")[0].words(), fmt.Sprintf("%d%s", s.Number, s.Formation))
			for _, list := range tr.find("td", "list") {
				if list.words() != "–" {
					off = append(off, strings.Fields(list.text)...)
				}
			}
			require.ElementsMatch(t, s.Bench, off)
			if next := tr.find("td", "next")[0].words(); next != "–" {
				for _, id := range strings.Fields(next) {
					require.True(t, slices.ContainsFunc(l.Series[i+1].Slots, func(x report.Placed) bool { return x.Kid == id }), "%s is next", id)
				}
			}
		}
		for i, li := range page.find("ul", "squad")[0].find("li", "") {
			require.Contains(t, li.words(), fmt.Sprintf("plays %d", l.Kids[i].Series))
		}
		require.Contains(t, page.text, "Back only when a licensed health professional has cleared it")
		require.Contains(t, page.text, "league's and local rules come first")
	}
}

func TestDraftPageEqualsTheDraft(t *testing.T) {
	d := decode[report.Draft](t, done(t, "draft", "--demo", "--no-play", "--format", "json"))
	page := sheetOf(t, "draft", "--demo")
	for i, card := range page.find("article", "card") {
		require.Equal(t, d.Teams[i].Team, card.find("h3", "")[0].words())
		require.Contains(t, card.words(), "overall "+shown(d.Teams[i].Means["overall"], 1))
		var kids []string
		for _, x := range card.find("span", "id") {
			kids = append(kids, x.words())
		}
		require.Equal(t, d.Teams[i].Kids, kids)
	}
	rows := page.find("div", "row")
	for i, m := range d.Measures {
		require.Equal(t, shown(d.Spread[m], 1), rows[i].find("span", "shown")[0].words())
		require.Equal(t, "snake "+shown(d.Snake.Spread[m], 1), rows[i].find("span", "words")[0].words())
	}
	require.Contains(t, page.text, fmt.Sprintf("seed of the draft: %d", d.Seed))
}

// With names left out there is none in the whole file, whichever page it is.
func TestPagesWithoutNames(t *testing.T) {
	team, err := drills.ReadFolder(fixtures.Demo())
	require.NoError(t, err)
	pool, err := drills.ReadPool(fixtures.Pool())
	require.NoError(t, err)
	var names []string
	for _, k := range team.Roster {
		names = append(names, k.Name)
	}
	for _, k := range pool.Kids {
		names = append(names, k.Name)
	}
	for _, kind := range []string{"game", "kid", "team", "draft"} {
		html := done(t, "sheet", kind, "--demo", "--out", "-", "--ids-only")
		for _, name := range names {
			require.NotContains(t, html, name)
			require.NotContains(t, html, ">"+strings.Fields(name)[0]+"<", kind)
		}
	}
}

// Names of any kind are shown as they are, and never become a part of the page.
func TestPagesWithOddNames(t *testing.T) {
	t.Parallel()
	dir := oddTeam(t)
	for kind, more := range map[string][]string{"game": {"--seconds", "1"}, "kid": nil, "team": {"--seconds", "1"}} {
		html := done(t, append([]string{"sheet", kind, dir, "--out", "-"}, more...)...)
		page := readPage(t, html)
		words := page.words()
		for _, tag := range []string{"script", "img", "b>\"Very"} {
			require.Empty(t, page.find(tag, ""), tag)
		}
		require.Len(t, page.find("title", ""), 1+len(page.find("svg", ""))-len(page.find("div", "axis")), "a title for the page and one for each picture")
		for _, name := range oddNames {
			require.Contains(t, words, strings.Join(strings.Fields(name), " "), "%s: %q", kind, name)
		}
		require.Len(t, page.find("style", ""), 1)
		for _, n := range page.find("", "") {
			for a := range n.attr {
				require.False(t, strings.HasPrefix(a, "on") || a == "style" || a == "src" || a == "href", "%s has %s", n.tag, a)
			}
		}
	}
}

// What every page has: a language, one main heading first and no level left out, a name for every picture, a policy that allows
// nothing but the page's own style.
func TestPagesAreWellBuilt(t *testing.T) {
	for _, kind := range []string{"game", "kid", "team", "draft"} {
		html := done(t, "sheet", kind, "--demo", "--out", "-")
		page := readPage(t, html)
		require.Equal(t, "en", page.find("html", "")[0].attr["lang"])
		require.NotEmpty(t, page.find("title", "")[0].words())
		level := 0
		for _, n := range page.find("", "") {
			if len(n.tag) == 2 && n.tag[0] == 'h' && n.tag[1] >= '1' && n.tag[1] <= '6' {
				now := int(n.tag[1] - '0')
				require.LessOrEqual(t, now, level+1, "%s: %s", kind, n.words())
				level = now
			}
		}
		for _, n := range page.find("svg", "") {
			if n.attr["role"] == "img" {
				require.NotEmpty(t, n.find("title", "")[0].words())
				require.Contains(t, n.attr["aria-labelledby"], n.find("title", "")[0].attr["id"])
			}
		}
		seen := map[string]bool{}
		for _, n := range page.find("", "") {
			if id := n.attr["id"]; id != "" {
				require.False(t, seen[id], "%s: two of id %s", kind, id)
				seen[id] = true
			}
		}
		sum := sha256.Sum256([]byte(html[strings.Index(html, "<style>")+7 : strings.Index(html, "</style>")]))
		policy := page.find("meta", "")[1].attr["content"]
		require.Equal(t, "default-src 'none'; style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'; base-uri 'none'; form-action 'none'", policy)
		require.NotContains(t, html, "http:")
		require.NotContains(t, html, "https:")
		require.Equal(t, html, done(t, "sheet", kind, "--demo", "--out", "-"), "the same again")
	}
}

func TestPagesOfALargeTeamAreSmall(t *testing.T) {
	dir := largeTeam(t)
	for _, kind := range []string{"game", "kid", "team"} {
		require.Less(t, len(done(t, "sheet", kind, dir, "--out", "-")), 300_000, kind)
	}
}

// BenchmarkSheets writes the pages of a team of 15 kids from what is known of it: its plan and its profile.
func BenchmarkSheets(b *testing.B) {
	dir := largeTeam(b)
	saved := savedPlan(b, dir)
	f, err := drills.ReadFolder(os.DirFS(dir))
	require.NoError(b, err)
	data, err := os.ReadFile(saved)
	require.NoError(b, err)
	l, _, err := gameplan.ReadLineup(context.Background(), saved, data, f, assess.Assess(f), rotation.Settings{})
	require.NoError(b, err)
	profile := team.ProfileReport(f, assess.Assess(f))
	t := pages.PageTeam(f, report.Cautions(&f.Team.Catalogue, "advice"))
	var kids []string
	for _, k := range f.Roster {
		kids = append(kids, k.ID)
	}
	for _, x := range []struct {
		name  string
		write func() (*sheet.Page, error)
	}{
		{"game", func() (*sheet.Page, error) { return sheet.Game(l, t) }},
		{"kid", func() (*sheet.Page, error) { return sheet.Kids(profile, kids, pages.UsedRoles(f), nil, t) }},
		{"team", func() (*sheet.Page, error) { return sheet.TeamSheet(profile, l, pages.UsedRoles(f), t) }},
	} {
		b.Run(x.name, func(b *testing.B) {
			for b.Loop() {
				page, err := x.write()
				require.NoError(b, err)
				b.ReportMetric(float64(len(page.HTML)), "bytes/page")
			}
		})
	}
	b.Run("game command, saved plan", func(b *testing.B) {
		for b.Loop() {
			done(b, "sheet", "game", dir, "--from", saved, "--out", "-")
		}
	})
}
