package draft

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// playOut picks at random, also what is not allowed, until the board is full, and checks every step.
func playOut(t *testing.T, p *Pool, b *Board, rng *rand.Rand) {
	t.Helper()
	for range 4 * len(p.Kids) {
		turn := b.Turn()
		if turn.Over {
			break
		}
		legal := b.Legal(background)
		require.NotEmpty(t, legal, "a coach at turn has a pick")
		kid := legal[rng.IntN(len(legal))]
		if rng.IntN(3) == 0 {
			kid = rng.IntN(len(p.Kids))
		}
		before, entries := b.Split(), len(b.Entries())
		made, why := b.Pick(background, turn.Team, kid)
		if !slices.Contains(legal, kid) {
			require.NotNil(t, why)
			require.Nil(t, made)
			require.Equal(t, before, b.Split())
			require.Len(t, b.Entries(), entries)
			continue
		}
		require.Nil(t, why)
		require.Equal(t, Picked, made[0].Kind)
		require.Equal(t, kid, made[0].Kids[0])
		if rng.IntN(5) == 0 {
			require.True(t, b.Undo())
			require.Equal(t, before, b.Split())
			require.Equal(t, turn, b.Turn())
			require.Len(t, b.Entries(), entries)
		}
	}
	for !b.Turn().Over {
		_, why := b.Pick(background, b.Turn().Team, b.Legal(background)[0])
		require.Nil(t, why)
	}
	require.Empty(t, Check(p, b.Split()))
}

// TestBoard plays boards of random pools to the end: never stuck, every rule kept, every kid in exactly one entry, and every team's turns in the order of the snake.
func TestBoard(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	played, pools := 0, repeats(150, 2000)
	for range pools {
		teams := 2 + rng.IntN(4)
		p := anyPool(rng, teams+rng.IntN(16), teams, 0.6*rng.Float64())
		order := rng.Perm(teams)
		b, err := NewBoard(background, p, order)
		var conflict *ConflictError
		if errors.As(err, &conflict) {
			require.NotNil(t, conflict.Conflict)
			continue
		}
		require.NoError(t, err)
		played++
		playOut(t, p, b, rng)
		checkEntries(t, p, b, order)
	}
	require.Greater(t, played, pools/3)
}

func checkEntries(t *testing.T, p *Pool, b *Board, order []int) {
	t.Helper()
	seen := make([]int, len(p.Kids))
	s := b.Split()
	for i, e := range b.Entries() {
		round, seat := i/len(order), i%len(order)
		require.Equal(t, round+1, e.Round)
		if round%2 == 1 {
			seat = len(order) - 1 - seat
		}
		require.Equal(t, order[seat], e.Team)
		require.Equal(t, e.Kind == Picked || e.Kind == Placed, len(e.Kids) > 0)
		for _, k := range e.Kids {
			seen[k]++
			require.Equal(t, e.Team, s[k])
		}
	}
	require.Equal(t, slices.Repeat([]int{1}, len(p.Kids)), seen)
}

// TestBoardByHand: two teams, six kids a..f from best to worst. b is a coach's kid of team B, best but one: B's first pick. c and d are
// siblings: who takes them owes a turn.
func TestBoardByHand(t *testing.T) {
	p := plain(6, 2)
	p.Fixed = []Fixed{{Kid: 1, Team: 1, Coach: true}}
	p.Siblings = [][]int{{2, 3}}
	b, err := NewBoard(background, p, nil)
	require.NoError(t, err)
	require.Equal(t, Turn{Round: 1, Team: 0}, b.Turn())
	_, why := b.Pick(background, 1, 0)
	require.Equal(t, &Refusal{Kind: RefusedTurn, Team: 0}, why)
	_, why = b.Pick(background, 0, 1)
	require.Equal(t, &Refusal{Kind: RefusedTaken, Team: 1}, why)
	made, why := b.Pick(background, 0, 3)
	require.Nil(t, why)
	// A takes d, and with d comes c. B's turn goes to the coach's kid. In round 2 B picks first.
	require.Equal(t, []Entry{{Picked, 1, 0, []int{3, 2}}, {Placed, 1, 1, []int{1}}}, made)
	require.Equal(t, Turn{Round: 2, Team: 1}, b.Turn())
	made, why = b.Pick(background, 1, 0)
	require.Nil(t, why)
	// A owes its turn of round 2, and picks in round 3.
	require.Equal(t, []Entry{{Picked, 2, 1, []int{0}}, {Owed, 2, 0, []int{}}}, made)
	require.Equal(t, Turn{Round: 3, Team: 0}, b.Turn())
	require.ElementsMatch(t, []int{4, 5}, b.Legal(background))
	made, _ = b.Pick(background, 0, 5)
	require.Len(t, made, 1)
	_, why = b.Pick(background, 1, 4)
	require.Nil(t, why)
	require.True(t, b.Turn().Over)
	_, why = b.Pick(background, 0, 4)
	require.Equal(t, RefusedOver, why.Kind)
}

// TestBoardDeadEnd: e can only be on team A, whose last spot another pick would take.
func TestBoardDeadEnd(t *testing.T) {
	p := plain(6, 2)
	p.Kids[4].Teams = []bool{true, false}
	p.Kids[5].Teams = []bool{true, false}
	b, err := NewBoard(background, p, nil)
	require.NoError(t, err)
	_, why := b.Pick(background, 0, 0)
	require.Nil(t, why)
	for _, kid := range []int{1, 2} {
		_, why = b.Pick(background, 1, kid)
		require.Nil(t, why)
		if b.Turn().Team == 0 {
			_, why = b.Pick(background, 0, 3)
			require.Equal(t, RefusedDeadEnd, why.Kind)
			require.NotNil(t, why.Conflict)
			require.Equal(t, &Crowd{Kids: []int{0, 3, 4, 5}, Teams: []int{0}, Room: 3, TooMany: true}, why.Conflict.Crowd)
			break
		}
	}
	require.Equal(t, 0, b.Rest().Fixed[0].Team)
}

func TestBoardRefusesOrders(t *testing.T) {
	p := plain(6, 2)
	for _, order := range [][]int{{0}, {0, 0}, {0, 2}, {0, 1, 1}} {
		_, err := NewBoard(background, p, order)
		require.Error(t, err, fmt.Sprint(order))
	}
}
