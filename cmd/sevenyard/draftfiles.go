package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/draftplan"
	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/regular"
	"sevenyard/optimize/draft"
)

// isPool tells a pool folder from a team folder.
func isPool(dir fs.FS) bool {
	_, noTeam := fs.Stat(dir, "roster.csv")
	_, noPool := fs.Stat(dir, "pool.csv")
	return noTeam != nil && noPool == nil
}

// readPoolFolder reads a pool; with names left out, nothing after it can know one.
func (v view) readPoolFolder(src source) (*drills.Pool, error) {
	p, err := drills.ReadPool(src.FS)
	var problems drills.Problems
	if v.IDsOnly && errors.As(err, &problems) {
		err = namelessBy(problems, poolWords(p))
	}
	if err != nil {
		return nil, err
	}
	if v.IDsOnly {
		hidePool(p)
	}
	return p, nil
}

// hidePool takes the names of kids and timers out of a pool. Those of coaches stay, as the draw goes by them; see pool.coach.
func hidePool(p *drills.Pool) {
	p.Warnings = namelessBy(p.Warnings, poolWords(p))
	f := p.Folder()
	hideNames(f) // changes the trials it shares with the pool
	p.Trials = f.Trials
	p.League.Common.Catalogue, p.League.Common.Formations = f.Team.Catalogue, f.Team.Formations
	for i := range p.Kids {
		p.Kids[i].Name, p.Kids[i].Notes = "", ""
	}
}

// poolWords are the words of a pool folder that are no names.
func poolWords(p *drills.Pool) map[string]bool {
	known := plainWords(p.Folder())
	for _, w := range strings.Fields("siblings coach_of nights apart carpool carpools returning division team fixed coach max_returning min_nights evenness overall grades untested uncertainty " +
		"mon tue wed thu fri sat sun monday tuesday wednesday thursday friday saturday sunday") {
		known[w] = true
	}
	for _, t := range p.League.Teams {
		known[strings.ToLower(t.Name)] = true
	}
	return known
}

// teamTargets are the files that teams are written into beside the screen. The name of one that could not be written is emptied.
type teamTargets struct {
	plan, csv         string
	planFile, csvFile newfile.Target
}

// readTeamTargets looks whether the files can be written, before any work is done.
func readTeamTargets(c *cli.Context) (*teamTargets, error) {
	t := &teamTargets{plan: c.String("save"), csv: c.String("csv")}
	t.planFile, t.csvFile = target(c, t.plan, newfile.Teams), target(c, t.csv, newfile.List)
	switch {
	case c.IsSet("save") && t.plan == "":
		return nil, usagef("--save: which file? Such as --save teams.json")
	case c.IsSet("csv") && t.csv == "":
		return nil, usagef("--csv: which file? Such as --csv teams.csv")
	case t.plan != "" && t.csv != "" && newfile.Same(t.plan, t.csv):
		return nil, usagef("--save and --csv name the same file")
	}
	for _, file := range []newfile.Target{t.planFile, t.csvFile} {
		if file.Name == "" {
			continue
		}
		if err := file.Free(); err != nil {
			return nil, taken(file.Name, err)
		}
	}
	return t, nil
}

// save writes the teams, if asked to.
func (t *teamTargets) save(p *pool, d *report.Draft) error {
	return errors.Join(t.savePlan(p, d), t.saveList(p, d))
}

func (t *teamTargets) savePlan(p *pool, d *report.Draft) error {
	if t.plan == "" {
		return nil
	}
	var b bytes.Buffer
	plain := *d
	plain.Warnings = namelessWords(d.Warnings, poolWords(p.pool), p.pool.Trials, &p.pool.League.Common.Catalogue)
	plain.Play = nil // what a clock had a hand in: the file is the same on every machine, and so is its hash
	if err := report.Write(&b, &plain); err != nil {
		return err
	}
	if err := taken(t.plan, t.planFile.Write(b.Bytes())); err != nil {
		t.plan = ""
		return err
	}
	p.sio.did("the teams are saved as %s", t.planFile.Name)
	return nil
}

func (t *teamTargets) saveList(p *pool, d *report.Draft) error {
	if t.csv == "" {
		return nil
	}
	data, err := teamsCSV(p, d)
	if err == nil {
		err = taken(t.csv, t.csvFile.Write(data))
	}
	if err != nil {
		t.csv = ""
		return err
	}
	p.sio.did("the list is written into %s", t.csvFile.Name)
	return nil
}

// teamsCSV is the list for a registrar: a row a kid. With names left out the column is empty.
func teamsCSV(p *pool, d *report.Draft) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"team", "kid", "name", "grade", "practice", "returning"}}
	for _, t := range d.Teams {
		for _, id := range t.Kids {
			k, _ := p.pl.Find(id)
			kid := &p.pool.Kids[k]
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

// told says what was written, and what to do with it.
func (t *teamTargets) told(p *pool, d *report.Draft) string {
	out := ""
	if t.csv != "" {
		out += "\n" + p.Fold(fmt.Sprintf("Wrote %s: a row a kid, for a spreadsheet.", t.csv), "")
	}
	if t.plan != "" {
		out += "\n" + commands(strings.TrimRight(p.Fold(fmt.Sprintf("Saved as %s. The list to post, a trade to price, a kid who comes late, the draw of coaches:", t.plan), ""), "\n"),
			"sevenyard draft post "+p.src.Name+" --from "+quote(t.plan), "sevenyard draft swap "+p.src.Name+" --from "+quote(t.plan)+" "+exampleTrade(d),
			"sevenyard draft add "+p.src.Name+" --from "+quote(t.plan), "sevenyard draft draw "+p.src.Name+" --from "+quote(t.plan)+` --seed-words "..."`)
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

// saved is teams read from a file and taken over into the pool.
type saved struct {
	*draftplan.Saved
	file   string
	data   []byte
	now    draft.Split
	gone   []report.Moved // kids of the file who are not in the pool
	rows   []string       // those of them whose rows are still there
	broken []draft.Rule   // by the teams as they are
}

// without lists the kids of a pool who are on no saved team, but for those named.
func (s *saved) without(p *drills.Pool, but []string) []string {
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

// savedTeams reads the file that --from names.
func savedTeams(c *cli.Context) (*saved, error) {
	name := c.String("from")
	if name == "" {
		return nil, usagef("--from: which teams? Give the file that sevenyard draft --save wrote")
	}
	return openSaved(name)
}

func openSaved(name string) (*saved, error) {
	data, err := regular.Read(name, draftplan.MaxSaved)
	if err != nil {
		return nil, fmt.Errorf("%w; the file comes from sevenyard draft --save", err)
	}
	sv, err := draftplan.ReadSaved(filepath.Base(name), data)
	if err != nil {
		return nil, err
	}
	return &saved{Saved: sv, file: name, data: data}, nil
}

// take takes the saved teams over into the pool.
func (s *saved) take(p *pool) (err error) {
	s.now, s.gone, err = p.pl.Split(s.Saved)
	return err
}

// movedSince lists who is on another team than in saved teams, those who came and those who left too.
func (p *pool) movedSince(name string, now draft.Split) ([]report.Moved, error) {
	old, err := openSaved(name)
	if err != nil {
		return nil, err
	}
	if err := old.take(p); err != nil {
		return nil, err
	}
	return append(p.pl.Moved(old.now, now), old.gone...), nil
}

// kidList reads the ids of a flag that may be given several times, with commas between ids.
func kidList(c *cli.Context, flag string) []string {
	var out []string
	for _, text := range c.StringSlice(flag) {
		for _, id := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' }) {
			if !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	return out
}
