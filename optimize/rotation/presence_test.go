package rotation

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pgregory.net/rapid"
	"sevenyard/optimize/rotation/internal/milp"
)

// TestPresenceIsAnySet: every set of series is one presence, which says the same of each of them, and is well formed.
func TestPresenceIsAnySet(t *testing.T) {
	for series := range 11 {
		for set := range 1 << series {
			here, n := make([]bool, series), 0
			for s := range here {
				if here[s] = set>>s&1 == 1; here[s] {
					n++
				}
			}
			p := PresenceOf(here)
			require.NoError(t, p.Validate())
			require.Equal(t, n, p.Count(series))
			require.Equal(t, p, p.Within(series))
			stretch := p.Stretches(series)
			require.Equal(t, max(0, len(stretch)-1), len(p.Away))
			for s := -2; s < series+2; s++ {
				in := s >= 0 && s < series && here[s]
				kid, player := Kid{First: p.First, Last: p.Last, Away: p.Away}, Player{First: p.First, Last: p.Last, Away: p.Away}
				stands := slices.ContainsFunc(stretch, func(w Window) bool { return w.There(s) })
				require.Equal(t, [4]bool{in, in, in, in}, [4]bool{p.There(s), kid.There(s), player.There(s), stands})
			}
			for i := 1; i < len(stretch); i++ {
				require.Equal(t, Window{stretch[i-1].Last + 1, stretch[i].First - 1}, p.Away[i-1])
			}
		}
	}
}

// TestPresenceWithin: cut to a game, it says the same of each series, and nothing of others.
func TestPresenceWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := newRand(rapid.Uint64().Draw(t, "seed"))
		p := randomGap(rng, Presence{First: rng.IntN(12) - 6, Last: rng.IntN(24)})
		series := 1 + rng.IntN(14)
		cut := p.Within(series)
		require.NoError(t, cut.Validate())
		for s := -7; s < 25; s++ {
			require.Equal(t, p.There(s) && s >= 0 && s < series, cut.There(s), s)
		}
	})
}

// crooked are presences that are not well formed.
var crooked = map[string]Presence{
	"away from the first":  {0, 5, []Window{{0, 1}}},
	"away before":          {1, 5, []Window{{-1, 2}}},
	"away to the last":     {0, 5, []Window{{4, 5}}},
	"away beyond":          {0, 5, []Window{{2, math.MaxInt}}},
	"no stretch":           {0, 5, []Window{{3, 2}}},
	"next to each other":   {0, 5, []Window{{1, 2}, {3, 3}}},
	"one in the other":     {0, 5, []Window{{1, 4}, {2, 2}}},
	"later one first":      {0, 5, []Window{{4, 4}, {1, 1}}},
	"never there":          {1, 0, []Window{{1, 0}}},
	"never there, and far": {math.MaxInt, math.MinInt, []Window{{0, 0}}},
	"both ends of numbers": {math.MinInt, math.MaxInt, []Window{{math.MinInt, math.MaxInt}}},
}

// TestCrookedPresenceIsRefused wherever one can be given.
func TestCrookedPresenceIsRefused(t *testing.T) {
	for name, there := range crooked {
		require.Error(t, there.Validate(), name)
		p := twoKids()
		p.Kids[1].First, p.Kids[1].Last, p.Kids[1].Away = there.First, there.Last, there.Away
		_, err := Solve(context.Background(), p, Settings{})
		require.ErrorIs(t, err, ErrBadProblem, name)
		require.ErrorContains(t, err, "away", name)
		require.NotEmpty(t, Check(p, make(Plan, len(p.Series))), name)

		g := smallGame(4, 2, 6)
		g.Kids[2].First, g.Kids[2].Last, g.Kids[2].Away = there.First, there.Last, there.Away
		_, _, err = g.Problem()
		require.ErrorIs(t, err, ErrBadGame, name)
		g = smallGame(4, 2, 6)
		g.KeptThere = []Presence{{Last: 5}, there}
		_, _, err = g.Problem()
		require.ErrorIs(t, err, ErrBadGame, name)
	}
	require.NoError(t, Presence{-4, 90, []Window{{-2, 3}, {5, 70}}}.Validate(), "it may reach beyond a game")
}

// TestRunsStartAfreshAfterAGap takes kid 0 through single games: what is a run too long without the stretch away is none with it. The check, the
// automaton, the local search and the written model say the same.
func TestRunsStartAfreshAfterAGap(t *testing.T) {
	for name, c := range map[string]struct {
		game      string // of kid 0, by series: x on, . off, - away
		on, off   int
		legal     bool
		ifThrough bool // legal if the kid were there throughout
	}{
		"on, away, on":               {"xx-xx", 2, 0, true, true},
		"on too long before":         {"xxx-x", 2, 0, false, false},
		"on too long after":          {"x-xxx", 2, 0, false, false},
		"off, away, off":             {"x.-.x", 0, 1, true, false},
		"off for two, away, off":     {"..-.x", 0, 2, true, false},
		"off too long after":         {"x-..x", 0, 1, false, false},
		"away for two, twice":        {".--.-.", 0, 1, true, false},
		"two rows that meet nowhere": {"x.-.x.-xx", 2, 1, true, false},
	} {
		series := len(c.game)
		p := &Problem{Roles: []string{"any"}, Scale: 10, MaxOn: c.on, MaxOff: c.off, Shapes: []Shape{{Count: []int{1}, Value: [][]int32{{1}, {1}, {1}}}}, Series: make([]int, series)}
		here := make([]bool, series)
		plan := make(Plan, series)
		for s, x := range c.game {
			here[s] = x != '-'
			plan[s] = []Cell{{1 + s%2, 0}} // kids 1 and 2 fill in, and no rule is asked of them
			if x == 'x' {
				plan[s] = []Cell{{0, 0}}
			}
		}
		there := PresenceOf(here)
		p.Kids = []Kid{{Label: "0", First: there.First, Last: there.Last, Away: there.Away, Hi: series}, {Label: "1", Hi: series}, {Label: "2", Hi: series}}
		for k := 1; k <= 2; k++ { // there for a series at a time
			odd := make([]bool, series)
			for s := range odd {
				odd[s] = s%2 == k-1 && plan[s][0].Kid == k
			}
			w := PresenceOf(odd)
			p.Kids[k].First, p.Kids[k].Last, p.Kids[k].Away = w.First, w.Last, w.Away
		}
		for s := range series {
			p.Pins = append(p.Pins, Pin{plan[s][0].Kid, -1, s, true})
		}
		for _, through := range []bool{false, true} {
			want := c.legal
			if q := &p.Kids[0]; through {
				q.First, q.Last, q.Away, want = 0, series-1, nil, c.ifThrough
			}
			require.Equal(t, want, len(Check(p, plan)) == 0, "%s: %v", name, Check(p, plan))
			require.Equal(t, map[bool]Answer{true: Yes, false: No}[want], Feasible(context.Background(), p), name)
			tr := newTrader(p.normal(), 1)
			tr.load(plan)
			require.Equal(t, want, tr.faults == 0, name)
			m, err := buildMPS(p, Goal{})
			require.NoError(t, err)
			x, ok := columnValues(m, plan)
			broken := slices.ContainsFunc(m.Rows, func(r milp.Row) bool { return !rowHolds(r, x) })
			require.Equal(t, want, ok && !broken, name)
		}
	}
}

// TestAwayIsNotKeptOut: a kid who is away and one who is kept out of the same series may play in the same ones, but only the second is on the
// bench meanwhile.
func TestAwayIsNotKeptOut(t *testing.T) {
	p := &Problem{Roles: []string{"any"}, Scale: 10, MaxOff: 2, Series: make([]int, 5), Shapes: []Shape{{Count: []int{2}, Value: [][]int32{{1}, {1}, {1}, {1}}}}}
	for range 4 {
		p.Kids = append(p.Kids, Kid{Label: "kid", Last: 4, Hi: 5})
	}
	for k := range 2 {
		p.Kids[k].Away = []Window{{2, 2}}
		p.Pins = append(p.Pins, Pin{k, -1, 1, false}, Pin{k, -1, 2, false}, Pin{k, -1, 3, false})
	}
	require.Equal(t, Yes, Feasible(context.Background(), p))
	p.Kids[1].Away = nil
	require.Equal(t, No, Feasible(context.Background(), p), "off for three")
}

// TestWriteMPSParts: no row of runs spans a stretch away.
func TestWriteMPSParts(t *testing.T) {
	p := twoKids()
	p.Series, p.MaxOn, p.MaxOff = make([]int, 7), 2, 2
	p.Kids[0].First, p.Kids[0].Last, p.Kids[0].Away = 0, 6, []Window{{3, 3}}
	p.Kids[1].Last = 6
	text := mps(t, p, Goal{})
	for _, row := range []string{"on_0_2", "off_0_2", "on_0_6", "off_0_6", "on_1_3", "off_1_3", "on_1_4", "on_1_5"} {
		require.Contains(t, text, " "+row+"\n", row)
	}
	for _, row := range []string{"on_0_3", "on_0_4", "on_0_5", "off_0_4", "off_0_5"} {
		require.NotContains(t, text, " "+row+"\n", row)
	}
	require.NotContains(t, text, "x_0_0_3", "away in series 4")
	require.Equal(t, 1, strings.Count(text, " BV bounds x_0_0_2\n"))
}
