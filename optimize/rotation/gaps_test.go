package rotation

import (
	"context"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// hasGap tells whether somebody leaves and comes back.
func hasGap(p *Problem) bool {
	return slices.ContainsFunc(p.Kids, func(k Kid) bool { return len(k.Away) > 0 })
}

// fingerprint is a number that depends on who is how good.
func fingerprint(p *Problem) uint32 {
	sum := uint32(len(p.Series))
	for _, row := range p.Shapes[0].Value {
		for _, x := range row {
			sum = sum*31 + uint32(x)
		}
	}
	return sum
}

// randomGaps has one to three kids leave and come back, some of them twice, as long as every spot can be filled.
func randomGaps(rng *rand.Rand, p *Problem) {
	kids := rng.Perm(len(p.Kids))
	for _, k := range kids[:min(len(kids), 1+rng.IntN(3))] {
		kid := &p.Kids[k]
		old := kid.Away
		kid.Away = randomGap(rng, kid.Presence()).Away
		for s, need := range spotsOf(p) {
			if countHere(grid(p.presences(), len(p.Series)), s) < need {
				kid.Away = old
			}
		}
	}
}

// randomGap has a kid leave and come back, and sometimes once more, if it is there long enough.
func randomGap(rng *rand.Rand, p Presence) Presence {
	p.Away = nil
	for from := p.First; p.Last-from >= 2 && len(p.Away) < 2; {
		a := from + 1 + rng.IntN(p.Last-from-1)
		w := Window{a, a + rng.IntN(min(3, p.Last-a))}
		p.Away = append(p.Away, w)
		if from = w.Last + 1; chance(rng, 60) {
			break
		}
	}
	return p
}

// gappy is a tiny problem in which somebody leaves and comes back; not every seed has room for it.
func gappy(seed uint64) *Problem {
	o := tiny(seed)
	o.Gaps, o.Series[0] = true, 3
	if seed%2 == 0 {
		o.Series[1] = 6
	}
	return randomProblem(newRand(70_000+seed), o)
}

// TestGapsAgainstBrute compares games in which kids leave and come back with the enumeration of all plans, in all three objectives.
func TestGapsAgainstBrute(t *testing.T) {
	t.Parallel()
	cases := uint64(120)
	if sweepOn() {
		cases = 4_000
	}
	var games, planned, twice, bound atomic.Int64
	eachCase(t, cases, func(t *testing.T, seed uint64) {
		p := gappy(seed)
		if !hasGap(p) {
			return
		}
		games.Add(1)
		if slices.ContainsFunc(p.Kids, func(k Kid) bool { return len(k.Away) > 1 }) {
			twice.Add(1)
		}
		for _, favor := range favors {
			if solvesLikeBrute(t, p, Settings{Favor: favor}, seed) {
				planned.Add(1)
			}
		}
		through := *p
		through.Kids = slices.Clone(p.Kids)
		for k := range through.Kids {
			through.Kids[k].Away = nil
		}
		if a, b := brute(p, Total), brute(&through, Total); (a == nil) != (b == nil) || a != nil && compareLex(p, Total, a, b) != 0 {
			bound.Add(1)
		}
	})
	require.Greater(t, games.Load(), int64(cases)/2)
	require.Greater(t, planned.Load(), int64(cases)*2/3)
	require.Greater(t, bound.Load(), int64(cases)/10, "the gaps make a difference")
	t.Logf("%d games with gaps, %d with two of one kid; %d of %d solves have a plan; in %d games the gaps make a difference", games.Load(), twice.Load(), planned.Load(), 3*games.Load(), bound.Load())
}

// TestGapsAgainstAllPlans compares with the list of all plans, so that brute force itself is checked on gaps.
func TestGapsAgainstAllPlans(t *testing.T) {
	t.Parallel()
	games, feasible := 0, 0
	for seed := range uint64(120) {
		o := micro()
		o.Gaps, o.Series = true, [2]int{3, 3}
		p := randomProblem(newRand(80_000+seed), o)
		if !hasGap(p) {
			continue
		}
		games++
		plans := naivePlans(p)
		for _, favor := range favors {
			got := brute(p, favor)
			require.Equal(t, len(plans) == 0, got == nil, seed)
			if got == nil {
				continue
			}
			feasible++
			best := slices.MaxFunc(plans, func(a, b Plan) int { return compareLex(p, favor, a, b) })
			require.Zero(t, compareLex(p, favor, got, best), seed)
		}
	}
	require.Greater(t, games, 40)
	require.Greater(t, feasible, 60)
}

// TestPeersOnGaps gives games of usual size in which kids leave and come back to the solver and to all peers.
func TestPeersOnGaps(t *testing.T) {
	t.Parallel()
	peers := presentPeers(t)
	cases := uint64(8)
	if sweepOn() {
		cases = 240
	}
	var ta tally
	var games, proved, feasible atomic.Uint64
	eachCase(t, cases, func(t *testing.T, seed uint64) {
		p := randomProblem(newRand(90_000+seed), randomOptions{Kids: [2]int{5, 9}, Series: [2]int{4, 7}, Spots: [2]int{2, 5}, Roles: 3, Gaps: true, Base: seed%4 == 0})
		if !hasGap(p) || p.ended() {
			return
		}
		games.Add(1)
		favor := favors[seed%3]
		r := mustSolve(t, p, Settings{Favor: favor, Limit: 20 * time.Second})
		switch r.Status {
		case Proven:
			proved.Add(1)
			feasible.Add(1)
			agreeWithPeers(t, p, favor, r.Plan, inTurn(peers, seed), 2*time.Second, &ta)
		case Infeasible:
			proved.Add(1)
			agreeWithPeers(t, p, favor, nil, inTurn(peers, seed), 2*time.Second, &ta)
		}
	})
	require.Greater(t, games.Load(), cases/2)
	require.Greater(t, proved.Load(), games.Load()*9/10)
	require.Greater(t, feasible.Load(), cases/4)
	t.Logf("%d games with gaps, %d proved, %d have a plan%s", games.Load(), proved.Load(), feasible.Load(), ta.String())
}

// TestLargeGapsHold plans games past the reach of brute force, and some past that of the exact method: plans are legal and no bound is beaten.
func TestLargeGapsHold(t *testing.T) {
	t.Parallel()
	cases := uint64(20)
	if sweepOn() {
		cases = 200
	}
	gaps := 0
	for seed := range cases {
		p := sweepGame(seed)
		rng := newRand(100_000 + seed)
		for range 1 + rng.IntN(3) {
			k := &p.Kids[rng.IntN(len(p.Kids))]
			old := k.Away
			k.Away = randomGap(rng, k.Presence()).Away
			for s, need := range spotsOf(p) {
				if countHere(grid(p.presences(), len(p.Series)), s) < need {
					k.Away = old
				}
			}
		}
		if seed%10 == 9 {
			p = beyondReach(p)
		}
		if !hasGap(p) {
			continue
		}
		gaps++
		shareOut(p, 3, 1)
		row := sweepRow{p, mustSolve(t, p, Settings{Limit: 10 * time.Millisecond}), mustSolve(t, p, Settings{Limit: 60 * time.Millisecond})}
		consistent(t, seed, row)
		if row.long.Plan == nil {
			continue
		}
		q := *p
		q.Kids = slices.Clone(p.Kids)
		q.Kids[0].Away = randomGap(rng, p.Kids[0].Presence()).Away
		again, err := Rebuild(context.Background(), &q, row.long.Plan, Settings{Limit: 60 * time.Millisecond}, 0)
		require.NoError(t, err)
		honest(t, &q, &again.Result)
	}
	require.Greater(t, gaps, int(cases)/2)
}

// beyondReach is the game played three times over, longer than the exact method reaches.
func beyondReach(p *Problem) *Problem {
	q := *p
	n := len(p.Series)
	q.Series = slices.Concat(p.Series, p.Series, p.Series, p.Series, p.Series)[:min(5*n, MaxSeries)]
	q.Kids = slices.Clone(p.Kids)
	for k := range q.Kids {
		if kid := &q.Kids[k]; kid.Last == n-1 {
			kid.Last = len(q.Series) - 1
		}
	}
	return &q
}
