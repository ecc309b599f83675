package team

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"sevenyard/assess"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/prose"
)

// checkPool is the check of a pool folder.
func checkPool(v tty.View, sio tty.IO, src tty.Source) error {
	p, err := ReadPoolFolder(v, src)
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
	f := p.Folder()
	scores := assess.Assess(f).Warnings
	out := checked(f)
	if v.JSON {
		out.Warnings = append(report.Places(p.Warnings), ofScores(scores)...)
		return report.Write(sio.Out, out)
	}
	v.Warn(sio, append(p.Warnings.Words(), scores...))
	_, err = io.WriteString(sio.Out, poolText(v, p, out, src, len(p.Warnings)+len(scores)))
	return err
}

func poolText(v tty.View, p *drills.Pool, out *report.Check, src tty.Source, warnings int) string {
	name := screen.Clean(out.Team)
	if name == "" {
		name = "Your league"
	}
	text := v.Fold(v.Strong(fmt.Sprintf("%s, %s: everything reads well.", name, p.League.Common.Division.Words())), "") + "\n"
	text += v.Fold(fmt.Sprintf("Pool: %s for %s.", prose.Count(out.Kids, "kid"), prose.Count(len(p.League.Teams), "team")), "  ")
	families := "families"
	if len(p.Families()) == 1 {
		families = "family"
	}
	text += v.Fold(fmt.Sprintf("Of more than one kid: %d %s, %s.", len(p.Families()), families, prose.Count(len(p.Cars()), "carpool")), "  ")
	if len(out.OnHold) > 0 {
		text += v.Fold("On medical hold, so given a team and not counted on to play: "+tty.Sentence(tty.NewPeople(p.Folder()).List(out.OnHold)), "  ")
	}
	if len(out.Timers) > 0 {
		text += v.Fold(fmt.Sprintf("Timers: %s.", strings.Join(out.Timers, ", ")), "  ")
	}
	if len(out.Drills) > 0 {
		text += "\n" + drillTable(v, p.Folder(), out)
	}
	text += "\n"
	if warnings > 0 {
		text += v.Fold(fmt.Sprintf("%s above: such rows still count; look at them once.", prose.Count(warnings, "warning")), "")
	}
	return text + tty.Commands("Next:", "sevenyard draft "+src.Name+" --save teams.json")
}
