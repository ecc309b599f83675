package draftday

import (
	"context"
	"fmt"
	"slices"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// Heed looks at saved teams as if nobody had said anything of them: it notes what the file says that does not hold, and which rules the teams break. whole comes
// before it.
func (s *Saved) Heed(p *Pool) {
	p.Notes = append(p.Notes, p.Pl.Changed(s.Saved, p.Pl.Numbers.Measure(s.Now))...)
	s.broken = draft.Check(p.Pl.Numbers, s.Now)
	if n := len(s.broken); n > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("the teams of %s break %s of the pool; %s", s.file, prose.Count(n, "rule"), s.mending(p)))
	}
}

// mending says what to do about teams that break rules.
func (s *Saved) mending(p *Pool) string {
	return fmt.Sprintf("trade kids until they hold (sevenyard draft swap %s --from %s), or draft anew (sevenyard draft %s); where a rule itself is wrong, mend it in pool.csv or league.toml",
		p.src.Name, tty.Quote(s.file), p.src.Name)
}

// Lawful refuses teams that break rules. head says what is not done with them.
func (s *Saved) Lawful(p *Pool, head string) error {
	if len(s.broken) == 0 {
		return nil
	}
	return p.brokenRules(fmt.Sprintf("%s: the teams of %s break rules", head, s.file), s.mending(p), s.broken, s.Now)
}

// brokenRules is the refusal of a split that breaks rules: each of them, and how it is broken.
func (p *Pool) brokenRules(head, do string, broken []draft.Rule, s draft.Split) error {
	object := report.NewRefusal()
	p.Pl.Call = nil
	for _, words := range p.Pl.BrokenWords(broken, s) {
		object.Problems = append(object.Problems, report.Problem{What: words, Do: do})
	}
	p.callNames()
	text := p.Fold("sevenyard: "+head, "  ")
	for _, words := range p.Pl.BrokenWords(broken, s) {
		text += p.Fold("- "+words, "  ")
	}
	return &tty.Refused{Text: text + p.Fold(tty.Sentence("What to do: "+do), ""), Object: object}
}

// brokenNotes says the broken rules of these kinds for whoever sits at the screen; no kind: of all.
func (s *Saved) brokenNotes(p *Pool, kinds ...draft.RuleKind) []string {
	p.callNames()
	return p.Pl.BrokenWords(slices.DeleteFunc(slices.Clone(s.broken), func(r draft.Rule) bool {
		return len(kinds) > 0 && !slices.Contains(kinds, r.Kind)
	}), s.Now)
}

// known searches the pool anew for what can be said of teams: bounds, whether they are proven, and whether more even ones are known.
func (p *Pool) known(ctx context.Context, d *report.Draft, split draft.Split, effort int) error {
	if len(d.Broken) > 0 {
		return nil
	}
	meter := tty.StartMeterWith(p.sio, func() string { return "looking for more even teams" })
	defer meter.End()
	res, err := draft.Draft(ctx, p.Pl.Numbers, draft.Settings{Seed: d.Seed, Effort: effort, Grant: true})
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return err
	}
	p.Pl.Known(d, p.Pl.Numbers.Measure(split), res)
	return nil
}

// unproven is what a file says of its teams that a search does not bear out.
func (s *Saved) unproven(d *report.Draft) []string {
	switch {
	case !s.Proven || d.Proven || len(d.Broken) > 0:
		return nil
	case d.Better != nil:
		return []string{fmt.Sprintf("%s says that no split is more even (proven), and that is not so: a more even one is known", s.file)}
	}
	return []string{fmt.Sprintf("%s says that no split is more even (proven), and that was not borne out when it was looked at again", s.file)}
}

// betterWords says that a more even split is known, how much more even, and how to get at it.
func betterWords(pl *draftplan.Plan, d *report.Draft, src string) string {
	b := d.Better
	how := "sevenyard draft " + src
	if d.Seed > 1 {
		how += fmt.Sprintf(" --seed %d", d.Seed)
	}
	if b.Shortage < d.Shortage {
		return fmt.Sprintf("A better split is known, which leaves %s unfilled, and these teams leave %d: %s shows it.", prose.Count(b.Shortage, "spot"), d.Shortage, how)
	}
	return fmt.Sprintf("A more even split is known: its unevenness is %.2f and that of these teams %.2f, which is %.2f more (%.2f is one team off by 1 point overall). It comes from %s.",
		b.Objective, d.Objective, cents(d.Objective)-cents(b.Objective), pl.PointPrice(), how)
}

// apartBroken stands on the list in place of who is to be kept apart, and is not.
const apartBroken = "two kids who are not to be on one team are (apart)"
