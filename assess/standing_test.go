package assess

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

func TestStandingGoesByTheError(t *testing.T) {
	for _, c := range []struct {
		s    Score
		want Standing
	}{
		{Score{T: 59, SE: 4, Tested: true}, ClearlyAbove},
		{Score{T: 58, SE: 4, Tested: true}, ClearlyAbove},
		{Score{T: 57.9, SE: 4, Tested: true}, LikelyAbove},
		{Score{T: 54, SE: 4, Tested: true}, LikelyAbove},
		{Score{T: 53.9, SE: 4, Tested: true}, TooCloseToSay},
		{Score{T: 46.1, SE: 4, Tested: true}, TooCloseToSay},
		{Score{T: 46, SE: 4, Tested: true}, LikelyBelow},
		{Score{T: 42, SE: 4, Tested: true}, ClearlyBelow},
		{Score{T: 59, SE: 10, Tested: true}, TooCloseToSay}, // the same score, less surely
		{Score{T: 42, SE: 4}, Untested},
		{Score{T: 50, SE: 0, Tested: true, Own: true}, TooCloseToSay},
		{Score{T: 51, SE: 0, Tested: true, Own: true}, ClearlyAbove},
		{Score{T: 49, SE: 0, Tested: true, Own: true}, ClearlyBelow},
	} {
		require.Equal(t, c.want, c.s.Standing(), "%+v", c.s)
	}
}

// The borders are those of the 68-95 rule (any table of the standard normal distribution).
func TestStandingBordersAreTheUsualIntervals(t *testing.T) {
	n := distuv.UnitNormal
	require.InDelta(t, 0.6827, n.CDF(1)-n.CDF(-1), 5e-5)
	require.InDelta(t, 0.9545, n.CDF(2)-n.CDF(-2), 5e-5)
}

func TestPractiseIsHonest(t *testing.T) {
	s := func(t, se float64) Score { return Score{T: t, SE: se, Tested: true} }
	require.Empty(t, Practise(nil))
	require.Empty(t, Practise([]Score{s(47, 4), s(55, 4), {T: 30, SE: 4}}), "an untested score says nothing")
	require.Equal(t, []int{1}, Practise([]Score{s(47, 4), s(40, 3), s(55, 4)}))
	require.Equal(t, []int{1}, Practise([]Score{s(41, 10), s(42, 2)}), "the surer one, though the other is lower: that may be noise")
	require.Equal(t, []int{0, 2}, Practise([]Score{s(41, 4), s(50, 4), s(43, 4)}), "too close to say which of the two")
	require.Equal(t, []int{0}, Practise([]Score{s(35, 2), s(50, 4), s(44, 2)}))
	require.Empty(t, Practise([]Score{s(math.NaN(), 4), s(50, 0)}))
}
