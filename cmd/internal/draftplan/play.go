package draftplan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"time"

	"sevenyard/assess"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/optimize/draft"
	"sevenyard/optimize/rotation"
)

// ErrNoGame says that a team of a split cannot play a game at all, as all its kids are on medical hold.
var ErrNoGame = errors.New("a team has nobody who can be planned")

// Play lets every team of a split play a game of its own: the strongest weakest series it can have, then the total, within limit
// each, or a little more where nothing at all was found by then. Kids on medical hold are not planned.
func (pl *Plan) Play(ctx context.Context, s draft.Split, limit time.Duration, seed uint64) (*report.Played, error) {
	teams := make([]report.TeamPlay, len(pl.Numbers.Teams))
	errs := make([]error, len(teams))
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), 4, len(teams)) {
		wg.Go(func() {
			for t := range next {
				teams[t], errs[t] = pl.playTeam(ctx, s, t, rotation.Settings{Limit: limit, Workers: 1, Seed: seed})
			}
		})
	}
	for t := range teams {
		next <- t
	}
	close(next)
	wg.Wait()
	if err := errors.Join(ctx.Err(), errors.Join(errs...)); err != nil {
		return nil, err
	}
	out := &report.Played{Teams: teams, Proven: true}
	weakest, average := newSpan(), newSpan()
	for _, x := range teams {
		weakest.add(x.Weakest)
		average.add(x.Average)
		out.Proven = out.Proven && x.Proven
	}
	out.WeakestSpread, out.AverageSpread = weakest.width(), average.width()
	return out, nil
}

type span struct{ low, high float64 }

func newSpan() span { return span{math.Inf(1), math.Inf(-1)} }

func (s *span) add(x float64) { s.low, s.high = min(s.low, x), max(s.high, x) }
func (s span) width() float64 { return s.high - s.low }

func (pl *Plan) playTeam(ctx context.Context, s draft.Split, team int, set rotation.Settings) (report.TeamPlay, error) {
	f := &drills.Folder{Team: pl.Folder.Team}
	profile := &assess.Profile{}
	for k, t := range s {
		if t == team {
			f.Roster = append(f.Roster, pl.Folder.Roster[k])
			profile.Kids = append(profile.Kids, pl.Profile.Kids[k])
		}
	}
	none := report.TeamPlay{Team: pl.Numbers.Teams[team]}
	if !slices.ContainsFunc(f.Roster, func(k drills.Kid) bool { return k.Hold == "" }) {
		return none, ErrNoGame
	}
	game, err := gameplan.New(f, profile, gameplan.Wishes{})
	if err != nil {
		return none, err
	}
	for patience := 3; ; patience-- {
		if err := game.Arrange(ctx, set, false); err != nil {
			return none, err
		}
		if game.Outcome.Result != nil && game.Outcome.Result.Plan != nil {
			break
		}
		if game.Outcome.Conflict != nil {
			return none, fmt.Errorf("the kids of %s cannot fill a game by the rules of the league", none.Team)
		}
		if patience == 0 {
			return none, fmt.Errorf("no plan was found for %s in the time given", none.Team)
		}
		set.Limit *= 4 // a busy machine
	}
	l := game.Lineup(set)
	return report.TeamPlay{
		Team: none.Team, Kids: len(l.Kids), Weakest: l.Weakest.Value, Average: l.Total.Value / float64(len(l.Series)), Proven: l.Weakest.Proven && l.Total.Proven,
	}, nil
}
