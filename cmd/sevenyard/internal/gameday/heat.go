package gameday

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// localFirst stands wherever heat is spoken of.
const localFirst = "The league's and the local heat rules come first, and whoever looks after the kids sees more than a table does."

// wbgtFlag is the flag of commands that plan a game.
func wbgtFlag() cli.Flag {
	return &cli.StringFlag{Name: "wbgt", DefaultText: "no heat rules", Usage: "82F or 28C: the wet-bulb globe temperature (not that of the air), for water breaks and shorter turns"}
}

// readWBGT reads the reading; nil without one.
func readWBGT(c *cli.Context) (*drills.WBGT, error) {
	if !c.IsSet("wbgt") {
		return nil, nil
	}
	w, err := drills.ParseWBGT(c.String("wbgt"))
	if err != nil {
		return nil, tty.Usagef("--wbgt: %w", err)
	}
	return &w, nil
}

// heatOn looks a reading up for a team; nil without one. Where a table that counts calls for no activity there is no plan.
func heatOn(v tty.View, w *drills.WBGT, t *drills.Team) (*drills.Heat, error) {
	if w == nil {
		return nil, nil
	}
	h := drills.HeatAt(*w, t.Heat)
	if !h.Stop {
		return &h, nil
	}
	text := v.Fold(fmt.Sprintf("sevenyard: no plan: at a WBGT of %s nobody should play", degrees(*w)), "  ")
	whys := []report.Problem{}
	for _, r := range h.Rules {
		if r.Off(t.Heat) {
			why := ruleWords(&h, r)
			text += v.Fold("- "+why, "  ")
			whys = append(whys, report.Problem{What: "no activity at a WBGT of " + degrees(*w) + ": " + why, Do: "cancel, or play when a new reading is lower"})
		}
	}
	text += v.Fold("Cancel, or play when a new reading is lower. "+localFirst, "")
	return nil, &tty.Refused{Text: text, Object: report.NewRefusal(whys...)}
}

// degrees is a reading in both units.
func degrees(w drills.WBGT) string {
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
				degrees(h.Reading), r.Table.Name, r.Table.Superseded.Year, r.Table.Superseded.By))
		case r.Table.Superseded == nil:
			out = append(out, fmt.Sprintf("at a WBGT of %s the table %s asks for no activity; your league's, %s, does not, and it is the one that counts here: think of cancelling",
				degrees(h.Reading), r.Table.Name, h.League.Name))
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

// savedHeat is the reading that a saved plan was made for, where no newer one is given: the heat does not end with a change of plan.
func savedHeat(newer *drills.WBGT, sv *gameplan.Saved, t *drills.Team) (*drills.Heat, error) {
	if newer != nil || sv.Heat == nil {
		return nil, nil
	}
	w, err := drills.ParseWBGT(strconv.FormatFloat(sv.Heat.WBGTF, 'f', -1, 64) + "F")
	if err != nil {
		return nil, fmt.Errorf("the saved plan's WBGT: %w; give a reading with --wbgt", err)
	}
	h := drills.HeatAt(w, t.Heat)
	if h.Stop {
		return nil, fmt.Errorf("the saved plan is for a WBGT of %s, at which nobody should play; give a new reading with --wbgt", degrees(w))
	}
	return &h, nil
}

// heatStays says whose reading counts.
func heatStays(h *drills.Heat) string {
	return fmt.Sprintf("note: the saved plan's reading still counts, a WBGT of %s; read again every hour, and give it with --wbgt", degrees(h.Reading))
}

// heatCounts says the same of a question about a plan.
func heatCounts(h *drills.Heat) string {
	return fmt.Sprintf("note: the saved plan's reading counts, a WBGT of %s", degrees(h.Reading))
}

// heed puts the heat into the team's rules.
func heed(h *drills.Heat, f *drills.Folder) {
	if h != nil {
		f.Team.Rules.MaxOn = h.Limit(f.Team.Rules.MaxOn)
	}
}

// spare makes the heat's limit one for the kids' health: equal series give way before it does.
func spare(h *drills.Heat, pl *gameplan.Plan) {
	if h != nil {
		pl.Game.SafeOn = h.MaxOn
	}
}

// addHeat puts the heat and its breaks into the plan. Breaks before the first series still to play are over.
func (g *Game) addHeat(l *report.Lineup) {
	l.Breaks = []report.Break{}
	h := g.heat
	if h == nil {
		return
	}
	l.Heat = &report.Heat{WBGTF: h.Reading.F, WBGTC: h.Reading.C(), MaxOn: h.MaxOn, MaxOnKept: g.heatKept(), BreakEvery: h.BreakEvery, BreakMinutes: h.BreakMinutes,
		Word: whoseWord(h), Off: tty.Filled(offElsewhere(h)), Rules: []report.HeatRule{}, Caution: localFirst}
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
	return g.heat.MaxOn == 0 || !slices.ContainsFunc(g.Pl.Outcome.Loosened, g.overlong)
}

func (g *Game) overlong(x rotation.Loosened) bool {
	return x.Rule.Kind == rotation.RuleMaxOn && (x.To < 0 || x.To > g.heat.MaxOn)
}

// tooLong is the loud word on a plan that the heat does not allow.
func (g *Game) tooLong() string {
	return fmt.Sprintf("at %s nobody should be on the field for more than %s in a row, and with so few kids somebody is: make the series shorter, bring more kids, or cancel",
		degrees(g.heat.Reading), gameplan.Count(g.heat.MaxOn, "series"))
}

// heat is what the heat changes in the plan, and whose word that is.
func (s *lineupScreen) heat() string {
	h := s.l.Heat
	if h == nil {
		return ""
	}
	out := "\n" + s.Fold(s.Strong("Heat: WBGT "+degrees(drills.WBGT{F: h.WBGTF})), "")
	if len(s.l.Breaks) > 0 {
		var after []int
		for _, b := range s.l.Breaks {
			after = append(after, b.After)
		}
		out += s.Fold(fmt.Sprintf("- Water breaks after series %s: %d minutes each or more, in the shade.", gameplan.Ranges(after), h.BreakMinutes), "  ")
	}
	switch {
	case h.MaxOn > 0 && h.MaxOnKept:
		out += s.Fold(fmt.Sprintf("- At most %s in a row on the field.", gameplan.Count(min(h.MaxOn, max(1, s.l.Rules.MaxOn)), "series")), "  ")
	case h.MaxOn > 0:
		out += s.Fold(s.Strong(fmt.Sprintf("! Somebody is on the field for more than %s in a row: with so few kids there is no other plan. Make the series shorter, bring more kids, or cancel.",
			gameplan.Count(h.MaxOn, "series"))), "  ")
	}
	out += s.Fold(h.Word, "")
	for _, off := range h.Off {
		out += s.Fold(s.Strong("! "+strings.ToUpper(off[:1])+off[1:]+"."), "  ")
	}
	var sources []string
	for _, r := range h.Rules {
		if r.Counts {
			out += s.Fold("- "+r.Words, "  ")
		} else {
			out += s.Fold("- More cautious, and not counted: "+r.Words, "  ")
		}
		sources = append(sources, r.Source)
		if r.Superseded != "" {
			sources = append(sources, "in its place "+r.Superseded)
		}
	}
	out += s.Fold(localFirst, "")
	if s.detail {
		out += s.Fold("Sources: "+strings.Join(sources, "; ")+".", "  ")
	}
	return out
}

// heat is what the heat changes in the plans of a league, and in which of them somebody is on the field for too long. Teams may go by
// different tables.
func (l *league) heat(out *report.Lineups) string {
	var words []string
	teams := map[string][]string{}
	tooLong := ""
	for _, x := range out.Teams {
		if x.Lineup == nil || x.Lineup.Heat == nil {
			continue
		}
		h := x.Lineup.Heat
		w := demands(h)
		if teams[w] == nil {
			words = append(words, w)
		}
		teams[w] = append(teams[w], screen.Clean(x.Folder))
		for _, off := range h.Off {
			tooLong += l.Fold(l.Strong(fmt.Sprintf("! %s: %s.", screen.Clean(x.Folder), off)), "  ")
		}
		if !h.MaxOnKept {
			tooLong += l.Fold(l.Strong(fmt.Sprintf("! %s: somebody is on the field for more than %s in a row. Make the series shorter, bring more kids, or cancel.",
				screen.Clean(x.Folder), gameplan.Count(h.MaxOn, "series"))), "  ")
		}
	}
	if len(words) == 0 {
		return ""
	}
	word := "Whose word that is: sevenyard lineup with one folder. " + localFirst
	if len(words) == 1 {
		return "\n" + l.Fold(words[0]+" "+word, "") + tooLong
	}
	text := "\n"
	for _, w := range words {
		text += l.Fold(strings.Join(teams[w], ", ")+": "+w, "")
	}
	return text + l.Fold(word, "") + tooLong
}

// demands are what the heat asks for in a game, in a line.
func demands(h *report.Heat) string {
	words := "Heat: WBGT " + degrees(drills.WBGT{F: h.WBGTF}) + "."
	if h.League != "" {
		words += " The table is " + h.League + "."
	}
	if h.BreakEvery > 0 {
		every := "every series"
		if h.BreakEvery > 1 {
			every = fmt.Sprintf("every %d series", h.BreakEvery)
		}
		words += fmt.Sprintf(" Water breaks of %d minutes or more after %s.", h.BreakMinutes, every)
	}
	if h.MaxOn > 0 {
		words += fmt.Sprintf(" At most %s in a row on the field.", gameplan.Count(h.MaxOn, "series"))
	}
	return words
}

// breakLine is a water break after a series in words, "" where there is none.
func (s *lineupScreen) breakLine(after int) string {
	for _, b := range s.l.Breaks {
		if b.After == after {
			return s.Fold(fmt.Sprintf("  Then water, %d minutes or more.", b.Minutes), "  ")
		}
	}
	return ""
}

// breakRow is the line of a water break in a table of so many columns, nil where there is none.
func (s *lineupScreen) breakRow(after, columns int) []string {
	for _, b := range s.l.Breaks {
		if b.After == after {
			row := make([]string, columns)
			row[0] = s.Faint("water") // in the column that every block of the table repeats
			row[1] = s.Faint(fmt.Sprintf("%d min", b.Minutes))
			return row
		}
	}
	return nil
}
