package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
)

// kidCard is one kid's page. It says nothing of any other kid.
type kidCard struct {
	N              int
	Team, Division string
	who
	Traits    *plot
	Says      []saying
	Practise  practice
	Roles     *plot
	OwnNumber bool
	Turns     *turns
	Cautions  []string
	Tested    bool
	Split     bool // the second half stands on a page of its own
}

// Printed on one card: rows of traits and roles, and letters of a drill's set-up.
const (
	rowsACard  = 13
	setupRunes = 420
)

// saying is a group of traits that stand alike.
type saying struct{ Lead, Traits string }

type practice struct {
	Words  string
	Drills []drills.Drill
}

// turns is the kid's season up to now.
type turns struct {
	report.SeasonKid
	Words string
}

// leads open the sentence about each standing.
var leads = []struct {
	standing assess.Standing
	text     string
}{
	{assess.ClearlyAbove, "Clearly above the middle"},
	{assess.LikelyAbove, "Likely above the middle"},
	{assess.TooCloseToSay, "Too close to the middle to say"},
	{assess.LikelyBelow, "Likely below the middle so far"},
	{assess.ClearlyBelow, "Below the middle so far"},
	{assess.Untested, "Not tested yet"},
}

var standingWords = map[assess.Standing]string{
	assess.ClearlyAbove: "clearly above the middle", assess.LikelyAbove: "likely above the middle", assess.TooCloseToSay: "too close to say",
	assess.LikelyBelow: "likely below the middle", assess.ClearlyBelow: "below the middle", assess.Untested: "not tested",
}

// Kids is a card for each of the kids, a page each. The roles are those that the team plays; season is nil where there is no
// record of games.
func Kids(p *report.Profile, kids, roles []string, season *report.Season, t Team) (*Page, error) {
	var cards []*kidCard
	for _, id := range kids {
		at := slices.IndexFunc(p.Kids, func(k report.ProfileKid) bool { return k.Kid == id })
		if at < 0 {
			return nil, fmt.Errorf("sheet: kid %s is not in the profile", id)
		}
		cards = append(cards, t.card(len(cards)+1, &p.Kids[at], roles, season))
	}
	title := fmt.Sprintf("%s: cards of %d kids", t.title(), len(cards))
	if len(cards) == 1 {
		title = fmt.Sprintf("%s: card of kid %s", t.title(), cards[0].text())
	}
	html, err := render("kid.html", title, "", cards)
	sides := len(cards)
	for _, c := range cards {
		if c.Split {
			sides++
		}
	}
	return &Page{html, sides}, err
}

func (t Team) card(n int, k *report.ProfileKid, roles []string, season *report.Season) *kidCard {
	c := &kidCard{N: n, Team: t.title(), Division: t.Division, who: t.who(k.Kid), Cautions: t.Cautions}
	c.Traits = newPlot(fmt.Sprintf("k%d-trait", n), pool())
	var scores []assess.Score
	for _, x := range t.Catalogue.Traits {
		tr, ok := k.Traits[x.Name]
		if !ok {
			continue
		}
		s := assess.Score{Name: x.Name, T: tr.T, SE: tr.SE, Tested: tr.Tested}
		scores = append(scores, s)
		d := dot{Label: x.Title, Value: tr.T, SE: tr.SE, Shown: withError(tr.T, tr.SE), Words: standingWords[s.Standing()]}
		if !tr.Tested {
			d.Blank, d.Words, d.Shown = "not tested", "", "not tested"
		}
		c.Traits.add(d)
		c.Tested = c.Tested || tr.Tested
	}
	c.says(scores, t)
	c.Practise = t.practise(scores)
	c.fits(k, roles, t)
	c.Split = len(c.Traits.Rows)+len(c.Roles.Rows) > rowsACard
	c.Turns = &turns{Words: "No game is on record yet, so nothing is owed."}
	if season != nil && len(season.Games) > 0 {
		for _, x := range season.Kids {
			if x.Kid == k.Kid {
				c.Turns = &turns{x, owedWords(x.Owed)}
			}
		}
	}
	return c
}

func (c *kidCard) says(scores []assess.Score, t Team) {
	for _, l := range leads {
		var names []string
		for _, s := range scores {
			if s.Standing() == l.standing {
				names = append(names, t.traitTitle(s.Name))
			}
		}
		if len(names) > 0 {
			c.Says = append(c.Says, saying{l.text, strings.Join(names, ", ")})
		}
	}
}

// practise says what comes first, and with which drill: for each trait the one that measures most of it.
func (t Team) practise(scores []assess.Score) practice {
	tested := slices.ContainsFunc(scores, func(s assess.Score) bool { return s.Tested })
	picks := assess.Practise(scores)
	switch {
	case !tested:
		return practice{Words: "No drill has been done yet, so nothing can be said. Whatever is fun is a good start."}
	case len(picks) == 0:
		return practice{Words: "Too close to say: no score lies below the team's middle by more than its own error. Whatever is fun is a good start."}
	}
	var names []string
	p := practice{}
	for _, i := range picks {
		names = append(names, t.traitTitle(scores[i].Name))
		if d := t.drillFor(scores[i].Name); d != nil && len(p.Drills) < 2 && !slices.ContainsFunc(p.Drills, func(x drills.Drill) bool { return x.Name == d.Name }) {
			p.Drills = append(p.Drills, *d)
			last := &p.Drills[len(p.Drills)-1]
			last.Title, last.Setup, last.Safety = capital(d.Title), sentences(d.Setup, setupRunes), sentences(d.Safety, setupRunes)
		}
	}
	if len(picks) == 1 {
		p.Words = fmt.Sprintf("Start with %s: for how surely it is known, it lies furthest below the middle.", names[0])
	} else {
		p.Words = fmt.Sprintf("Start with %s or %s: which of them needs it most is too close to say.", strings.Join(names[:len(names)-1], ", "), names[len(names)-1])
	}
	return p
}

// capital starts a sentence.
func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}

// sentences gives as many whole sentences from the start as fit.
func sentences(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	cut := []rune(text)[:most]
	if end := strings.LastIndex(string(cut), ". "); end > 0 {
		return string(cut)[:end+1] + " …"
	}
	return string(cut) + " …"
}

// drillFor is the drill that says most about a trait.
func (t Team) drillFor(trait string) *drills.Drill {
	best, most := -1, 0.0
	for i, d := range t.Catalogue.Drills {
		for _, l := range d.Loads {
			if l.Name == trait && l.Weight > most {
				best, most = i, l.Weight
			}
		}
	}
	if best < 0 {
		return nil
	}
	return &t.Catalogue.Drills[best]
}

func (c *kidCard) fits(k *report.ProfileKid, roles []string, t Team) {
	c.Roles = newPlot(fmt.Sprintf("k%d-role", c.N), pool())
	for _, r := range t.roles(roles) {
		f, ok := k.Fits[r.Name]
		if !ok {
			continue
		}
		d := dot{Label: r.Name, Mark: &r, Value: f.Fit, SE: f.SE, Shown: withError(f.Fit, f.SE)}
		s := assess.Score{T: f.Fit, SE: f.SE, Tested: f.Tested}
		d.Words = standingWords[s.Standing()]
		switch {
		case slices.Contains(t.Never[k.Kid], r.Name):
			d.Blank, d.Words, d.Shown = "–", "does not play it", "does not play it"
		case !f.Tested:
			d.Blank, d.Words, d.Shown = "not tested", "", "not tested"
		case f.Own:
			d.Words += "; the coach's own number"
			c.OwnNumber = true
		}
		c.Roles.add(d)
	}
}

// owedWords say what is owed. Below a tenth of a series is even, as it is shown.
func owedWords(owed float64) string {
	switch tenths := math.Round(10*owed) / 10; {
	case tenths > 0:
		return fmt.Sprintf("%s series are owed; kids who are owed most come first when a game's turns do not come out even.", fixed(tenths, 1))
	case tenths < 0:
		return fmt.Sprintf("That is %s more than the fair share; others come first when a game's turns do not come out even.", fixed(-tenths, 1))
	}
	return "That is just the fair share."
}
