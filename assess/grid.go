package assess

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// legendre holds Gauss-Legendre nodes and weights on 0 to 1.
type legendre struct{ at, weight []float64 }

func newLegendre(n int) legendre {
	l := legendre{make([]float64, n), make([]float64, n)}
	quad.Legendre{}.FixedLocations(l.at, l.weight, 0, 1)
	return l
}

// span is a closed range of one parameter.
type span struct{ low, high float64 }

func (s span) width() float64 { return s.high - s.low }

// zoom narrows s to the part where the log density at points even steps comes within depth of the
// largest, widened by a step each way. A narrow peak needs several rounds: each may cut the range
// to two steps.
func zoom(s span, points int, depth float64, logDensity func(x float64) float64) span {
	value := make([]float64, points)
	for range maxZooms {
		step := s.width() / float64(points-1)
		top := math.Inf(-1)
		for i := range value {
			value[i] = logDensity(s.low + float64(i)*step)
			top = math.Max(top, value[i])
		}
		first, last := edges(value, top-depth)
		next := span{
			s.low + float64(max(first-1, 0))*step,
			s.low + float64(min(last+1, points-1))*step,
		}
		if next.width() > s.width()/2 {
			return next
		}
		s = next
	}
	return s
}

const maxZooms = 12

// edges gives the first and the last index with a value of floor at least.
func edges(value []float64, floor float64) (first, last int) {
	first, last = len(value)-1, 0
	for i, v := range value {
		if v >= floor {
			first = min(first, i)
			last = i
		}
	}
	if first > last {
		return 0, len(value) - 1
	}
	return first, last
}

// normalise turns log weights into weights that sum to 1.
func normalise(logWeight []float64) []float64 {
	top := math.Inf(-1)
	for _, l := range logWeight {
		top = math.Max(top, l)
	}
	w := make([]float64, len(logWeight))
	sum := 0.0
	for i, l := range logWeight {
		w[i] = math.Exp(l - top)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// rootBetween finds x in low to high with f(x) = 0 for an f that does not fall: Newton's step where it stays
// inside the bracket, halving where it does not. f returns the value and the slope.
func rootBetween(low, high, start, tolerance float64, f func(x float64) (value, slope float64)) float64 {
	x := math.Min(math.Max(start, low), high)
	for range 100 {
		v, slope := f(x)
		if v == 0 || high-low <= tolerance {
			return x
		}
		if v > 0 {
			high = x
		} else {
			low = x
		}
		next := x - v/slope
		if !(next > low && next < high) { // also where the slope is 0 or not a number
			next = low + (high-low)/2
		}
		if math.Abs(next-x) <= tolerance {
			return next
		}
		x = next
	}
	return x
}
