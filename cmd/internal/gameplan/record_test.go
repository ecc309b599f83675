package gameplan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"sevenyard/drills/games"
	"sevenyard/optimize/rotation"
)

// TestRecordIsFact plays random games otherwise than planned: kids stand in for others, spots stay empty, kids come who were not
// planned. Whatever the record has must stand in the rebuilt plan, with and without the old plan.
func TestRecordIsFact(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	set := rotation.Settings{Seed: 1, Limit: 5 * time.Second}
	for n := range 30 {
		kids := 7 + rng.IntN(4)
		f, prof := small(kids, nil)
		f.Team.Series = 6
		pl, err := New(f, prof, Wishes{Absent: []string{"1"}})
		require.NoError(t, err)
		require.NoError(t, pl.Arrange(context.Background(), set, false))
		sv, err := ReadSaved("plan.json", saved(t, pl.Lineup(set)))
		require.NoError(t, err)

		over := 1 + rng.IntN(5)
		g := &games.Game{ID: "3"}
		for s := range over {
			line := games.Series{Number: s + 1}
			for i, x := range sv.Series[s].Slots {
				switch rng.IntN(6) {
				case 0: // kid 1 came after all
					if i == 0 {
						x.Kid = "1"
					}
				case 1: // nobody
					if i == 1 {
						continue
					}
				}
				line.Slots = append(line.Slots, x)
			}
			g.Series = append(g.Series, line)
		}
		gone := ""
		if n%2 == 0 { // attendance, one kid of it gone
			for k := range kids {
				p := games.Presence{Kid: fmt.Sprint(k + 1), First: 1}
				if k == 2 {
					gone, p.Last = p.Kid, over
				}
				g.Attendance = append(g.Attendance, p)
			}
		}
		merged, err := sv.WithRecord(g)
		require.NoError(t, err)
		bare, err := FromRecord(g, f)
		require.NoError(t, err)
		for i, base := range []*Saved{merged, bare} {
			re, err := NewFrom(f, prof, Wishes{}, base, -1)
			require.NoError(t, err)
			if i == 0 {
				err = re.Rearrange(context.Background(), set, false, 0)
			} else {
				err = re.ArrangeRest(context.Background(), set, false)
			}
			require.NoError(t, err)
			require.NotNil(t, re.Outcome.Result, "%d", n)
			l := re.Rebuild(set, 0, nil, nil)
			require.Equal(t, over, l.Played)
			for s, line := range g.Series {
				require.Len(t, l.Series[s].Slots, len(line.Slots))
				for _, x := range line.Slots {
					found := false
					for _, y := range l.Series[s].Slots {
						found = found || y.Kid == x.Kid && y.Role == x.Role
					}
					require.True(t, found, "series %d, %v", s+1, x)
				}
			}
			for _, line := range l.Series[over:] {
				require.Len(t, line.Slots, 5)
				for _, x := range line.Slots {
					require.NotEqual(t, gone, x.Kid)
				}
			}
			// What was rebuilt can be saved and rebuilt again.
			again, err := ReadSaved("two.json", saved(t, l))
			require.NoError(t, err)
			_, err = NewFrom(f, prof, Wishes{}, again, -1)
			require.NoError(t, err)
		}
		// Hurt on record: out, and no flag brings the kid back.
		g.Hurt = []string{"2"}
		merged, err = sv.WithRecord(g)
		require.NoError(t, err)
		_, err = NewFrom(f, prof, Wishes{Late: []At{{"2", over + 1}}}, merged, -1)
		require.ErrorContains(t, err, "was hurt in this game")
	}
}

// TestHurtBefore: a kid who was hurt is planned with a warning until it has come to a later game; games it missed heal nothing.
func TestHurtBefore(t *testing.T) {
	f, prof := small(7, nil)
	came := func(id string, hurt []string, kids ...string) games.Game {
		g := games.Game{ID: id, Hurt: hurt}
		for _, k := range kids {
			g.Kids = append(g.Kids, games.Presence{Kid: k, First: 1, Last: 8})
		}
		return g
	}
	rec := &games.Record{Games: []games.Game{came("1", []string{"2", "3", "5"}, "2", "3", "4", "5"), came("2", nil, "3", "4"), came("3", []string{"4"}, "3", "4", "5")}}
	for _, x := range []struct {
		without string
		warned  []string
	}{{"", []string{"2", "4"}}, {"3", []string{"2", "5"}}} {
		pl, err := New(f, prof, Wishes{Absent: []string{"7"}})
		require.NoError(t, err)
		before := len(pl.Notes)
		pl.HurtBefore(rec, x.without)
		require.Len(t, pl.Notes, before+len(x.warned))
		for i, kid := range x.warned {
			require.Contains(t, pl.Notes[before+i], "kid "+kid+" was hurt in game")
		}
	}
}
