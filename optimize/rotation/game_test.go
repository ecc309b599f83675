package rotation

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSlotValueRounds: half a tenth goes away from zero. The fits have exact binary halves.
func TestSlotValueRounds(t *testing.T) {
	for _, c := range []struct {
		importance, fit float64
		want            int32
	}{
		{1, 50, 500}, {1, 0.25, 3}, {1, -0.25, -3}, {1, 0.75, 8}, {1, -0.75, -8}, {1, 0.24, 2}, {1, -0.24, -2}, {0.5, 0.5, 3}, {0.5, -0.5, -3},
		{0, 77, 0}, {2, 50.125, 1003}, {1, 1250.05, 12501}, {1, 0, 0},
	} {
		assert.Equal(t, c.want, SlotValue(c.importance, c.fit), "%v", c)
	}
}

// smallGame has n kids who are all there, c spots alternating between two roles, and series series. Fits are 50.
func smallGame(n, c, series int) *Game {
	g := &Game{Roles: []string{"front", "deep"}, Importance: []float64{0.5, 1}, Series: make([]int, series)}
	form := Form{Label: "form"}
	for i := range c {
		form.Spots = append(form.Spots, i%2)
	}
	g.Forms = []Form{form}
	for range n {
		g.Kids = append(g.Kids, Player{Label: "kid", Last: series - 1, Fit: []float64{50, 50}})
	}
	return g
}

// TestProblemScales works two formations out by hand. Importances 0.5 and 1 over spots front, deep, front sum to 2 and are
// scaled to 3: 0.75, 1.5, 0.75. Over front, deep they sum to 1.5 and are scaled to 2: 2/3 and 4/3. A kid of fit 50 is worth 375
// and 750 tenths in the first, 333 and 667 in the second. To compare a mean over 3 with a mean over 2, values are doubled
// in the first and tripled in the second, and 60 units are a point.
func TestProblemScales(t *testing.T) {
	g := smallGame(4, 3, 2)
	g.Forms = append(g.Forms, Form{Label: "two", Spots: []int{0, 1}})
	g.Series = []int{0, 1}
	p, short, err := g.Problem()
	require.NoError(t, err)
	assert.Empty(t, short)
	assert.Equal(t, int64(60), p.Scale)
	assert.Equal(t, []int{2, 1}, p.Shapes[0].Count)
	assert.Equal(t, []int{1, 1}, p.Shapes[1].Count)
	assert.Equal(t, []int32{2 * 375, 2 * 750}, p.Shapes[0].Value[0])
	assert.Equal(t, []int32{3 * 333, 3 * 667}, p.Shapes[1].Value[3])
	assert.Equal(t, []int{0, 1}, p.Series)
	// Every series of kids who are all worth 50 has strength 50, whatever its formation.
	for _, s := range p.Strengths(Plan{{{0, 0}, {1, 0}, {2, 1}}, {{0, 0}, {3, 1}}}) {
		assert.Equal(t, int64(50*60), s)
	}
}

// TestProblemWithoutImportance: where no spot counts, all count the same; a role that a form does not use has no value there.
func TestProblemWithoutImportance(t *testing.T) {
	g := smallGame(3, 1, 1)
	g.Importance = []float64{0, 1}
	g.Kids[1].Fit = []float64{40, 99}
	p, _, err := g.Problem()
	require.NoError(t, err)
	assert.Equal(t, []int32{500, 0}, p.Shapes[0].Value[0])
	assert.Equal(t, []int32{400, 0}, p.Shapes[0].Value[1])
}

// TestShortHanded: fewer kids than spots drop the last spots of the form, and the rest counts as a formation of its own.
func TestShortHanded(t *testing.T) {
	g := smallGame(4, 4, 4)
	g.Roles = append(g.Roles, "rusher")
	g.Importance = []float64{0.5, 1, 0.25}
	g.Forms[0].Spots = []int{0, 1, 0, 2}
	for k := range g.Kids {
		g.Kids[k].Fit = []float64{50, 50, 50}
	}
	g.Kids[0].First, g.Kids[1].Last, g.Kids[2].Last = 1, 2, 1
	// Present: 3 (kid 0 is late), 4, 3 (kid 2 has left), 2 (kid 1 too).
	p, short, err := g.Problem()
	require.NoError(t, err)
	assert.Equal(t, []Short{{0, []int{2}}, {2, []int{2}}, {3, []int{2, 0}}}, short)
	var counts [][]int
	for _, sh := range p.Series {
		counts = append(counts, p.Shapes[sh].Count)
	}
	assert.Equal(t, [][]int{{2, 1, 0}, {2, 1, 1}, {2, 1, 0}, {1, 1, 0}}, counts)
	assert.Equal(t, int64(10*12), p.Scale, "lcm of 3, 4 and 2")
	r := mustSolve(t, p, Settings{})
	for s, x := range r.Strength { // thirds round, by less than half a tenth a spot
		assert.InDelta(t, 50, float64(x)/float64(p.Scale), 0.05, "series %d", s)
	}
}

func TestProblemFillsRules(t *testing.T) {
	g := smallGame(6, 2, 10)
	g.Kids[5].First, g.Kids[5].Last = -2, 40
	g.MinShare, g.MaxSameRole, g.MinRoles = 0.1, 3, 2
	p, _, err := g.Problem()
	require.NoError(t, err)
	assert.Equal(t, Kid{Label: "kid", First: 0, Last: 9, Lo: 3, Hi: 4, Least: 1, Cap: 3}, p.Kids[5], "20 spots for 6 kids; a tenth of 10 series is 1")
	assert.Equal(t, [2]int{3, 2}, [2]int{p.MaxOn, p.MaxOff}, "6 kids fill 2 spots in 3 series")
	assert.Equal(t, 2, p.MinRoles)
	g.MaxOn, g.MaxOff, g.MinShare = 1, 5, 0.31
	g.Played = [][]Cell{{{0, 0}, {1, 1}}}
	p, _, err = g.Problem()
	require.NoError(t, err)
	assert.Equal(t, [2]int{1, 5}, [2]int{p.MaxOn, p.MaxOff})
	assert.Equal(t, 4, p.Kids[0].Least, "3.1 series rounded up")
	require.Len(t, p.Played, 10)
	assert.Equal(t, g.Played[0], p.Played[0])
	assert.Nil(t, p.Played[1])
}

func TestProblemRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Game)
		want  error
	}{
		"no series":           {func(g *Game) { g.Series = nil }, ErrNoSeries},
		"nobody there":        {func(g *Game) { g.Kids = nil }, ErrNobody},
		"nobody at the end":   {func(g *Game) { g.setLast(2) }, ErrNobody},
		"no number":           {func(g *Game) { g.Kids[1].Fit[0] = math.NaN() }, ErrBadGame},
		"an endless fit":      {func(g *Game) { g.Kids[1].Fit[0] = math.Inf(-1) }, ErrBadGame},
		"a fit without limit": {func(g *Game) { g.Kids[1].Fit[0] = 1e9 }, ErrBadGame},
		"importance":          {func(g *Game) { g.Importance[0] = -1 }, ErrBadGame},
		"importance NaN":      {func(g *Game) { g.Importance[0] = math.NaN() }, ErrBadGame},
		"importances":         {func(g *Game) { g.Importance = g.Importance[:1] }, ErrBadGame},
		"fits":                {func(g *Game) { g.Kids[0].Fit = nil }, ErrBadGame},
		"never":               {func(g *Game) { g.Kids[0].Never = []bool{true} }, ErrBadGame},
		"form":                {func(g *Game) { g.Series[0] = 1 }, ErrBadGame},
		"empty form":          {func(g *Game) { g.Forms[0].Spots = nil }, ErrBadGame},
		"role":                {func(g *Game) { g.Forms[0].Spots[0] = 7 }, ErrBadGame},
		"min share":           {func(g *Game) { g.MinShare = math.NaN() }, ErrBadGame},
		"min share 2":         {func(g *Game) { g.MinShare = 2 }, ErrBadGame},
		"rest":                {func(g *Game) { g.MaxOff = -1 }, ErrBadGame},
		"health":              {func(g *Game) { g.SafeOn = -1 }, ErrBadGame},
		"a pair with oneself": {func(g *Game) { g.Apart = [][2]int{{1, 1}} }, ErrBadProblem},
		"a pin too late":      {func(g *Game) { g.Pins = []Pin{{0, 0, 4, true}} }, ErrBadProblem},
		"a gap in the past":   {func(g *Game) { g.Played = [][]Cell{nil, {{0, 0}, {1, 1}}} }, ErrBadProblem},
		"too many kids":       {func(g *Game) { *g = *smallGame(MaxKids+1, 2, 4) }, ErrBadGame},
	} {
		g := smallGame(4, 2, 4)
		c.spoil(g)
		_, _, err := g.Problem()
		assert.ErrorIs(t, err, c.want, name)
		_, err = g.Arrange(context.Background(), Settings{}, false)
		assert.ErrorIs(t, err, c.want, name)
	}
}

func (g *Game) setLast(s int) {
	for k := range g.Kids {
		g.Kids[k].Last = s
	}
}

// loosening is a game whose rules cannot hold together, what is given up for a plan, and what a coach may change
// instead, if strict. All numbers follow from counting.
type loosening struct {
	name     string
	game     func() *Game
	want     map[RuleKind]int // what is loosened, to which number
	remedies map[RuleKind]int // at least these
}

// loosenings go through the rules in the order in which they are given up; each conflict also holds rules further down.
func loosenings() []loosening {
	set := func(n, c, series int, f func(*Game)) func() *Game {
		return func() *Game {
			g := smallGame(n, c, series)
			f(g)
			return g
		}
	}
	return []loosening{
		{"variety before cap and shares: three roles where there are two", set(4, 2, 4, func(g *Game) { g.MinRoles, g.MaxSameRole = 3, 2 }),
			map[RuleKind]int{RuleMinRoles: 2}, map[RuleKind]int{RuleMinRoles: 2}},
		{"cap before shares: a kid of one role plays two series", set(4, 2, 4, func(g *Game) { g.Kids[0].Never, g.MaxSameRole = []bool{false, true}, 1 }),
			map[RuleKind]int{RuleSameRole: 2}, map[RuleKind]int{RuleSameRole: 2}},
		{"cover before pairs: both of a pair that is kept apart", set(4, 2, 4, func(g *Game) { g.Apart, g.Covers = [][2]int{{0, 1}}, []Cover{{[]int{0, 1}, 2}} }),
			map[RuleKind]int{RuleCover: 1}, map[RuleKind]int{RuleCover: 1}},
		{"together before apart: a pair that is both", set(4, 2, 4, func(g *Game) { g.Together, g.Apart = [][2]int{{0, 1}}, [][2]int{{1, 0}} }),
			map[RuleKind]int{RuleTogether: -1}, map[RuleKind]int{}},
		{"apart before shares: two kids with three series each of five", set(3, 2, 5, func(g *Game) { g.Apart = [][2]int{{0, 1}} }),
			map[RuleKind]int{RuleApart: -1}, map[RuleKind]int{}},
		{"on the field: 3 kids in 2 spots cannot all rest after each series", set(3, 2, 6, func(g *Game) { g.MaxOn = 1 }),
			map[RuleKind]int{RuleMaxOn: 2}, map[RuleKind]int{RuleMaxOn: 2}},
		{"on the bench: 6 kids in 2 spots cannot all play every second series", set(6, 2, 6, func(g *Game) { g.MaxOff = 1 }),
			map[RuleKind]int{RuleMaxOff: 2}, map[RuleKind]int{RuleMaxOff: 2}},
		{"rest before shares: who comes for the last two series is to play both", set(5, 2, 6, func(g *Game) { g.Kids[4].First, g.MaxOn = 4, 1 }),
			map[RuleKind]int{RuleMaxOn: 2}, map[RuleKind]int{RuleMaxOn: 2, RuleShare: 1}},
		{"but not where the limit is for the kids' health", set(5, 2, 6, func(g *Game) { g.Kids[4].First, g.MaxOn, g.SafeOn = 4, 1, 1 }),
			map[RuleKind]int{RuleShare: 1}, map[RuleKind]int{RuleMaxOn: 2, RuleShare: 1}},
		{"a shorter limit of the coach's gives way up to that", set(5, 2, 6, func(g *Game) { g.Kids[4].First, g.MaxOn, g.SafeOn = 4, 1, 2 }),
			map[RuleKind]int{RuleMaxOn: 2}, map[RuleKind]int{RuleMaxOn: 2, RuleShare: 1}},
		{"health where shares have no part in it", set(3, 2, 6, func(g *Game) { g.MaxOn, g.SafeOn = 1, 1 }),
			map[RuleKind]int{RuleMaxOn: 2}, map[RuleKind]int{RuleMaxOn: 2}},
		{"shares last: a kid pinned to every series, twice the fair two", set(4, 2, 4, func(g *Game) {
			for s := range g.Series {
				g.Pins = append(g.Pins, Pin{0, -1, s, true})
			}
		}), map[RuleKind]int{RuleShare: 2}, map[RuleKind]int{RuleShare: 2}},
		{"two conflicts at once", set(4, 2, 4, func(g *Game) { g.MinRoles, g.Apart, g.Covers = 3, [][2]int{{0, 1}}, []Cover{{[]int{0, 1}, 2}} }),
			map[RuleKind]int{RuleMinRoles: 2, RuleCover: 1}, nil},
	}
}

func TestArrangeLoosensInOrder(t *testing.T) {
	for _, c := range loosenings() {
		g := c.game()
		asked, _, err := g.Problem()
		require.NoError(t, err)
		require.Equal(t, Infeasible, mustSolve(t, asked, Settings{}).Status, c.name)
		out, err := g.Arrange(context.Background(), Settings{}, false)
		require.NoError(t, err)
		require.NotNil(t, out.Result, c.name)
		require.Equal(t, Proven, out.Result.Status, c.name)
		require.Empty(t, Check(out.Problem, out.Result.Plan), c.name)
		got := map[RuleKind]int{}
		for i, l := range out.Loosened {
			got[l.Rule.Kind] = l.To
			require.True(t, i == 0 || out.Loosened[i-1].Rule.Kind <= l.Rule.Kind, "%s: listed in order", c.name)
		}
		assert.Equal(t, c.want, got, c.name)
		// What was asked for stands untouched, but for the rules that are named.
		again, _, err := g.Problem()
		require.NoError(t, err)
		require.Equal(t, asked, again, c.name)
		for _, v := range Check(asked, out.Result.Plan) {
			ours := v.Rule == RuleMaxOn && g.MaxOn == 0 || v.Rule == RuleMaxOff && g.MaxOff == 0
			if !ours { // a default by head count gives way without being named
				assert.Contains(t, c.want, v.Rule, "%s: %v", c.name, v)
			}
		}
	}
}

func TestArrangeStrict(t *testing.T) {
	for _, c := range loosenings() {
		out, err := c.game().Arrange(context.Background(), Settings{}, true)
		require.NoError(t, err)
		require.Nil(t, out.Result, c.name)
		require.Empty(t, out.Loosened, c.name)
		require.NotNil(t, out.Conflict, c.name)
		require.True(t, out.Conflict.Smallest, c.name)
		got := map[RuleKind]int{}
		for _, l := range out.Remedies {
			got[l.Rule.Kind] = l.To
		}
		for kind, to := range c.remedies {
			assert.Contains(t, got, kind, c.name)
			assert.Equal(t, to, got[kind], "%s: %v", c.name, kind)
		}
		if c.remedies == nil {
			assert.Empty(t, got, "%s: one change is not enough", c.name)
		}
	}
}

// TestArrangeNeverLoosens: a kid pinned to a role never to be played has no plan, and the tool changes neither.
func TestArrangeNeverLoosens(t *testing.T) {
	for _, strict := range []bool{false, true} {
		g := smallGame(4, 2, 4)
		g.Kids[2].Never = []bool{true, false}
		g.Pins = []Pin{{2, 0, 1, true}}
		out, err := g.Arrange(context.Background(), Settings{}, strict)
		require.NoError(t, err)
		require.Nil(t, out.Result)
		require.Empty(t, out.Loosened)
		var kinds []RuleKind
		for _, r := range out.Conflict.Rules {
			kinds = append(kinds, r.Kind)
		}
		require.ElementsMatch(t, []RuleKind{RuleNever, RulePin}, kinds)
		require.Len(t, out.Remedies, 1, "a coach may take the pin away, not the hold")
		require.Equal(t, RulePin, out.Remedies[0].Rule.Kind)
	}
}

// TestArrangeLoosensNothingInVain: a game whose rules can hold is planned as it stands, the same each time.
func TestArrangeLoosensNothingInVain(t *testing.T) {
	g := smallGame(7, 5, 6)
	g.MinRoles, g.Covers = 2, []Cover{{[]int{0, 1, 2}, 1}}
	one, err := g.Arrange(context.Background(), Settings{}, false)
	require.NoError(t, err)
	require.Empty(t, one.Loosened)
	require.Nil(t, one.Conflict)
	require.Equal(t, Proven, one.Result.Status)
	two, err := g.Arrange(context.Background(), Settings{}, true)
	require.NoError(t, err)
	require.Equal(t, one.Result.Plan, two.Result.Plan)
}
