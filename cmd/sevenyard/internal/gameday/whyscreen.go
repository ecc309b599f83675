package gameday

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
)

// whyScreen puts the answer about one kid into plain sentences.
type whyScreen struct {
	tty.View
	who tty.People
	w   *report.Why
	l   *report.Lineup // the plan asked about
	sh  *report.Shown
	src tty.Source

	ofGame bool // the game that it is about was named
}

func (s *whyScreen) text() string {
	team := screen.Clean(s.w.Team)
	if team == "" {
		team = "Your team"
	}
	out := s.Fold(s.Strong(fmt.Sprintf("%s: %s in %s", team, s.who.Inline(s.w.Kid), s.which())), "") + s.from() + s.plays() + "\n"
	out += s.fits() + "\n" + s.Fold(s.Strong("Why here, and why not there"), "")
	for _, w := range s.w.Wishes {
		out += s.Fold("- "+s.wish(w), "  ")
	}
	out += "\n" + s.Fold(s.Strong("What the rules cost"), "")
	for _, p := range s.w.Rules {
		out += s.Fold("- "+s.price(p), "  ")
	}
	if len(s.w.Rules) > 1 {
		out += s.Fold("Each rule is left out by itself, with the others kept: a rule may cost nothing alone where another one forces the same.", "")
	}
	return out + "\n" + s.Fold(s.closing(), "")
}

// which is the plan asked about.
func (s *whyScreen) which() string {
	if s.w.From != nil {
		return "the plan in " + s.file()
	}
	return "the plan of this game"
}

// file is the saved plan's name without its folder, which may be wider than a screen.
func (s *whyScreen) file() string {
	return screen.Clip(screen.Clean(filepath.Base(s.w.From.File)), longestFolder)
}

// from says how a saved plan stands.
func (s *whyScreen) from() string {
	f := s.w.From
	if f == nil {
		return ""
	}
	out := ""
	if f.Changes > 0 {
		why := "who is there, or a rule, has changed"
		if s.sh.Season {
			why = "who is there, a rule, or what earlier games owe has changed"
		}
		out += s.Fold(fmt.Sprintf("The plan does not hold as it is: %s. What follows is about the plan with %s, as rebuild gives it.",
			why, prose.Count(f.Changes, "changed spot")), "")
		if s.sh.Season && !s.ofGame {
			out += s.Fold("If it is the plan of a game on record, add --game and its number: then that game and later ones do not count as earlier.", "")
		}
	}
	if f.Played > 0 {
		out += s.Fold(fmt.Sprintf("Series %s over: what is asked and compared is about those still to play.", prose.Are(1, f.Played)), "")
	}
	return out
}

func (s *whyScreen) plays() string {
	var parts []string
	n := 0
	for _, p := range s.w.Plays {
		parts = append(parts, fmt.Sprintf("%s in series %s", p.Role, prose.Ranges(p.Series)))
		n += len(p.Series)
	}
	if n == 0 {
		return s.Fold("On the bench throughout.", "")
	}
	share := tty.Point(s.w.Share)
	if s.w.Share == math.Trunc(s.w.Share) {
		share = fmt.Sprintf("%.0f", s.w.Share)
	}
	out := s.Fold(fmt.Sprintf("Plays %s, and the fair share is %s: %s.", prose.Count(n, "series"), share, strings.Join(parts, "; ")), "")
	if s.w.LongTurn != "" {
		out += s.Fold(s.w.LongTurn, "")
	}
	out += s.paidBack()
	for _, words := range s.sh.Loosened {
		out += s.Fold("LOOSENED: "+words, "  ")
	}
	return out
}

// paidBack says why the kid plays more or fewer series than its share, where a series is paid back.
func (s *whyScreen) paidBack() string {
	if s.l.Season == nil {
		return ""
	}
	more, fewer, owed := 0, 0, 0.0
	for _, k := range s.l.Kids {
		if k.Kid == s.w.Kid && k.Owed != nil {
			owed = *k.Owed
		}
	}
	for _, b := range s.l.Season.PaidBack {
		switch s.w.Kid {
		case b.To:
			more++
		case b.From:
			fewer++
		}
	}
	switch {
	case more > 0:
		return s.Fold(fmt.Sprintf("%d of them paid back: earlier games owe %s series.", more, tty.Point(owed)), "")
	case fewer > 0:
		return s.Fold(fmt.Sprintf("One is paid back to a kid whom earlier games owe: this one had %s more than its share.", tty.Point(-owed)), "")
	}
	return ""
}

func (s *whyScreen) fits() string {
	t := &texttab.Table{Head: []string{"role", "fit", "place"}, Align: []texttab.Align{texttab.Left, texttab.Right, texttab.Left}}
	words, marks, notes := "", "", ""
	for _, f := range s.w.Fits {
		i, letter := findRole(s.sh, f.Role)
		place := fmt.Sprintf("%d of %d", f.Rank, f.Of)
		if f.Never {
			place = "never plays it"
		}
		m := tty.Mark(f.Own, f.Tested)
		marks += m
		t.Rows = append(t.Rows, []string{s.Paint(i, letter) + " " + f.Role, tty.Fitted(f.Fit, f.SE) + m, place})
		if len(f.TooClose) > 0 {
			words += s.Fold(fmt.Sprintf("Too close to call at %s: %s", f.Role, tty.Sentence(s.who.List(f.TooClose))), "  ")
		}
	}
	for _, w := range s.w.Wishes {
		for _, x := range w.Against {
			marks += tty.Mark(x.Own, x.Tested)
		}
	}
	for _, words := range []string{tty.OwnWords, tty.UntestedWords} {
		if strings.Contains(marks, words[:1]) {
			notes += s.Fold(words, "")
		}
	}
	return s.Blocks(t, 1) + words + s.Fold("Points: "+tty.PointsMean, "") + notes
}

func (s *whyScreen) wish(w report.Wish) string {
	where := "at least once"
	if w.Series > 0 {
		where = fmt.Sprintf("in series %d", w.Series)
	}
	if w.Not && w.Series == 0 {
		where = "never"
	}
	head := fmt.Sprintf("%s %s: ", strings.ToUpper(w.Role[:1])+w.Role[1:], where)
	if w.Not && w.Series > 0 {
		head = fmt.Sprintf("Not %s %s: ", w.Role, where)
	}
	switch {
	case s.never(w.Role):
		return head + "ruled out by never in roster.csv."
	case !w.Possible && w.Proven:
		return head + "no plan under the rules has that (proven)."
	case !w.Possible:
		return head + "no such plan was found in the time given."
	}
	text := head + s.difference(w.Weakest, w.Total)
	if !w.Proven {
		text += ", as far as was found in the time given"
	}
	return text + "." + s.against(w)
}

func (s *whyScreen) never(role string) bool {
	for _, f := range s.w.Fits {
		if f.Role == role {
			return f.Never
		}
	}
	return false
}

// against names who has the role, those who cannot be told from the kid apart.
func (s *whyScreen) against(w report.Wish) string {
	if len(w.Against) == 0 {
		return ""
	}
	var clear, close []string
	for _, x := range w.Against {
		text := fmt.Sprintf("%s (%s%s)", s.who.Inline(x.Kid), tty.Fitted(x.Fit, x.SE), tty.Mark(x.Own, x.Tested))
		if x.TooClose {
			close = append(close, text)
		} else {
			clear = append(clear, text)
		}
	}
	verb := "The plan has there "
	if w.Not {
		verb = "Then there: "
	}
	out := " " + verb + prose.And(append(clear, close...))
	switch {
	case len(close) == 0:
		return out + "; the difference is more than the error."
	case len(clear) == 0:
		return out + "; too close to call."
	}
	var ids []string
	for _, x := range w.Against {
		if x.TooClose {
			ids = append(ids, x.Kid)
		}
	}
	return out + "; too close to call with " + prose.And(ids) + "."
}

// difference says how another plan compares with this one.
func (s *whyScreen) difference(weakest, total float64) string {
	part := func(base, x float64) string {
		size := tty.Rise(base, base+x)
		switch {
		case x > 0:
			return "gains " + size
		case x < 0:
			return "loses " + size
		}
		return "stays as it is"
	}
	if weakest == 0 && total == 0 {
		return "costs nothing; another plan is just as strong"
	}
	return fmt.Sprintf("the weakest series %s, the total %s", part(s.w.Weakest.Value, weakest), part(s.w.Total.Value, total))
}

func (s *whyScreen) price(p report.Price) string {
	// Without a rule the plan itself is still legal, so nothing can be lost: a weaker plan only shows that the time was short.
	if !p.Proven && (p.Weakest < 0 || p.Weakest == 0 && p.Total <= 0) {
		return fmt.Sprintf("Without %s: no gain was found in the time given.", p.Words)
	}
	if len(p.Rules) > 1 {
		return fmt.Sprintf("Always the strongest lineup, without %s at all: %s%s.", p.Words, s.difference(p.Weakest, p.Total), found(p.Proven))
	}
	if p.Weakest == 0 && p.Total == 0 {
		return fmt.Sprintf("Without %s: nothing gained%s.", p.Words, found(p.Proven))
	}
	return fmt.Sprintf("Without %s: %s%s.", p.Words, s.difference(p.Weakest, p.Total), found(p.Proven))
}

func found(proven bool) string {
	if proven {
		return ""
	}
	return ", as far as was found in the time given"
}

func (s *whyScreen) closing() string {
	proven := !s.w.Limited
	for _, w := range s.w.Wishes {
		proven = proven && w.Proven
	}
	for _, p := range s.w.Rules {
		proven = proven && p.Proven
	}
	text := fmt.Sprintf("Compared with this game's plan: weakest series %s, total %s.", tty.Point(s.w.Weakest.Value), tty.Point(s.w.Total.Value))
	if f := s.w.From; f != nil {
		text = fmt.Sprintf("Compared with the plan in %s: weakest series %s, total %s.", s.file(), tty.Point(s.w.Weakest.Value), tty.Point(s.w.Total.Value))
		if f.Fresh != nil && (f.Fresh.GainWeakest > 0 || f.Fresh.GainWeakest == 0 && f.Fresh.GainTotal > 0) {
			text += " It is not the strongest there is under the rules: with a fresh plan " + s.difference(f.Fresh.GainWeakest, f.Fresh.GainTotal) + ", and that is in every figure above."
		}
	}
	if proven {
		return text + " Every figure is that of the best plan there is (proven)."
	}
	return text + " Where nothing else is said, a figure is that of the best plan there is (proven); more time may settle the others (--seconds 60)."
}
