package draftday

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

func newDraftDraw(sio tty.IO) *cli.Command {
	flags := slices.Concat([]cli.Flag{
		tty.DemoFlag("the invented league's pool"), savedFlag(),
		&cli.StringFlag{Name: "seed-words", Usage: "words, dice or a date that everybody in the room can see"},
		&cli.StringFlag{Name: "save", Usage: "also write the record into this new file (JSON)"},
		&cli.BoolFlag{Name: "replace", Usage: "write over a file that is there"},
	}, tty.ViewFlags())
	return &cli.Command{
		Name: "draw", Usage: "draw the teams to the coaches, from words that everybody sees", ArgsUsage: "DIR | --demo",
		Description: "sevenyard draft draw harbor --from teams.json --seed-words \"4 2 6, 12 September\"\ndraws the teams to the coaches of league.toml ([[coach]]). A coach whose own kid is in the pool has the team that the kid is on.\n" +
			"Post the teams first and agree on the words after. Anybody can redo the draw with the same file and words; capitals and a space too many between words do not count, all else does.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readDrawOptions, runDraftDraw),
	}
}

// drawOptions are what the command was told.
type drawOptions struct {
	TeamsOptions
	words string // that the draw comes from
	file  string // to save it in; "": it is not
	out   newfile.Target
}

func readDrawOptions(c *cli.Context, sio tty.IO) (o drawOptions, err error) {
	o.words, o.file = c.String("seed-words"), c.String("save")
	switch {
	case strings.TrimSpace(o.words) == "":
		return o, tty.Usagef(`--seed-words: which words? Such as --seed-words "4 2 6, 12 September"`)
	case c.IsSet("save") && o.file == "":
		return o, tty.Usagef("--save: which file? Such as --save draw.json")
	}
	o.out = tty.Target(c, o.file, newfile.Draw)
	if o.file != "" {
		if err := o.out.Free(); err != nil {
			return o, tty.Taken(o.file, err)
		}
	}
	o.TeamsOptions, err = ReadTeamsOptions(c, sio)
	return o, err
}

func runDraftDraw(_ context.Context, o drawOptions, sio tty.IO) error {
	words, file, out := o.words, o.file, o.out
	p, sv, err := o.Open(sio)
	if err != nil {
		return err
	}
	if err := tty.FirstError(p.NoArgs(), sv.Whole(p)); err != nil {
		return err
	}
	sv.Heed(p)
	if err := sv.Lawful(p, "nothing drawn"); err != nil {
		return err
	}
	coaches, err := p.coaches(sv)
	if err != nil {
		return err
	}
	drawn, err := draft.Draw(words, p.Pl.Numbers.Teams, coaches)
	if err != nil {
		return err
	}
	d := p.drawn(sv, words, coaches, drawn)
	var late error // the draw is shown with or without its file
	if file != "" {
		var b bytes.Buffer
		if err := report.Write(&b, d); err != nil {
			return err
		}
		if late = tty.After(false, tty.Taken(file, out.Write(b.Bytes()))); late != nil {
			file = ""
		} else {
			sio.Did("the draw is saved as %s", file)
		}
	}
	if p.JSON {
		return tty.FirstError(report.Write(sio.Out, d), late)
	}
	p.Warn(sio, p.Notes)
	_, err = io.WriteString(sio.Out, p.drawText(d, sv, file))
	return tty.FirstError(err, late)
}

// coaches are those of the league, with the teams of those whose own kid is in the pool.
func (p *Pool) coaches(sv *Saved) ([]draft.Coach, error) {
	list := p.Pool.League.Coaches
	teams := len(p.Pl.Numbers.Teams)
	switch {
	case len(list) == 0:
		return nil, fmt.Errorf(`league.toml names no coaches; write [[coach]] and below it name = "..." for each, and kid = "7" for one whose own kid is in the pool`)
	case len(list) > teams:
		return nil, fmt.Errorf("league.toml names %d coaches for %s", len(list), prose.Count(teams, "team"))
	}
	out := make([]draft.Coach, len(list))
	has := map[int]string{}
	for i, x := range list {
		out[i] = draft.Coach{Label: x.Name, Team: draft.Unplaced}
		if x.Kid == "" {
			continue
		}
		k, _ := p.Pl.Find(x.Kid)
		t := sv.Now[k]
		if other, taken := has[t]; taken {
			return nil, fmt.Errorf("the kids of %s and of %s are both on %s; take kid out of one of the two [[coach]] entries in league.toml, or trade the kids (sevenyard draft swap)",
				other, p.coach(i), p.Pl.Numbers.Teams[t])
		}
		has[t] = p.coach(i)
		out[i].Team = t
	}
	return out, nil
}

// coach names a coach of the league, or numbers the coach where names are left out.
func (p *Pool) coach(i int) string {
	if p.IDsOnly {
		return fmt.Sprintf("coach %d", i+1)
	}
	return p.Pool.League.Coaches[i].Name
}

func (p *Pool) drawn(sv *Saved, words string, coaches []draft.Coach, x *draft.Drawn) *report.Draw {
	sum := sha256.Sum256(sv.data)
	d := &report.Draw{
		Schema: report.DrawSchema, League: p.Pool.League.Common.Name, Input: report.Input{File: filepath.Base(sv.file), SHA256: hex.EncodeToString(sum[:])},
		Words: words, Seed: x.Seed, Open: []string{}, Drawn: []string{}, Steps: []report.DrawStep{}, Coaches: []report.CoachTeam{},
		Warnings: append([]string{}, p.Notes...),
	}
	if p.IDsOnly && strings.ContainsFunc(words, unicode.IsLetter) {
		d.Words, d.Seed = nameless.NotShown, nameless.NotShown
	}
	for _, t := range x.Open {
		d.Open = append(d.Open, p.Pl.Numbers.Teams[t])
	}
	for i, c := range coaches {
		d.Coaches = append(d.Coaches, report.CoachTeam{Coach: p.coach(i), Team: p.Pl.Numbers.Teams[x.Teams[i]], Drawn: c.Team == draft.Unplaced})
	}
	order := make([]int, len(coaches)) // the draw takes them by name
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return strings.Compare(coaches[a].Label, coaches[b].Label) })
	for _, i := range order {
		if coaches[i].Team == draft.Unplaced {
			d.Drawn = append(d.Drawn, p.coach(i))
		}
	}
	for _, s := range x.Steps {
		d.Steps = append(d.Steps, report.DrawStep{At: s.At, With: s.With, Number: strconv.FormatUint(s.Number, 10)})
	}
	return d
}

func (p *Pool) drawText(d *report.Draw, sv *Saved, file string) string {
	name := screen.Clean(d.League)
	if name == "" {
		name = "Your league"
	}
	out := p.Fold(p.Strong(name+": teams drawn to coaches"), "") + "\n"
	t := &texttab.Table{Head: []string{"coach", "team", ""}, Align: []texttab.Align{texttab.Left, texttab.Left, texttab.Left}}
	for _, x := range d.Coaches {
		how := "drawn"
		if !x.Drawn {
			how = "the own kid's team"
		}
		t.Rows = append(t.Rows, []string{screen.Clip(screen.Clean(x.Coach), 24), screen.Clip(screen.Clean(x.Team), tty.Longest), how})
	}
	out += p.Blocks(t, 1)
	var without []string
	for _, team := range p.Pl.Numbers.Teams {
		if !slices.ContainsFunc(d.Coaches, func(x report.CoachTeam) bool { return x.Team == team }) {
			without = append(without, team)
		}
	}
	if len(without) > 0 {
		out += p.Fold(tty.Sentence("Without a coach yet: "+prose.And(without)), "  ")
	}
	out += "\n" + p.Fold(fmt.Sprintf("Drawn from the words: %s", d.Seed), "  ")
	out += p.Fold(fmt.Sprintf("The teams are those of %s with the SHA-256", d.Input.File), "  ")
	half := len(d.Input.SHA256) / 2
	out += "  " + d.Input.SHA256[:half] + "\n  " + d.Input.SHA256[half:] + "\n"
	if d.Words == nameless.NotShown {
		out += p.Fold("The words have letters in them, and so may be names; numbers such as 4-2-6, thrown with dice, are shown, and then anybody can redo the draw.", "")
		return out + p.drawNext(sv, file)
	}
	out += p.Fold("Anybody gets the same from that file and these words; every step is in the record (--format json).", "")
	return out + p.drawNext(sv, file)
}

// drawNext is what to do with a draw.
func (p *Pool) drawNext(sv *Saved, file string) string {
	if file == "" {
		return "\n" + p.Fold("Not saved: the same again with --save and a new file's name keeps the record, for sevenyard draft post --draw.", "")
	}
	return "\n" + tty.Commands(strings.TrimRight(p.Fold(fmt.Sprintf("Saved as %s. The list to post, with the coaches:", file), ""), "\n"),
		fmt.Sprintf("sevenyard draft post %s --from %s --draw %s", p.src.Name, tty.Quote(sv.file), tty.Quote(file)))
}
