package logbook

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/played"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/gameday"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// lockWait is how long a run waits for another one that writes the record.
const lockWait = 5 * time.Second

// NewRecord is the command record.
func NewRecord(sio tty.IO) *cli.Command {
	flags := append([]cli.Flag{
		tty.DemoFlag("refused: the invented team is no folder to write to"),
		&cli.StringFlag{Name: "game", Usage: "the game's number or any short id"},
		&cli.StringFlag{Name: "date", DefaultText: "today, or as it is on record", Usage: "the day of the game: 2026-09-12, 9/12, Sep 12, Sat, yesterday"},
		&cli.StringFlag{Name: "opponent", Usage: "the other team"},
		&cli.StringFlag{Name: "from", Usage: "the plan that was played: a file that --save wrote"},
		&cli.IntFlag{Name: "played", DefaultText: "all of the plan's", Usage: "the first so many series of the plan were played"},
		&cli.StringSliceFlag{Name: "swap", Usage: "2:7@4: kid 7 played in 2's spot in series 4; 2:7@4-6; 2:-@4: nobody did"},
		&cli.StringSliceFlag{Name: "line", Usage: `a series as played: "4: F 2 3, C 4 11, D 14"`},
		&cli.StringFlag{Name: "lines", Usage: "a file of such lines; - reads what you type"},
		&cli.StringSliceFlag{Name: "absent", Usage: "kids who were not there: 4 or 4,7"},
		&cli.StringSliceFlag{Name: "late", Usage: "9@3: kid 9 was there from series 3 on"},
		&cli.StringSliceFlag{Name: "left", Usage: "6@5: series 5 was the last one that kid 6 was there for"},
		&cli.StringSliceFlag{Name: "hurt", Usage: "2@5: kid 2 was hurt in series 5, and out for the day"},
		&cli.StringSliceFlag{Name: "before-hold", Usage: "12: kid 12 has a hold in roster.csv, and played before it was written"},
		&cli.StringSliceFlag{Name: "void", Usage: "4, 4-6 or all: what is on record of these series does not count"},
	}, tty.ViewFlags()...)
	return &cli.Command{
		Name: "record", Usage: "put on record what was played", ArgsUsage: "DIR",
		Description: "sevenyard record sandpipers --game 3 --from plan.json --swap 2:7@4\n" +
			"writes game 3 as planned, but with kid 7 in kid 2's spot in series 4. Without a plan, series by series:\n" +
			"sevenyard record sandpipers --game 3 --line \"4: F 2 3, C 4 11, D 14\"\n" +
			"Only ever adds to games.csv. What is recorded again is a correction: the series or the attendance given last counts.",
		Flags: flags, OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readRecordOptions, runRecord),
	}
}

// runRecord puts an entry on record.
func runRecord(ctx context.Context, o recordOptions, sio tty.IO) error {
	v, src, told := o.View, o.Source, o.told
	f, err := v.ReadTeam(src)
	if err != nil {
		return err
	}
	if told.PlanName != "" {
		if told.Plan, err = gameday.ReadSaved(told.PlanName); err != nil {
			return err
		}
	}
	if err := o.readTyped(ctx, sio, f); err != nil {
		return v.HideProblems(err, src, f)
	}
	r := &recording{View: v, folder: f, told: told, src: src}
	if err := r.write(ctx, src.Dir); err != nil {
		if ctx.Err() != nil && errors.Is(err, ctx.Err()) {
			return errNothingRecorded
		}
		return v.HideProblems(err, src, f)
	}
	if r.result.Entry > 0 {
		sio.Did("recorded as entry %d", r.result.Entry)
	}
	out := r.object()
	if v.JSON {
		return report.Write(sio.Out, out)
	}
	v.Warn(sio, out.Warnings)
	_, err = io.WriteString(sio.Out, newRecordScreen(r, out).text())
	return err
}

// errNothingRecorded is the end of a record that was stopped by hand.
var errNothingRecorded = errors.New("stopped: nothing was recorded")

// recording is one entry on its way into games.csv.
type recording struct {
	tty.View
	folder  *drills.Folder
	told    *played.Told
	src     tty.Source
	account *played.Account
	result  *games.Result
}

func (r *recording) write(ctx context.Context, dir string) error {
	j := &games.Journal{Dir: dir, Wait: lockWait}
	var err error
	r.result, err = j.Update(ctx, func(rec *games.Record) (*games.Change, error) {
		if _, err := rec.Check(r.folder); err != nil {
			return nil, err
		}
		var c *games.Change
		var err error
		c, r.account, err = played.Build(r.folder, rec, r.told)
		return c, err
	})
	return tty.AsTyped(tty.Unwritable(dir, err))
}

// object is the recording for programs.
func (r *recording) object() *report.Record {
	a := r.account
	o := &report.Record{Schema: report.RecordSchema, Team: r.folder.Team.Name, Game: r.GameID(r.told.Game), Date: r.Date(a.Date), Opponent: a.Opponent,
		DatedToday: a.Dated, Entry: r.result.Entry, Series: []report.RecordSeries{}, Kids: []report.RecordKid{}, Away: report.Filled(a.Away), Hurt: report.Filled(a.Hurt),
		Swaps: []report.RecordSwap{}, Void: report.Filled(a.Void), VoidGame: a.VoidGame, Warnings: report.Filled(tty.SaidAll(a.Warnings)), Cautions: []string{}}
	count := map[string]int{}
	for _, s := range a.Series {
		x := report.RecordSeries{Number: s.Number, State: string(s.State), Slots: []games.Slot{}, Bench: report.Filled(s.Bench)}
		for _, slot := range s.Slots {
			x.Slots = append(x.Slots, slot)
			count[slot.Kid]++
		}
		o.Series = append(o.Series, x)
	}
	for _, p := range a.Kids {
		if n := len(o.Kids); n > 0 && o.Kids[n-1].Kid == p.Kid { // back again
			k := &o.Kids[n-1]
			k.Away, k.Present[1] = append(k.Away, [2]int{k.Present[1] + 1, p.First - 1}), p.Last
			continue
		}
		o.Kids = append(o.Kids, report.RecordKid{Kid: p.Kid, Present: [2]int{p.First, p.Last}, Series: count[p.Kid]})
	}
	for _, x := range a.Swaps {
		o.Swaps = append(o.Swaps, report.RecordSwap{Series: x.Series, Role: x.Role, In: x.In, Out: x.Out})
	}
	if r.result.Kept != "" {
		o.Repaired = &report.Repaired{Bytes: r.result.Cut, File: r.result.Kept}
		o.Warnings = append(o.Warnings, fmt.Sprintf("note: a crash had cut the last entry of %s off; what was left of it, %s, is kept in %s, and nothing that counted is gone",
			games.File, prose.Count(int(r.result.Cut), "byte"), r.result.Kept))
	}
	if r.IDsOnly {
		o.Opponent = "" // whatever stands there, it may be a name
	}
	if len(a.Hurt) > 0 {
		o.Cautions = report.Cautions(&r.folder.Team.Catalogue, "concussion", "hold")
	}
	return o
}
