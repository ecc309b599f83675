package assess

import "math"

// Standing is how a score stands to the middle of the pool, as far as its error lets one say.
type Standing int

// The standings, from the best down.
const (
	ClearlyAbove Standing = iota
	LikelyAbove
	TooCloseToSay // within one standard error of the middle, or not known at all
	LikelyBelow
	ClearlyBelow
	Untested
)

// Standing compares the score with the pool's mean of 50: beyond one standard error it likely differs, beyond two clearly. Of a
// normal distribution 68.27 % lie within one and 95.45 % within two standard deviations of the mean, so that a score at the
// border has the middle outside its 68 or 95 % interval.
func (s Score) Standing() Standing {
	if !s.Tested {
		return Untested
	}
	switch z := s.apart(); {
	case z >= 2:
		return ClearlyAbove
	case z >= 1:
		return LikelyAbove
	case z <= -2:
		return ClearlyBelow
	case z <= -1:
		return LikelyBelow
	}
	return TooCloseToSay
}

// apart is the distance to the middle in standard errors; 0 where there is none to speak of.
func (s Score) apart() float64 {
	d := s.T - mid
	if d == 0 || !(s.SE > 0) {
		if d != 0 && s.SE == 0 {
			return math.Inf(int(math.Copysign(1, d)))
		}
		return 0
	}
	return d / s.SE
}

// Practise picks what to practise first: the score furthest below the middle in terms of its error, and any other one below
// the middle that is too close to call with it. It gives places in the list, in its order; none where no score
// lies below the middle by more than its error.
func Practise(scores []Score) []int {
	worst := -1
	for i, s := range scores {
		if st := s.Standing(); st != LikelyBelow && st != ClearlyBelow {
			continue
		}
		if worst < 0 || s.apart() < scores[worst].apart() {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	var out []int
	for i, s := range scores {
		st := s.Standing()
		if i == worst || (st == LikelyBelow || st == ClearlyBelow) && TooClose(s, scores[worst]) {
			out = append(out, i)
		}
	}
	return out
}
