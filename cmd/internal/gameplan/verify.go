package gameplan

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sevenyard/assess"
	"sevenyard/cmd/internal/availability"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// Bar says why a kid may not be on the field in a series, from 1, of a plan that is to be shown; "": the kid may.
type Bar func(kid string, series int) string

// Reopen puts the game of a saved plan together as the file has it, with the scores, rules and kids of the folder as it is now; nobody who
// is out may be on the field in what is still to come. What the caller adds to the game before Verify counts: the heat, earlier games.
func Reopen(f *drills.Folder, profile *assess.Profile, out availability.Out, sv *Saved) (*Plan, error) {
	if n := len(sv.Series); sv.Played >= n {
		ps := finder{sv: sv}
		ps.add("played", "save the plan anew, or mend it by hand", "all %d series of the plan are over", n)
		return nil, ps.ps
	}
	return newFrom(f, profile, Wishes{Out: out}, sv, sv.Played)
}

// Verify gives a reopened plan an outcome, so that Lineup has every number worked out anew: fits, values, strengths, shares and counts
// from the folder as it is now, bounds and proofs from this run. Nothing of the file's own numbers is in it; notes say what of them does not hold.
//
// A plan that has a kid on the field who may not be there (on hold, hurt, not there, in a role never played, or barred by one
// of bars), or was changed by hand in such a way that its counts do not fit its series, is refused with problems of its lines. Other
// rules that it breaks are named in Broken and in notes, and then nothing of it is called proven.
func (pl *Plan) Verify(ctx context.Context, set rotation.Settings, bars ...Bar) error {
	sv := pl.saved
	f := &finder{sv: sv}
	pl.barred(f, bars)
	if len(f.ps) == 0 && sv.seal != unchanged {
		f.counts(pl.Game.Roles)
	}
	if len(f.ps) > 0 {
		return f.ps
	}
	kept := pl.Game.Kept // rest that the plan itself has makes room for everybody's: only where it does not go without
	pl.Game.Kept = nil
	if _, bad, err := pl.Game.Inspect(pl.old); err != nil || len(bad) > 0 {
		pl.Game.Kept = kept
	}
	out, bad, err := pl.Game.Appraise(ctx, pl.old, set)
	if err != nil {
		return err
	}
	pl.Outcome, pl.shown = out, true
	pl.Own()
	pl.hard(f, bad)
	if len(f.ps) > 0 {
		return f.ps
	}
	for _, v := range bad {
		pl.Broken = append(pl.Broken, pl.brokenWords(v))
	}
	pl.Notes = append(pl.Notes, sv.told(pl, true)...)
	return nil
}

// ReadLineup reads a saved plan and gives what is true of it now: ReadSaved, Reopen, Verify and Lineup in one, for a game without
// heat and earlier games.
func ReadLineup(ctx context.Context, file string, data []byte, f *drills.Folder, profile *assess.Profile, set rotation.Settings, bars ...Bar) (*report.Lineup, *Plan, error) {
	sv, err := ReadSaved(file, data)
	if err != nil {
		return nil, nil, err
	}
	if set.Favor, err = ParseFavor(sv.Favor); err != nil {
		return nil, nil, err
	}
	pl, err := Reopen(f, profile, availability.Out{}, sv)
	if err != nil {
		return nil, nil, err
	}
	if err := pl.Verify(ctx, set, bars...); err != nil {
		return nil, nil, err
	}
	l := pl.Lineup(set)
	l.Schema = sv.Schema
	return l, pl, nil
}

// Own says of a plan that is shown or asked about as it is saved that what is loose in it is so by itself, and not kept from another plan.
func (pl *Plan) Own() {
	for i := range pl.Outcome.Loosened {
		pl.Outcome.Loosened[i].Kept = false
	}
}

// SavedAs is the schema of the file that a plan was made from: what it is the best of depends on it.
func (pl *Plan) SavedAs() string { return pl.saved.Schema }

// CountsSeason tells whether earlier games counted when the plan was made.
func (sv *Saved) CountsSeason() bool { return sv.said != nil && sv.said.Season != nil }

// doubts are what does not hold of the file of a plan that is only to be changed or asked about, told from its numbers without a search.
func (sv *Saved) doubts(f *drills.Folder, profile *assess.Profile) []string {
	if sv.from != nil {
		sv = sv.from
	}
	pl, err := Reopen(f, profile, availability.Out{}, sv)
	if err != nil {
		return nil // whatever is in the way is in the way of the change too
	}
	out, bad, err := pl.Game.Inspect(pl.old)
	if err != nil || out.Result == nil {
		return sv.told(nil, false)
	}
	pl.Outcome = out
	for _, v := range bad {
		if v.Rule != rotation.RuleWindow { // who is there now is told by itself
			pl.Broken = append(pl.Broken, pl.brokenWords(v))
		}
	}
	return sv.told(pl, false)
}

// barred adds a problem for every spot of the series to come whose kid may not be on the field.
func (pl *Plan) barred(f *finder, bars []Bar) {
	const do = "make the change with ⟦save-rebuild⟧, or save a new plan"
	why := map[string]string{}
	for _, a := range slices.Concat(pl.Away, pl.Gone) {
		switch a.Why {
		case OnHold:
			why[a.ID] = "is on medical hold"
		case Hurt:
			why[a.ID] = "is hurt"
		default:
			why[a.ID] = "is not planned"
		}
	}
	for s := pl.Over; s < len(pl.saved.Series); s++ {
		for j, x := range pl.saved.Series[s].Slots {
			path, reason := fmt.Sprintf("series.%d.slots.%d.kid", s, j), ""
			if k, planned := pl.index[x.Kid]; !planned || !pl.thereIn(k, s) {
				if reason = why[x.Kid]; reason == "" {
					reason = "is not there"
				}
			}
			for _, bar := range bars {
				if reason == "" {
					reason = bar(x.Kid, s+1)
				}
			}
			if reason != "" {
				f.add(path, do, "kid %s %s, and the plan has the kid on the field in series %d", x.Kid, reason, s+1)
			}
		}
	}
}

// hard makes problems of the rules that never give way.
func (pl *Plan) hard(f *finder, bad []rotation.Violation) {
	const do = "make the change with ⟦save-rebuild⟧, or save a new plan"
	for _, v := range bad {
		if v.Rule != rotation.RuleWindow && v.Rule != rotation.RuleNever {
			continue
		}
		path := ""
		if v.Series >= 0 {
			path = fmt.Sprintf("series.%d", v.Series)
			for j, x := range pl.saved.Series[v.Series].Slots {
				if v.Kid >= 0 && x.Kid == pl.IDs[v.Kid] {
					path = fmt.Sprintf("series.%d.slots.%d.kid", v.Series, j)
				}
			}
		}
		f.add(path, do, "%s", pl.brokenWords(v))
	}
}

// brokenWords says a rule that a plan does not keep, and where.
func (pl *Plan) brokenWords(v rotation.Violation) string {
	text := v.What
	if v.Rule == rotation.RuleCover && v.Index < len(pl.Game.Covers) {
		text = fmt.Sprintf("at least %d of %s are to be on the field, and are not in series %d", pl.Outcome.Problem.Covers[v.Index].AtLeast, pl.names(pl.Game.Covers[v.Index].Kids), v.Series+1)
	}
	if v.Rule == rotation.RuleNever {
		text += fmt.Sprintf(", and series %d has it so", v.Series+1)
	}
	return fmt.Sprintf("%s (%s)", text, v.Rule)
}

// told are the notes about a file: that it was changed, what of it does not follow from itself, which numbers are others by now, which
// rules it does not keep, and with proofs, which of its proofs do not hold. pl is the plan worked out again; nil: it cannot be.
func (sv *Saved) told(pl *Plan, proofs bool) []string {
	if pl == nil {
		return sv.ByHand(nil)
	}
	out := sv.ByHand(&pl.Team.Catalogue)
	byHand, name := len(out) > 0, filepath.Base(sv.file)
	note := func(format string, args ...any) { out = append(out, "note: "+fmt.Sprintf(format, args...)) }
	now := &report.Lineup{}
	*now = *pl.Lineup(rotation.Settings{})
	if diffs := sv.otherNow(now); len(diffs) > 0 {
		lead := "the scores, weights or fits have changed since " + name + " was saved: "
		if byHand {
			lead = "worked out again from the folder: "
		}
		note("%s%s", lead, someOf(diffs))
	}
	if len(pl.Broken) > 0 {
		note("the plan in %s does not keep every rule as it stands now: %s", name, someOf(pl.Broken))
	}
	if proofs && sv.Schema != report.RebuildSchema {
		for _, x := range []struct {
			name     string
			was, now report.Bounded
		}{{"weakest series", sv.said.Weakest.Bounded, now.Weakest.Bounded}, {"total", sv.said.Total, now.Total}} {
			if x.was.Proven && !x.now.Proven {
				note("%s calls its %s the best possible, and that was not proven again: at most %s is possible", name, x.name, pts(x.now.Bound, x.now.Value))
			}
		}
	}
	return out
}

// ByHand notes that a file was changed since it was saved, and where it does not follow from itself; c may be nil: then only the first.
func (sv *Saved) ByHand(c *drills.Catalogue) []string {
	var wrong drills.Problems
	if sv.seal != unchanged && c != nil && sv.said != nil {
		wrong = sv.contradictions(c)
	}
	name := filepath.Base(sv.file)
	switch {
	case sv.seal == changed:
		return []string{fmt.Sprintf("note: %s was changed after it was saved: its own numbers count for nothing%s", name, sv.where(wrong))}
	case len(wrong) > 0:
		return []string{fmt.Sprintf("note: %s was changed by hand: its own numbers count for nothing%s", name, sv.where(wrong))}
	}
	return nil
}

// where tells of the first places that do not follow from their file.
func (sv *Saved) where(wrong drills.Problems) string {
	if len(wrong) == 0 {
		return ""
	}
	var parts []string
	for _, p := range wrong {
		parts = append(parts, fmt.Sprintf("line %d: %s", p.At.Line, p.What))
	}
	return ". " + someOf(parts)
}

// someOf are the first few of many.
func someOf(words []string) string {
	const most = 4
	if n := len(words) - most; n > 1 {
		return fmt.Sprintf("%s; and %d more", strings.Join(words[:most], "; "), n)
	}
	return strings.Join(words, "; ")
}

// otherNow are the strengths of a file that are others by the numbers of today.
func (sv *Saved) otherNow(now *report.Lineup) []string {
	var out []string
	was := sv.said
	add := func(what, path string, a, b float64) {
		if !near(a, b) && sv.has("%s", path) {
			out = append(out, fmt.Sprintf("%s is %s by the numbers of today, the file says %s", what, pts(b, a), pts(a, b)))
		}
	}
	for i, s := range now.Series {
		add(fmt.Sprintf("series %d", i+1), fmt.Sprintf("series.%d.strength", i), was.Series[i].Strength, s.Strength)
	}
	add("the weakest series", "weakest.value", was.Weakest.Value, now.Weakest.Value)
	add("the total", "total.value", was.Total.Value, now.Total.Value)
	if len(out) > 0 {
		return out
	}
	for i, s := range now.Series { // the same in sum
		for j, x := range s.Slots {
			if j < len(was.Series[i].Slots) {
				if w := was.Series[i].Slots[j]; w.Kid == x.Kid && w.Role == x.Role && sv.has("series.%d.slots.%d.fit", i, j) && (!near(w.Fit, x.Fit) || !near(w.SE, x.SE) || w.Own != x.Own || w.Tested != x.Tested || w.Value != x.Value) {
					return []string{fmt.Sprintf("the fit of kid %s as %s is %s ±%.1f by the numbers of today, the file says %s ±%.1f", x.Kid, x.Role, pts(x.Fit, w.Fit), x.SE, pts(w.Fit, x.Fit), w.SE)}
				}
			}
		}
	}
	return nil
}
