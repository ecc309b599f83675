package team

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// NewCheck is the command check.
func NewCheck(sio tty.IO) *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "read a team folder and tell everything that is wrong with it", ArgsUsage: "DIR | --demo",
		Flags:        append([]cli.Flag{tty.DemoFlag("read the invented team")}, tty.ViewFlags()...),
		OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, tty.ReadFolderOptions, runCheck),
	}
}

// checkLimit is the most time for the question whether the rules can hold at all.
const checkLimit = 2 * time.Second

func runCheck(ctx context.Context, o tty.FolderOptions, sio tty.IO) error {
	v, src := o.View, o.Source
	if tty.IsPool(src.FS) {
		return checkPool(v, sio, src)
	}
	f, err := v.ReadTeam(src)
	err = checkRecord(v, src, f, err)
	var problems drills.Problems
	if errors.As(err, &problems) && v.JSON {
		out := newCheckReport()
		out.Problems = report.Places(problems)
		if err := report.Write(sio.Out, out); err != nil {
			return err
		}
		return tty.ErrTold
	}
	if err != nil {
		return err
	}
	profile := assess.Assess(f)
	warnings := append(f.Warnings.Words(), profile.Warnings...)
	out := checked(f)
	out.Warnings = append(out.Warnings, ofScores(profile.Warnings)...)
	pl, err := gameplan.New(f, profile, gameplan.Wishes{})
	if err == nil {
		out.Conflict, err = pl.Collision(ctx, checkLimit)
	}
	out.Conflict = tty.SaidConflict(out.Conflict)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil { // no game can be put together: nobody is left to play, say
		out.NoGame = tty.Said(tty.OneLine(tty.PlanError(err)))
	}
	if v.JSON {
		return report.Write(sio.Out, out)
	}
	v.Warn(sio, warnings)
	_, err = io.WriteString(sio.Out, checkText(v, f, out, src, len(warnings)))
	return err
}

func newCheckReport() *report.Check {
	return &report.Check{
		Schema: report.CheckSchema, Problems: []report.Problem{}, Warnings: []report.Problem{},
		OnHold: []string{}, Drills: []report.Measured{}, Untested: []report.Untested{}, Timers: []string{},
	}
}

// ofScores are the warnings of the scores for programs: a sentence each, with its place in it.
func ofScores(warnings []string) []report.Problem {
	var out []report.Problem
	for _, w := range warnings {
		out = append(out, report.Problem{What: w})
	}
	return out
}

// checked counts what was read.
func checked(f *drills.Folder) *report.Check {
	out := newCheckReport()
	out.OK, out.Team, out.Kids, out.OwnFits = true, f.Team.Name, len(f.Roster), len(f.Fits)
	out.Warnings = report.Places(f.Warnings)
	for _, k := range f.Roster {
		if k.Hold != "" {
			out.OnHold = append(out.OnHold, k.ID)
		}
	}
	seen := map[string]bool{}
	trials := map[[2]string]int{} // by drill and kid
	for _, t := range f.Trials {
		trials[[2]string{t.Drill, t.Kid}]++
		if t.Timer != "" && !seen[t.Timer] {
			seen[t.Timer] = true
			out.Timers = append(out.Timers, t.Timer)
		}
	}
	slices.Sort(out.Timers) // the order of the rows must not matter
	for _, d := range f.Team.Catalogue.Drills {
		m := report.Measured{Drill: d.Name}
		var without []report.Untested
		for _, k := range f.Roster {
			if n := trials[[2]string{d.Name, k.ID}]; n > 0 {
				m.Kids, m.Trials = m.Kids+1, m.Trials+n
			} else {
				without = append(without, report.Untested{Kid: k.ID, Drill: d.Name})
			}
		}
		if m.Trials > 0 {
			out.Drills = append(out.Drills, m)
			out.Untested = append(out.Untested, without...)
		}
	}
	return out
}

func checkText(v tty.View, f *drills.Folder, out *report.Check, src tty.Source, warnings int) string {
	who := tty.NewPeople(f)
	team := screen.Clean(out.Team)
	if team == "" {
		team = "Your team"
	}
	well := "everything reads well"
	switch {
	case out.Conflict != nil:
		well = "the files read well, but the rules cannot all hold"
	case out.NoGame != "":
		well = "the files read well, but no game can be planned"
	}
	text := v.Fold(v.Strong(fmt.Sprintf("%s, %s: %s.", team, f.Team.Division.Words(), well)), "") + collision(v, out) + "\n"
	text += v.Fold(fmt.Sprintf("Roster: %s.", prose.Count(out.Kids, "kid")), "  ")
	if len(out.OnHold) > 0 {
		text += v.Fold("On medical hold, and so not planned: "+tty.Sentence(who.List(out.OnHold)), "  ")
	}
	if len(out.Timers) > 0 {
		text += v.Fold(fmt.Sprintf("Timers: %s.", strings.Join(out.Timers, ", ")), "  ")
	}
	if out.OwnFits > 0 {
		text += v.Fold(fmt.Sprintf("Your own fits: %s in fits.csv.", prose.Count(out.OwnFits, "number")), "  ")
	}
	if len(out.Drills) > 0 {
		text += "\n" + drillTable(v, f, out)
	}
	text += "\n"
	if warnings > 0 {
		text += v.Fold(fmt.Sprintf("%s above: such rows still count; look at them once.", prose.Count(warnings, "warning")), "")
	}
	if len(out.Drills) == 0 {
		text += tty.Commands("How to run the drills:", "sevenyard drills "+src.Name)
	}
	return text + tty.Commands("Next:", "sevenyard profile "+src.Name, "sevenyard lineup "+src.Name)
}

// drillTable says how much there is of every drill.
func drillTable(v tty.View, f *drills.Folder, out *report.Check) string {
	t := &texttab.Table{Head: []string{"drill", "what", "kids", "trials"}, Align: []texttab.Align{texttab.Left, texttab.Left, texttab.Right, texttab.Right}}
	for _, m := range out.Drills {
		t.Rows = append(t.Rows, []string{m.Drill, drillTitle(f, m.Drill), strconv.Itoa(m.Kids), strconv.Itoa(m.Trials)})
	}
	return v.Blocks(t, 1)
}

// collision says which rules cannot hold in a game with everybody there.
func collision(v tty.View, out *report.Check) string {
	c := out.Conflict
	switch {
	case out.NoGame != "":
		return v.Fold(out.NoGame, "  ")
	case c == nil:
		return ""
	}
	text := v.Fold("In a game with everybody there, "+tty.ConflictHead(c)+":", "  ") + v.ConflictBody(c)
	if c.Loosens {
		return text + v.Fold("As it is, sevenyard lineup loosens rules as little as need be, and says which.", "")
	}
	return text + v.Fold("As it is, sevenyard lineup finds no plan.", "")
}

func drillTitle(f *drills.Folder, name string) string {
	for _, d := range f.Team.Catalogue.Drills {
		if d.Name == name {
			return screen.Clip(screen.Clean(d.Title), 44)
		}
	}
	return ""
}
