package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/assess"
	"sevenyard/cmd/sevenyard/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/rotation"
)

// defaultSeconds is how long a plan may be searched for. Most are proven within a second.
const defaultSeconds = 20

func newLineup(sio stdio) *cli.Command {
	flags := []cli.Flag{
		demoFlag("plan the invented team's game"),
		&cli.StringSliceFlag{Name: "absent", Usage: "kids who are not there: 4 or 4,7"},
		&cli.StringSliceFlag{Name: "late", Usage: "9@3: kid 9 is there from series 3 on"},
		&cli.StringSliceFlag{Name: "leaves", Usage: "6@5: series 5 is the last one that kid 6 is there for"},
		&cli.IntFlag{Name: "series", DefaultText: "the team's", Usage: "series to plan"},
		&cli.StringFlag{Name: "favor", DefaultText: "the team's", Usage: "what comes first: weakest series, total, or even strength"},
		&cli.BoolFlag{Name: "strict", Usage: "refuse rather than loosen a rule"},
		&cli.Float64Flag{Name: "seconds", Value: defaultSeconds, Usage: "time to search; 0: until proven"},
		&cli.Uint64Flag{Name: "seed", Value: 1, Usage: "picks among plans of equal value"},
	}
	return &cli.Command{
		Name: "lineup", Usage: "plan who plays which role in every series of a game", ArgsUsage: "DIR | --demo",
		Description: "sevenyard lineup sandpipers --absent 4,7 --late 9@3 --leaves 6@5\nplans without kids 4 and 7, with kid 9 from series 3 on, and kid 6 up to and with series 5.",
		Flags:       append(flags, viewFlags()...), OnUsageError: onUsage, HideHelpCommand: true,
		Action: func(c *cli.Context) error { return runLineup(c, sio) },
	}
}

func runLineup(c *cli.Context, sio stdio) error {
	v, err := readView(c, sio)
	if err != nil {
		return err
	}
	wishes, set, err := readWishes(c)
	if err != nil {
		return err
	}
	src, err := readSource(c)
	if err != nil {
		return err
	}
	folder, err := v.readTeam(src)
	if err != nil {
		return err
	}
	if wishes.Favor == "" {
		if set.Favor, err = gameplan.ParseFavor(folder.Team.Favor); err != nil {
			return err
		}
	}
	profile := assess.Assess(folder)
	pl, err := gameplan.New(folder, profile, wishes)
	if err != nil {
		return err
	}
	meter := startMeter(sio)
	set.Progress = meter.note
	err = pl.Arrange(c.Context, set, c.Bool("strict"))
	meter.end()
	if c.Context.Err() != nil {
		return c.Context.Err()
	}
	if err != nil {
		return planError(err)
	}
	if pl.Outcome.Result == nil || pl.Outcome.Result.Plan == nil {
		return refuse(sio, v, pl, c.Bool("strict"))
	}
	warnings := lineupWarnings(folder, pl)
	l := pl.Lineup(set.Seed)
	l.Warnings = append(l.Warnings, warnings...)
	topics := []string{"concussion", "heat", "advice"}
	if slices.ContainsFunc(pl.Away, func(a gameplan.Away) bool { return a.Hold }) {
		topics = append([]string{"hold"}, topics...)
	}
	l.Cautions = cautions(&folder.Team.Catalogue, topics...)
	if v.JSON {
		v.warn(sio, warnings)
		return report.Write(sio.Out, l)
	}
	v.warn(sio, briefly(folder, pl, src))
	s := lineupScreen{view: v, l: l, pl: pl, who: newPeople(folder), src: src, set: set}
	s.told = len(wishes.Absent)+len(wishes.Late)+len(wishes.Leaves) > 0
	_, err = io.WriteString(sio.Out, s.text())
	return err
}

func readWishes(c *cli.Context) (gameplan.Wishes, rotation.Settings, error) {
	var w gameplan.Wishes
	var set rotation.Settings
	for _, text := range c.StringSlice("absent") {
		kids, err := gameplan.ParseKids("--absent", text)
		if err != nil {
			return w, set, err
		}
		w.Absent = append(w.Absent, kids...)
	}
	for _, part := range []struct {
		flag string
		into *[]gameplan.At
	}{{"late", &w.Late}, {"leaves", &w.Leaves}} {
		for _, text := range c.StringSlice(part.flag) {
			ats, err := gameplan.ParseAts("--"+part.flag, text)
			if err != nil {
				return w, set, err
			}
			*part.into = append(*part.into, ats...)
		}
	}
	if c.IsSet("series") {
		if w.Series = c.Int("series"); w.Series < 1 {
			return w, set, usagef("--series: %d; a game has at least 1", w.Series)
		}
	}
	if c.IsSet("favor") {
		w.Favor = c.String("favor")
		favor, err := gameplan.ParseFavor(w.Favor)
		if err != nil || w.Favor == "" {
			return w, set, usagef("--favor: %q is not known; use weakest, total or even", w.Favor)
		}
		set.Favor = favor
	}
	seconds := c.Float64("seconds")
	if !(seconds >= 0 && seconds <= 1e6) {
		return w, set, usagef("--seconds: %v; use a number of seconds, or 0 for no limit", seconds)
	}
	set.Limit = time.Duration(seconds * float64(time.Second))
	set.Seed = c.Uint64("seed")
	return w, set, nil
}

// lineupWarnings are all warnings about one game: from the files, from the scores, from the plan.
func lineupWarnings(f *drills.Folder, pl *gameplan.Plan) []string {
	out := problemWords(f.Warnings)
	out = append(out, pl.Profile.Warnings...)
	out = append(out, pl.Notes...)
	return append(out, pl.ShortWords()...)
}

// briefly keeps the screen at the field calm: what concerns this game in full, the rest as a count.
func briefly(f *drills.Folder, pl *gameplan.Plan, src source) []string {
	var out []string
	if n := len(f.Warnings) + len(pl.Profile.Warnings); n > 0 {
		out = append(out, fmt.Sprintf("note: %s about the files and the scores: sevenyard check %s", gameplan.Count(n, "warning"), src.Name))
	}
	out = append(out, pl.Notes...)
	return append(out, pl.ShortWords()...)
}

func planError(err error) error {
	switch {
	case errors.Is(err, rotation.ErrNobody):
		return fmt.Errorf("no plan: in some series nobody is there; look at --absent, --late and --leaves")
	case errors.Is(err, rotation.ErrNoSeries):
		return fmt.Errorf("no plan: the game has no series; set series in team.toml")
	}
	return err
}

// refuse tells why there is no plan.
func refuse(sio stdio, v view, pl *gameplan.Plan, strict bool) error {
	say := func(text, hang string) { fmt.Fprint(sio.Err, v.Fold(text, hang)) }
	c := pl.Outcome.Conflict
	if c == nil {
		say("sevenyard: no plan was found in the time given, and none was ruled out; give it more time with --seconds 120, or ask for less", "  ")
		return errTold
	}
	say("sevenyard: no plan: "+conflictHead(c), "  ")
	for _, words := range pl.ConflictWords(c.Rules) {
		say("- "+words, "  ")
	}
	for _, fact := range pl.Facts(c.Rules) {
		say(fact, "")
	}
	if len(pl.Outcome.Remedies) > 0 {
		say("Each of these alone would do:", "")
		for _, x := range pl.Outcome.Remedies {
			say("- "+pl.RemedyWords(x), "  ")
		}
	} else {
		say("Mend one of them in team.toml or roster.csv, or change who is there.", "")
	}
	if strict {
		say("Or leave --strict out: then rules are loosened as little as need be, and the screen says which.", "")
	}
	return errTold
}

func conflictHead(c *rotation.Conflict) string {
	switch {
	case len(c.Rules) == 1:
		return "this rule cannot hold in this game"
	case c.Smallest:
		return "these rules cannot hold together; without any one of them they could"
	}
	return "these rules cannot hold together; some of them may have no part in it"
}
