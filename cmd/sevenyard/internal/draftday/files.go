package draftday

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/regular"
	"sevenyard/optimize/draft"
)

// teamTargets are the files that teams are written into beside the screen. The name of one that could not be written is emptied.
type teamTargets struct {
	plan, csv         string
	planFile, csvFile newfile.Target
}

// readTeamTargets looks whether the files can be written, before any work is done.
func readTeamTargets(c *cli.Context) (*teamTargets, error) {
	t := &teamTargets{plan: c.String("save"), csv: c.String("csv")}
	t.planFile, t.csvFile = tty.Target(c, t.plan, newfile.Teams), tty.Target(c, t.csv, newfile.List)
	switch {
	case c.IsSet("save") && t.plan == "":
		return nil, tty.Usagef("--save: which file? Such as --save teams.json")
	case c.IsSet("csv") && t.csv == "":
		return nil, tty.Usagef("--csv: which file? Such as --csv teams.csv")
	case t.plan != "" && t.csv != "" && newfile.Same(t.plan, t.csv):
		return nil, tty.Usagef("--save and --csv name the same file")
	}
	for _, file := range []newfile.Target{t.planFile, t.csvFile} {
		if file.Name == "" {
			continue
		}
		if err := file.Free(); err != nil {
			return nil, tty.Taken(file.Name, err)
		}
	}
	return t, nil
}

// save writes the teams, if asked to.
func (t *teamTargets) save(p *Pool, d *report.Draft) error {
	return errors.Join(t.savePlan(p, d), t.saveList(p, d))
}

func (t *teamTargets) savePlan(p *Pool, d *report.Draft) error {
	if t.plan == "" {
		return nil
	}
	var b bytes.Buffer
	plain := *d
	plain.Warnings = nameless.Sentences(d.Warnings, tty.PoolWords(p.Pool), p.Pool.Trials, &p.Pool.League.Common.Catalogue)
	plain.Play = nil // what a clock had a hand in: the file is the same on every machine, and so is its hash
	if err := report.Write(&b, &plain); err != nil {
		return err
	}
	if err := tty.Taken(t.plan, t.planFile.Write(b.Bytes())); err != nil {
		t.plan = ""
		return err
	}
	p.sio.Did("the teams are saved as %s", t.planFile.Name)
	return nil
}

func (t *teamTargets) saveList(p *Pool, d *report.Draft) error {
	if t.csv == "" {
		return nil
	}
	data, err := teamsCSV(p, d)
	if err == nil {
		err = tty.Taken(t.csv, t.csvFile.Write(data))
	}
	if err != nil {
		t.csv = ""
		return err
	}
	p.sio.Did("the list is written into %s", t.csvFile.Name)
	return nil
}

// teamsCSV is the list for a registrar: a row a kid. With names left out the column is empty.
func teamsCSV(p *Pool, d *report.Draft) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"team", "kid", "name", "grade", "practice", "returning"}}
	for _, t := range d.Teams {
		for _, id := range t.Kids {
			k, _ := p.Pl.Find(id)
			kid := &p.Pool.Kids[k]
			grade := ""
			if kid.Grade >= 0 {
				grade = drills.Grades{Low: kid.Grade, High: kid.Grade}.String()
			}
			row := []string{t.Team, id, kid.Name, grade, strings.Join(t.Nights, ";"), kid.Returning}
			for i := range row {
				row[i] = drills.GuardCell(row[i])
			}
			rows = append(rows, row)
		}
	}
	err := w.WriteAll(rows)
	return b.Bytes(), err
}

// written says what was written, and what to do with it.
func (t *teamTargets) written(p *Pool, d *report.Draft) string {
	out := ""
	if t.csv != "" {
		out += "\n" + p.Fold(fmt.Sprintf("Wrote %s: a row a kid, for a spreadsheet.", t.csv), "")
	}
	if t.plan != "" {
		out += "\n" + tty.Commands(strings.TrimRight(p.Fold(fmt.Sprintf("Saved as %s. The list to post, a trade to price, a kid who comes late, the draw of coaches:", t.plan), ""), "\n"),
			"sevenyard draft post "+p.src.Name+" --from "+tty.Quote(t.plan), "sevenyard draft swap "+p.src.Name+" --from "+tty.Quote(t.plan)+" "+exampleTrade(d),
			"sevenyard draft add "+p.src.Name+" --from "+tty.Quote(t.plan), "sevenyard draft draw "+p.src.Name+" --from "+tty.Quote(t.plan)+` --seed-words "..."`)
	}
	return out
}

// exampleTrade is a trade to type: two kids of two teams, about whom there is no rule where there are such.
func exampleTrade(d *report.Draft) string {
	ruled := map[string]bool{}
	for _, r := range d.Rules {
		for _, id := range r.Kids {
			ruled[id] = ruled[id] || r.Rule != "returning"
		}
	}
	var out []string
	for _, t := range d.Teams {
		i := slices.IndexFunc(t.Kids, func(id string) bool { return !ruled[id] })
		if len(t.Kids) > 0 && len(out) < 2 {
			out = append(out, t.Kids[max(0, i)])
		}
	}
	return strings.Join(out, ":")
}

// Saved is teams read from a file and taken over into the pool.
type Saved struct {
	*draftplan.Saved
	file   string
	data   []byte
	Now    draft.Split
	gone   []report.Moved // kids of the file who are not in the pool
	rows   []string       // those of them whose rows are still there
	broken []draft.Rule   // by the teams as they are
}

// without lists the kids of a pool who are on no saved team, but for those named.
func (s *Saved) without(p *drills.Pool, but []string) []string {
	has := map[string]bool{}
	for _, t := range s.Teams {
		for _, id := range t.Kids {
			has[id] = true
		}
	}
	var out []string
	for i := range p.Kids {
		if id := p.Kids[i].ID; !has[id] && !slices.Contains(but, id) {
			out = append(out, id)
		}
	}
	return out
}

// TeamsOptions are what a command is told that goes on from saved teams.
type TeamsOptions struct {
	PoolOptions
	from string
}

// ReadTeamsOptions reads them.
func ReadTeamsOptions(c *cli.Context, sio tty.IO) (o TeamsOptions, err error) {
	if o.from = c.String("from"); o.from == "" {
		return o, tty.Usagef("--from: which teams? Give the file that sevenyard draft --save wrote")
	}
	o.PoolOptions, err = ReadPoolOptions(c, sio)
	return o, err
}

// Open reads the pool and the saved teams.
func (o TeamsOptions) Open(sio tty.IO) (*Pool, *Saved, error) {
	sv, err := openSaved(o.from)
	if err != nil {
		return nil, nil, err
	}
	p, err := o.Read(sio, nil)
	if err != nil {
		return nil, nil, err
	}
	return p, sv, sv.take(p)
}

func openSaved(name string) (*Saved, error) {
	data, err := regular.Read(name, draftplan.MaxSaved)
	if err != nil {
		return nil, fmt.Errorf("%w; the file comes from sevenyard draft --save", err)
	}
	sv, err := draftplan.ReadSaved(filepath.Base(name), data)
	if err != nil {
		return nil, err
	}
	return &Saved{Saved: sv, file: name, data: data}, nil
}

// take takes the saved teams over into the pool.
func (s *Saved) take(p *Pool) (err error) {
	s.Now, s.gone, err = p.Pl.Split(s.Saved)
	return err
}

// movedSince lists who is on another team than in saved teams, those who came and those who left too.
func (p *Pool) movedSince(name string, now draft.Split) ([]report.Moved, error) {
	old, err := openSaved(name)
	if err != nil {
		return nil, err
	}
	if err := old.take(p); err != nil {
		return nil, err
	}
	return append(p.Pl.Moved(old.Now, now), old.gone...), nil
}

// kidList reads what a flag says that may be given several times, with commas between kids.
func kidList(c *cli.Context, flag string) []string {
	var out []string
	for _, text := range c.StringSlice(flag) {
		for _, typed := range strings.Split(text, ",") {
			if typed = strings.TrimSpace(typed); typed != "" {
				out = append(out, typed)
			}
		}
	}
	return out
}

// poolKids are the ids of the kids of a pool that are meant, each once. Where commas are left out, spaces stand between ids.
func poolKids(typed []string, pool *drills.Pool) ([]string, error) {
	var out []string
	add := func(word string) error {
		id, err := poolKid(word, pool)
		if err == nil && !slices.Contains(out, id) {
			out = append(out, id)
		}
		return err
	}
	for _, text := range typed {
		if err := add(text); err == nil {
			continue
		} else if words := strings.Fields(text); len(words) == 1 {
			return nil, err
		} else {
			for _, w := range words {
				if err := add(w); err != nil {
					return nil, err
				}
			}
		}
	}
	return out, nil
}
