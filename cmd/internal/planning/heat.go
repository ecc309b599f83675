package planning

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/rotation"
)

// LocalFirst stands wherever heat is spoken of.
const LocalFirst = "The league's and the local heat rules come first, and whoever looks after the kids sees more than a table does."

// TooHot is a reading at which nobody should play, and the rows of the tables that say so.
type TooHot struct {
	Reading drills.WBGT
	Rules   []string // a sentence each
}

// Head says that nobody should play.
func (h *TooHot) Head() string {
	return fmt.Sprintf("no plan: at a WBGT of %s nobody should play", Degrees(h.Reading))
}

func (h *TooHot) Error() string { return h.Head() }

// Refusal is the same as an object.
func (h *TooHot) Refusal() *report.Refusal {
	whys := []report.Problem{}
	for _, why := range h.Rules {
		whys = append(whys, report.Problem{What: "no activity at a WBGT of " + Degrees(h.Reading) + ": " + why, Do: "cancel, or play when a new reading is lower"})
	}
	return report.NewRefusal(whys...)
}

// HeatOn looks a reading up for a team; nil without one. Where a table that counts calls for no activity there is no plan: TooHot.
func HeatOn(w *drills.WBGT, t *drills.Team) (*drills.Heat, error) {
	if w == nil {
		return nil, nil
	}
	h := drills.HeatAt(*w, t.Heat)
	if !h.Stop {
		return &h, nil
	}
	no := &TooHot{Reading: *w}
	for _, r := range h.Rules {
		if r.Off(t.Heat) {
			no.Rules = append(no.Rules, ruleWords(&h, r))
		}
	}
	return nil, no
}

// Degrees is a reading in both units.
func Degrees(w drills.WBGT) string {
	f := strconv.FormatFloat(w.F, 'f', 2, 64) // two digits where they tell 84.05 from the 84.0 of a table
	return fmt.Sprintf("%s °F (%s °C)", strings.TrimSuffix(f, "0"), strconv.FormatFloat(w.C(), 'f', 1, 64))
}

// ruleWords is what a table says, with its name, where its row begins, and how it stands.
func ruleWords(h *drills.Heat, r drills.HeatRule) string {
	from := ""
	switch f := strconv.FormatFloat(r.Row.From, 'f', 1, 64); {
	case r.Row.From < 0: // the first row begins nowhere
	case r.Row.Above:
		from = ", above " + f + " °F"
	default:
		from = ", from " + f + " °F"
	}
	if s := r.Table.Superseded; s != nil {
		from += fmt.Sprintf("; superseded in %d by %s", s.Year, s.By)
		if r.Row.Stop && h.League == nil {
			from += ", so it calls no game off by itself"
		}
	}
	return fmt.Sprintf("%s (%s%s): %s.", r.Table.Name, r.Table.Title, from, r.Row.Words)
}

// offElsewhere are the words of the tables that call the game off and do not decide it: a superseded one, or one that the league has not named.
func offElsewhere(h *drills.Heat) []string {
	var out []string
	for _, r := range h.Rules {
		switch {
		case !r.Row.Stop || h.Stop:
		case r.Counts:
			out = append(out, fmt.Sprintf("at a WBGT of %s the table %s, superseded in %d by %s, asks for no activity at all; the current ones do not, so turns are short and breaks many: think of cancelling",
				Degrees(h.Reading), r.Table.Name, r.Table.Superseded.Year, r.Table.Superseded.By))
		case r.Table.Superseded == nil:
			out = append(out, fmt.Sprintf("at a WBGT of %s the table %s asks for no activity; your league's, %s, does not, and it is the one that counts here: think of cancelling",
				Degrees(h.Reading), r.Table.Name, h.League.Name))
		}
	}
	return out
}

// whoseWord says which table counts.
func whoseWord(h *drills.Heat) string {
	switch {
	case h.League == nil:
		return "Of each demand the most cautious one below counts. Your league's own table can be named: heat in team.toml."
	case len(h.Rules) == 0 || h.Rules[0].Table.ID != h.League.ID:
		return fmt.Sprintf("Your league's table counts, %s (heat in team.toml); it asks for nothing at this reading.", h.League.Name)
	}
	return fmt.Sprintf("Your league's table counts, %s (heat in team.toml).", h.League.Name)
}

// SavedHeat is the reading that a saved plan was made for, where no newer one is given: the heat does not end with a change of plan.
func (g *Game) SavedHeat(sv *gameplan.Saved) (*drills.Heat, error) {
	t := &g.Folder.Team
	if g.WBGT != nil || sv.Heat == nil {
		return nil, nil
	}
	w, err := drills.ParseWBGT(strconv.FormatFloat(sv.Heat.WBGTF, 'f', -1, 64) + "F")
	if err != nil {
		return nil, fmt.Errorf("the saved plan's WBGT: %w; %s", err, g.Words.GiveHeat())
	}
	h := drills.HeatAt(w, t.Heat)
	if h.Stop {
		return nil, fmt.Errorf("the saved plan is for a WBGT of %s, at which nobody should play; %s", Degrees(w), g.Words.GiveHeatAnew())
	}
	return &h, nil
}

// heatStays says whose reading counts.
func (g *Game) heatStays(h *drills.Heat) string {
	return fmt.Sprintf("note: the saved plan's reading still counts, a WBGT of %s; %s", Degrees(h.Reading), g.Words.GiveHeatHourly())
}

// heatCounts says the same of a question about a plan.
func heatCounts(h *drills.Heat) string {
	return fmt.Sprintf("note: the saved plan's reading counts, a WBGT of %s", Degrees(h.Reading))
}

// addHeat puts the heat and its breaks into the plan. Breaks before the first series still to play are over.
func (g *Game) addHeat(l *report.Lineup) {
	l.Breaks = []report.Break{}
	h := g.Heat
	if h == nil {
		return
	}
	l.Heat = &report.Heat{WBGTF: h.Reading.F, WBGTC: h.Reading.C(), MaxOn: h.MaxOn, MaxOnKept: g.heatKept(), BreakEvery: h.BreakEvery, BreakMinutes: h.BreakMinutes,
		Word: whoseWord(h), Off: report.Filled(offElsewhere(h)), Rules: []report.HeatRule{}, Caution: LocalFirst}
	if h.League != nil {
		l.Heat.League = h.League.Name
	}
	for _, r := range h.Rules {
		x := report.HeatRule{Table: r.Table.Name, Column: r.Table.Column, Words: ruleWords(h, r), Counts: r.Counts, Source: r.Table.Source}
		if s := r.Table.Superseded; s != nil {
			x.Superseded = fmt.Sprintf("%s, %d: %s", s.By, s.Year, s.Source)
		}
		l.Heat.Rules = append(l.Heat.Rules, x)
	}
	for _, s := range h.Breaks(len(l.Series)) {
		if s >= l.Played {
			l.Breaks = append(l.Breaks, report.Break{After: s, Minutes: h.BreakMinutes})
		}
	}
	if !l.Heat.MaxOnKept {
		l.Warnings = append(l.Warnings, g.tooLong())
	}
}

// heatKept tells whether nobody is on the field for longer than the heat allows.
func (g *Game) heatKept() bool {
	return g.Heat.MaxOn == 0 || !slices.ContainsFunc(g.Plan.Outcome.Loosened, g.overlong)
}

func (g *Game) overlong(x rotation.Loosened) bool {
	return x.Rule.Kind == rotation.RuleMaxOn && (x.To < 0 || x.To > g.Heat.MaxOn)
}

// tooLong is the loud word on a plan that the heat does not allow.
func (g *Game) tooLong() string {
	return fmt.Sprintf("at %s nobody should be on the field for more than %s in a row, and with so few kids somebody is: make the series shorter, bring more kids, or cancel",
		Degrees(g.Heat.Reading), prose.Count(g.Heat.MaxOn, "series"))
}

// heed puts the heat into the team's rules.
func (g *Game) heed(h *drills.Heat) {
	if h != nil {
		g.Folder.Team.Rules.MaxOn = h.Limit(g.Folder.Team.Rules.MaxOn)
	}
}

// keepSafe makes the heat's limit one for the kids' health: equal series give way before it does.
func (g *Game) keepSafe(h *drills.Heat) {
	if h != nil {
		g.Plan.Game.SafeOn = h.MaxOn
	}
}
