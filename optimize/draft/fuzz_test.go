package draft

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// bytesPool makes a pool from any bytes; most of them make some sense.
type bytesPool []byte

func (b *bytesPool) next(n int) int {
	if len(*b) == 0 || n <= 0 {
		return 0
	}
	x := int((*b)[0])
	*b = (*b)[1:]
	return x % n
}

func (b *bytesPool) pool() *Pool {
	p := &Pool{Weights: Weights{Grades: b.next(200), Untested: b.next(200), Uncertainty: b.next(200), Returning: b.next(200), Carpool: b.next(300)}}
	teams, kids := b.next(7), b.next(30)
	for t := range teams {
		p.Teams = append(p.Teams, fmt.Sprint(t))
	}
	measures := b.next(4)
	for j := range measures {
		p.Measures = append(p.Measures, Measure{Label: fmt.Sprint(j), Weight: b.next(250), Step: []float64{0, 1, 1e-6, 1e6}[b.next(4)]})
	}
	for range b.next(4) {
		p.Roles = append(p.Roles, Role{Need: b.next(5)})
	}
	numbers := []float64{50, 60, 0, -1e9, 1e5, math.NaN(), math.Inf(1), 1e-300, 49.99, 50.01}
	for k := range kids {
		kid := Kid{Label: fmt.Sprint(k), Untested: b.next(4) == 1, Grade: b.next(4), Returning: []string{"", "x", "y"}[b.next(3)]}
		for range measures {
			i := b.next(40)
			if i >= len(numbers) {
				kid.Scores = append(kid.Scores, float64(30+i+b.next(256)/16))
			} else {
				kid.Scores = append(kid.Scores, numbers[i])
			}
		}
		if b.next(3) == 1 {
			kid.Errors = make([]float64, measures)
			for j := range kid.Errors {
				kid.Errors[j] = float64(b.next(20))
			}
		}
		if b.next(5) == 1 {
			for range teams {
				kid.Teams = append(kid.Teams, b.next(2) == 1)
			}
		}
		if b.next(5) == 1 {
			for range p.Roles {
				kid.Plays = append(kid.Plays, b.next(2) == 1)
			}
		}
		p.Kids = append(p.Kids, kid)
	}
	list := func() []int {
		var kids []int
		for range b.next(4) {
			kids = append(kids, b.next(len(p.Kids)+1))
		}
		return kids
	}
	for range b.next(4) {
		p.Siblings = append(p.Siblings, list())
	}
	for range b.next(4) {
		p.Carpools = append(p.Carpools, list())
	}
	for range b.next(6) {
		p.Fixed = append(p.Fixed, Fixed{Kid: b.next(len(p.Kids) + 1), Team: b.next(teams + 1)})
	}
	for range b.next(6) {
		p.Apart = append(p.Apart, [2]int{b.next(len(p.Kids) + 1), b.next(len(p.Kids) + 1)})
	}
	p.MaxReturning = b.next(4)
	return p
}

// FuzzDraft gives any pool to everything there is: no panic, and what comes out keeps the rules.
func FuzzDraft(f *testing.F) {
	f.Add([]byte("fifty kids and a coach walk onto a field, and every one of them wants to play deep"))
	f.Add([]byte{100, 100, 100, 100, 10, 3, 12, 1, 100, 0, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		b := bytesPool(data)
		p := b.pool()
		// Proofs take the longest by far, and much longer with a fuzzer's counters in them; whatever is cut off has to keep the rules too.
		ctx, cancel := context.WithTimeout(background, time.Second)
		defer cancel()
		r, err := Draft(ctx, p, Settings{Seed: uint64(b.next(256))})
		if err != nil {
			require.Error(t, p.Validate())
			return
		}
		if r.Split == nil {
			require.Contains(t, []Status{Infeasible, Unsettled}, r.Status)
			if r.Status == Infeasible {
				_, err = NewBoard(background, p, nil)
				var c *ConflictError
				require.True(t, errors.As(err, &c))
			}
			return
		}
		require.Empty(t, Check(p, r.Split))
		require.False(t, math.IsNaN(r.Balance.Objective) || math.IsInf(r.Balance.Objective, 0))
		require.LessOrEqual(t, r.Bound, r.Balance.Objective*(1+1e-9)+1e-9)
		p.Noise(r.Split)
		s := append(Split(nil), r.Split...)
		s[b.next(len(s))] = Unplaced
		pl, err := Place(ctx, p, s, b.next(3))
		require.NoError(t, err)
		for _, o := range pl.Options {
			require.Empty(t, Check(p, o.Split))
		}
		_, err = Swap(ctx, p, r.Split, []Move{{b.next(len(s)), b.next(len(p.Teams))}})
		require.NoError(t, err)
		_, err = Prices(ctx, p, r.Split, Settings{})
		require.NoError(t, err)
		board, err := NewBoard(background, p, nil) // what it allows must not depend on a clock
		require.NoError(t, err)
		for range 5 {
			board.Pick(background, b.next(len(p.Teams)), b.next(len(s)))
			if legal := board.Legal(background); len(legal) > 0 {
				_, why := board.Pick(background, board.Turn().Team, legal[b.next(len(legal))])
				require.Nil(t, why)
			}
		}
	})
}
