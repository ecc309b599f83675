package gameday

import (
	"math"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/optimize/rotation"
)

// PlanOptions are what a command that plans was told: which team, who is there, how to search, how to show it.
type PlanOptions struct {
	tty.View
	Source tty.Source
	asked  planning.Asked
}

// PlanFlags are the flags of every command that plans: who is there, and how to search for at most so many seconds.
func PlanFlags(seconds float64) []cli.Flag {
	return append([]cli.Flag{
		&cli.StringSliceFlag{Name: "absent", Usage: "kids who are not there: 4 or 4,7"},
		&cli.StringSliceFlag{Name: "late", Usage: "9@3: kid 9 is there from series 3 on"},
		&cli.StringSliceFlag{Name: "leaves", Usage: "6@5: series 5 is the last one that kid 6 is there for"},
		&cli.StringFlag{Name: "favor", DefaultText: "the team's", Usage: "what comes first: weakest series, total, or even strength"},
		&cli.BoolFlag{Name: "strict", Usage: "refuse rather than loosen a rule"},
		wbgtFlag(),
		&cli.BoolFlag{Name: "ignore-season", Usage: "plan this game for itself, whatever earlier games on record owe"},
		&cli.Float64Flag{Name: "seconds", Value: seconds, Usage: "time to search; 0: until proven"},
		&cli.Uint64Flag{Name: "seed", Value: 1, Usage: "another start: picks among plans of equal value; where nothing is proven, it may find a better one"},
	}, tty.ViewFlags()...)
}

// ReadPlanOptions reads the flags of PlanFlags, and which folder is meant.
func ReadPlanOptions(c *cli.Context, sio tty.IO) (PlanOptions, error) {
	o, err := readShared(c, sio)
	if err != nil {
		return o, err
	}
	if o.Source, err = tty.ReadSource(c); err != nil {
		return o, err
	}
	o.asked.WBGT, err = readWBGT(c)
	return o, err
}

// readShared reads what is the same for every folder of a run.
func readShared(c *cli.Context, sio tty.IO) (PlanOptions, error) {
	v, err := tty.ReadView(c, sio)
	if err != nil {
		return PlanOptions{}, err
	}
	o := PlanOptions{View: v, asked: planning.Asked{Strict: c.Bool("strict"), Season: readSeason(c)}}
	o.asked.Wishes, o.asked.Set, err = readWishes(c)
	return o, err
}

func readWishes(c *cli.Context) (gameplan.Wishes, rotation.Settings, error) {
	var w gameplan.Wishes
	var set rotation.Settings
	for _, text := range c.StringSlice("absent") {
		kids, err := gameplan.ParseKids(asked.Absent, text)
		if err != nil {
			return w, set, err
		}
		w.Absent = append(w.Absent, kids...)
	}
	for _, part := range []struct {
		field asked.Field
		into  *[]gameplan.At
	}{{asked.Late, &w.Late}, {asked.Leaves, &w.Leaves}, {asked.Hurt, &w.Hurt}} {
		for _, text := range c.StringSlice(string(part.field)) {
			ats, err := gameplan.ParseAts(part.field, text)
			if err != nil {
				return w, set, err
			}
			*part.into = append(*part.into, ats...)
		}
	}
	for _, text := range c.StringSlice("swap") {
		swaps, err := gameplan.ParseSwaps(text)
		if err != nil {
			return w, set, err
		}
		w.Swaps = append(w.Swaps, swaps...)
	}
	if c.IsSet("series") {
		if w.Series = c.Int("series"); w.Series < 1 {
			return w, set, tty.Usagef("--series: %d; a game has at least 1", w.Series)
		}
	}
	if c.IsSet("favor") {
		w.Favor = c.String("favor")
		favor, err := gameplan.ParseFavor(w.Favor)
		if err != nil || w.Favor == "" {
			return w, set, tty.Usagef("--favor: %q is not known; use weakest, total or even", w.Favor)
		}
		set.Favor = favor
	}
	seconds := c.Float64("seconds")
	if !(seconds >= 0 && seconds <= 1e6) {
		return w, set, tty.Usagef("--seconds: %v; use a number of seconds, or 0 for no limit", seconds)
	}
	set.Limit = time.Duration(math.Ceil(seconds * float64(time.Second)))
	set.Seed = c.Uint64("seed")
	return w, set, nil
}

// readSeason reads which earlier games count.
func readSeason(c *cli.Context) planning.Season {
	return planning.Season{Ignore: c.Bool("ignore-season"), Game: c.String("game"), Quiet: c.Command.Name == "rebuild"}
}
