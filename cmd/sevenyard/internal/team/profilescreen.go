package team

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// profileScreen lays a profile out for people.
type profileScreen struct {
	tty.View
	f   *drills.Folder
	p   *assess.Profile
	who tty.People
	src tty.Source
	// allRoles: also those that no formation of the team has.
	allRoles    bool
	plot, plain bool // draw the traits; with signs that any terminal has
}

// shown tells of each role of the catalogue whether the screen has it.
func (s *profileScreen) shown(role string) bool {
	if s.allRoles {
		return true
	}
	for _, form := range s.f.Team.Formations {
		for _, spot := range form.Spots {
			if spot.Role == role {
				return true
			}
		}
	}
	return false
}

// notShown names the roles that are left out.
func (s *profileScreen) notShown() string {
	var names []string
	for _, r := range s.f.Team.Catalogue.Roles {
		if !s.shown(r.Name) {
			names = append(names, r.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	are := "is"
	if len(names) > 1 {
		are = "are"
	}
	return s.Fold(fmt.Sprintf("Not shown: %s, which %s in none of your formations (--all-roles).", prose.And(names), are), "  ")
}

func (s *profileScreen) text() string {
	out := s.head() + "\n"
	if len(s.held()) == 0 {
		return out + s.ownOnly() + s.closing()
	}
	if len(s.p.Reports) > 0 {
		out += s.Fold(s.Strong("How well each drill measured"), "") + s.reliability() + "\n"
	}
	out += s.Fold(s.Strong("Traits"), "") + s.traitsOrPlot() + "\n"
	out += s.Fold(s.Strong("Fit for each role, best first"), "") + s.ranking() + "\n"
	out += s.Fold(s.Strong("What a role asks for, in per cent, and what it is worth in a series"), "") + s.weights() + "\n"
	return out + s.cautions() + s.closing()
}

// held are the drills that somebody did.
func (s *profileScreen) held() []assess.Report {
	var out []assess.Report
	for _, r := range s.p.Reports {
		if r.Kids > 0 {
			out = append(out, r)
		}
	}
	return out
}

// notHeld names the drills that nobody did.
func (s *profileScreen) notHeld() string {
	var names []string
	for _, r := range s.p.Reports {
		if r.Kids == 0 {
			names = append(names, r.Drill)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return s.Fold("Not held: "+strings.Join(names, ", ")+".", "  ")
}

// ownOnly is the page of a team without any drill: the coach's own numbers are all there is.
func (s *profileScreen) ownOnly() string {
	return s.Fold("No drill was held: the fits are your own numbers, or unknown.", "") + "\n" +
		s.Fold(s.Strong("Fit for each role, best first"), "") + s.ranking() + "\n"
}

func (s *profileScreen) head() string {
	team := screen.Clean(s.f.Team.Name)
	if team == "" {
		team = "Your team"
	}
	out := s.Fold(s.Strong(fmt.Sprintf("%s, %s: %s, %s", team, s.f.Team.Division.Words(),
		prose.Count(len(s.p.Kids), "kid"), prose.Count(len(s.held()), "drill"))), "")
	out += s.Fold(fmt.Sprintf("Points: %s More is better. ± is the standard error: the truth lies within it two times in three, within twice as much 19 times in 20.", tty.PointsMean), "")
	for _, k := range s.p.Kids {
		if k.Hold {
			out += s.Fold(fmt.Sprintf("%s is on medical hold: scored here, planned nowhere.", s.who.Inline(k.ID)), "  ")
		}
	}
	return out
}

func (s *profileScreen) reliability() string {
	t := &texttab.Table{
		Head:  []string{"drill", "kids", "trials", "mean", "SD kids", "SD trial", "MDC", "ICC 1", "ICC all"},
		Align: []texttab.Align{texttab.Left},
	}
	for range len(t.Head) - 1 {
		t.Align = append(t.Align, texttab.Right)
	}
	words := ""
	for _, r := range s.held() {
		unit := ""
		if r.Unit == "s" {
			unit = " s"
		}
		assumed := ""
		if r.Assumed {
			assumed = "~"
		}
		t.Rows = append(t.Rows, []string{
			r.Drill, strconv.Itoa(r.Kids), strconv.Itoa(r.Trials), screen.Figure(r.Mean, 2) + unit, screen.Figure(r.SDKid, 2),
			screen.Figure(r.SDTrial, 2), screen.Figure(r.MDC, 2), assumed + screen.Figure(r.ICC1, 2), assumed + screen.Figure(r.ICCMean, 2),
		})
		words += s.Fold(r.Drill+": "+reading(r), "  ")
	}
	note := "SD trial is also the standard error of measurement (SEM) of one trial. MDC: the least change in one kid that is more than noise. " +
		"ICC: reliability of one trial, and of all of a kid's trials, 0 to 1. Counted drills: shares of the attempts."
	return s.Blocks(t, 1) + s.notHeld() + s.Fold(note, "") + "\n" + words
}

// reading puts a drill's reliability into plain words. The steps 0.5, 0.75 and 0.9 are those of
// Koo and Li 2016 (J Chiropr Med 15:155-163), from memory.
func reading(r assess.Report) string {
	words := ""
	switch {
	case r.SDKid == 0:
		return "does not tell the kids apart: they differ no more than one kid's own trials do. A trait that rests on it is a guess."
	case r.ICCMean >= 0.9:
		words = "tells the kids apart very well"
	case r.ICCMean >= 0.75:
		words = "tells the kids apart well"
	case r.ICCMean >= 0.5:
		words = "tells the kids apart roughly"
	default:
		words = "hardly tells the kids apart"
	}
	switch {
	case r.Assumed:
		return words + ", if its usual reliability holds: with one trial each it cannot be seen. Let every kid go twice."
	case r.TrialsFor80 == 0:
		return words + "; no sensible number of trials would reach 0.8."
	case r.ICCMean < 0.8:
		return fmt.Sprintf("%s; %s a kid would reach 0.8.", words, prose.Count(r.TrialsFor80, "trial"))
	}
	return words + "."
}

// score is a T-score with its standard error and its marks.
func score(x assess.Score) string {
	return tty.Fitted(x.T, x.SE) + tty.Mark(x.Own, x.Tested)
}

func (s *profileScreen) traitsOrPlot() string {
	if s.plot {
		return s.plotted()
	}
	return s.traits()
}

func (s *profileScreen) traits() string {
	t := &texttab.Table{Head: []string{"kid"}, Align: []texttab.Align{texttab.Left}}
	for _, x := range s.f.Team.Catalogue.Traits {
		t.Head = append(t.Head, x.Name)
		t.Align = append(t.Align, texttab.Right)
	}
	for _, k := range s.p.Kids {
		row := []string{s.who.Column(k.ID)}
		for _, x := range k.Traits {
			row = append(row, score(x))
		}
		t.Rows = append(t.Rows, row)
	}
	out := s.Blocks(t, 1)
	for _, k := range s.p.Kids {
		for _, t := range k.Traits {
			if !t.Tested {
				return out + s.Fold(tty.UntestedWords, "")
			}
		}
	}
	return out
}

// ranking is a column a role, best kid first, with a line between groups.
func (s *profileScreen) ranking() string {
	t := &texttab.Table{}
	for i, r := range s.f.Team.Catalogue.Roles {
		if !s.shown(r.Name) {
			continue
		}
		at := len(t.Head)
		t.Head = append(t.Head, s.Paint(i, r.Letter)+" "+r.Name)
		t.Align = append(t.Align, texttab.Left)
		for n, c := range s.rankOne(i) {
			if n == len(t.Rows) {
				t.Rows = append(t.Rows, make([]string, at))
			}
			t.Rows[n] = append(t.Rows[n], c)
		}
		for n := range t.Rows { // columns of fewer groups are shorter
			for len(t.Rows[n]) <= at {
				t.Rows[n] = append(t.Rows[n], "")
			}
		}
	}
	notes := ""
	for _, k := range s.p.Kids {
		for _, f := range k.Fits {
			if m := tty.Mark(f.Own, f.Tested); s.shown(f.Name) && !strings.Contains(notes, m) {
				notes += m
			}
		}
	}
	note := "Within a group nobody can be told from its first kid: the order there is little more than a guess. The first below a line can be. Kids on both sides of a line may still be too close to call."
	out := s.Blocks(t, 0) + s.notShown() + s.Fold(note, "")
	if strings.Contains(notes, "*") {
		out += s.Fold(tty.OwnWords, "")
	}
	if strings.Contains(notes, "?") && len(s.held()) == 0 { // else it stands under the traits
		out += s.Fold(tty.UntestedWords, "")
	}
	return out
}

// rankOne is the column of one role. A group ends before the first kid who is not too close to call with the group's best.
func (s *profileScreen) rankOne(role int) []string {
	order := make([]int, len(s.p.Kids))
	for i := range order {
		order[i] = i
	}
	fit := func(k int) assess.Score { return s.p.Kids[k].Fits[role] }
	sort.SliceStable(order, func(a, b int) bool { return fit(order[a]).T > fit(order[b]).T })
	kid, num := 0, 0
	for _, k := range s.p.Kids {
		kid, num = max(kid, texttab.Width(s.who.Column(k.ID))), max(num, texttab.Width(score(k.Fits[role])))
	}
	var out []string
	best := 0
	for i, k := range order {
		if !assess.TooClose(fit(order[best]), fit(k)) && i > best {
			best = i
			out = append(out, s.Faint(strings.Repeat("- ", (kid+num)/2)+"-"))
		}
		out = append(out, screen.Pad(s.who.Column(s.p.Kids[k].ID), kid, false)+" "+screen.Pad(score(fit(k)), num, false))
	}
	return out
}

func (s *profileScreen) weights() string {
	t := &texttab.Table{Head: []string{"role"}, Align: []texttab.Align{texttab.Left}}
	for _, x := range s.f.Team.Catalogue.Traits {
		t.Head = append(t.Head, x.Name)
		t.Align = append(t.Align, texttab.Right)
	}
	t.Head = append(t.Head, "worth")
	t.Align = append(t.Align, texttab.Right)
	for i, r := range s.f.Team.Catalogue.Roles {
		if !s.shown(r.Name) {
			continue
		}
		row := []string{s.Paint(i, r.Letter) + " " + r.Name}
		for _, x := range s.f.Team.Catalogue.Traits {
			row = append(row, weight(r.Weights, x.Name))
		}
		t.Rows = append(t.Rows, append(row, screen.Figure(assess.Importance(&s.f.Team, r.Name), 2)))
	}
	return s.Blocks(t, 1) + s.Fold("The house's defaults, common practice; change them in team.toml under [weights.ROLE] and [importance].", "")
}

func weight(ws []drills.Share, trait string) string {
	for _, w := range ws {
		if w.Name == trait {
			return screen.Figure(100*w.Weight, 0)
		}
	}
	return "."
}

func (s *profileScreen) cautions() string {
	out := ""
	for _, c := range report.Cautions(&s.f.Team.Catalogue, "setup") {
		out += s.Fold("- "+c, "  ")
	}
	if out == "" {
		return ""
	}
	return s.Fold("When you test again", "") + out + "\n"
}

func (s *profileScreen) closing() string {
	worst, held := -1, s.held()
	for i, r := range held {
		if worst < 0 || r.ICCMean < held[worst].ICCMean {
			worst = i
		}
	}
	out := ""
	if worst >= 0 && held[worst].ICCMean < 0.75 {
		out = s.Fold(fmt.Sprintf("What would help most: more trials of %s, the drill that says least so far.", held[worst].Drill), "")
	}
	return out + tty.Commands("Next:", "sevenyard lineup "+s.src.Name)
}
