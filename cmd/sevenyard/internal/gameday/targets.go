package gameday

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/optimize/rotation"
)

// SaveFlags are the flags of every command that saves a plan.
func SaveFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "save", Usage: "also write the plan into this new file (JSON, ids only), to rebuild from"},
		&cli.BoolFlag{Name: "replace", Usage: "write over a file that is there"},
	}
}

func modelFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "write-mps", Usage: "also write the game as a mixed-integer program (free MPS) into this new file, to check us with another solver"},
		&cli.StringFlag{Name: "mps-goal", Value: "weakest", Usage: "what that program asks for: weakest series, total, or both (the total with the weakest series kept)"},
	}
}

// Targets are the files that a planning command writes beside its screen. The name of one that could not be written is emptied.
type Targets struct {
	sio                 tty.IO
	Plan, model, goal   string
	planFile, modelFile newfile.Target
}

// ReadTargets looks whether the files can be written, before any work is done.
func ReadTargets(c *cli.Context, sio tty.IO) (*Targets, error) {
	t := &Targets{sio: sio, Plan: c.String("save"), model: c.String("write-mps"), goal: c.String("mps-goal")}
	t.planFile, t.modelFile = tty.Target(c, t.Plan, newfile.Plan), tty.Target(c, t.model, newfile.Model)
	switch {
	case c.IsSet("save") && t.Plan == "":
		return nil, tty.Usagef("--save: which file? Such as --save plan.json")
	case c.IsSet("write-mps") && t.model == "":
		return nil, tty.Usagef("--write-mps: which file? Such as --write-mps game.mps")
	case t.goal != "" && t.goal != "weakest" && t.goal != "total" && t.goal != "both":
		return nil, tty.Usagef("--mps-goal: %q is not known; use weakest, total or both", t.goal)
	case c.IsSet("mps-goal") && t.model == "":
		return nil, tty.Usagef("--mps-goal goes with --write-mps FILE")
	case t.Plan != "" && t.model != "" && newfile.Same(t.Plan, t.model):
		return nil, tty.Usagef("--save and --write-mps name the same file")
	}
	for _, file := range []newfile.Target{t.planFile, t.modelFile} {
		if file.Name == "" {
			continue
		}
		if err := file.Free(); err != nil {
			return nil, tty.Taken(file.Name, err)
		}
	}
	return t, nil
}

// Save writes the plan, if asked to.
func (t *Targets) Save(plan any) error {
	if t.Plan == "" {
		return nil
	}
	var b bytes.Buffer
	if err := report.Write(&b, plan); err != nil {
		return err
	}
	return t.write(t.planFile, b.Bytes(), &t.Plan, "the plan is saved as")
}

// write writes one of the files.
func (t *Targets) write(file newfile.Target, data []byte, name *string, did string) error {
	err := tty.Taken(file.Name, file.Write(data))
	if err != nil {
		*name = ""
		return err
	}
	t.sio.Did("%s %s", did, file.Name)
	return nil
}

// writeModel writes the problem as solved, after any loosening, if asked to. Notes at the top say how to read it.
func (t *Targets) writeModel(g *Game) error {
	if t.model == "" {
		return nil
	}
	p, r := g.Plan.Outcome.Problem, g.Plan.Outcome.Result
	goal := rotation.Goal{Lowest: 1}
	switch t.goal {
	case "total":
		goal.Lowest = 0
	case "both":
		goal = rotation.Goal{Floors: []rotation.Floor{{Lowest: 1, AtLeast: r.Weakest.Value}}}
	}
	var b bytes.Buffer
	numbered := func(what string, names []string) {
		fmt.Fprintf(&b, "* %s:", what)
		for i, n := range names {
			fmt.Fprintf(&b, " %d=%s", i, n)
		}
		b.WriteString("\n")
	}
	b.WriteString(newfile.ModelMark + ", all counted from 0.\n")
	numbered("Kids", g.Plan.IDs)
	numbered("Roles", p.Roles)
	fmt.Fprintf(&b, "* Asks for: %s. Divide values by %d for points.\n", t.asks(g), p.Scale)
	fmt.Fprintf(&b, "* The plan of this tool has %d.\n", t.value(g))
	if err := rotation.WriteMPS(&b, p, goal); err != nil {
		return err
	}
	return t.write(t.modelFile, b.Bytes(), &t.model, "the model is written into")
}

func (t *Targets) asks(g *Game) string {
	switch t.goal {
	case "total":
		return "the highest total"
	case "both":
		return fmt.Sprintf("the highest total with the weakest series at %d or more", g.Plan.Outcome.Result.Weakest.Value)
	}
	return "the strongest weakest series"
}

// value is what the objective of the written model is for the plan.
func (t *Targets) value(g *Game) int64 {
	if t.goal == "weakest" {
		return -g.Plan.Outcome.Result.Weakest.Value
	}
	return -g.Plan.Outcome.Result.Total.Value
}

// best tells whether another solver has to find the plan's own value, and nothing better.
func (t *Targets) best(g *Game) bool {
	r, f := g.Plan.Outcome.Result, g.Set.Favor
	switch t.goal {
	case "weakest":
		return r.Weakest.Proven && f != rotation.Total
	case "total":
		return r.Total.Proven && f == rotation.Total
	}
	return r.Weakest.Proven && r.Total.Proven && f == rotation.Weakest
}

// written says what was written, and what to do with it.
func (t *Targets) written(g *Game, s *lineupScreen) string {
	out := ""
	if t.model != "" {
		text := fmt.Sprintf("Wrote %s: this game as a mixed-integer program in free MPS. It asks for %s, written negated and to be minimised; the plan above has %d.",
			t.model, t.asks(g), t.value(g))
		if t.best(g) {
			text += " Another solver should find just that."
		}
		out += "\n" + g.Fold(text, "")
	}
	if t.Plan != "" {
		kid := s.example().Kid
		text := strings.TrimRight(g.Fold(fmt.Sprintf("Saved as %s. When kid %s gets hurt in series %d, say:", t.Plan, kid, s.midway()), ""), "\n")
		out += "\n" + tty.Commands(text, fmt.Sprintf("sevenyard rebuild %s --from %s --hurt %s@%d", g.src.Name, tty.Quote(t.Plan), tty.Quote(kid), s.midway()))
	}
	return out
}
