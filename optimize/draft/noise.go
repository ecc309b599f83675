package draft

import (
	"math"
	"slices"
)

// Noise gives by measure what measurement error alone does to the team means, errors of different kids counted as independent.
// The range of independent normal numbers x with standard deviations s has
//
//	E(range) = integral over x of 1 - prod F(x/s) - prod (1 - F(x/s))
//	P(range <= r) = sum over i of integral over x of f(x/s_i)/s_i * prod over j != i of F((x+r)/s_j) - F(x/s_j)
//
// (Tippett 1925 for equal ones; the team with the smallest mean is i), worked out by the trapezoidal rule, which is
// exact to many digits for such functions.
func (p *Pool) Noise(s Split) []Noise {
	noise := make([]Noise, len(p.Measures))
	for j, sds := range p.meanErrors(s) {
		var squares float64
		for _, sd := range sds {
			squares += float64(sd * sd)
		}
		if squares > 0 {
			noise[j] = Noise{SD: math.Sqrt(squares / float64(len(sds))), Range: expectedRange(sds), Range95: rangeQuantile(sds, 0.95)}
		}
	}
	return noise
}

// NoiseRanges gives Range of Noise alone, for a small part of the work.
func (p *Pool) NoiseRanges(s Split) []float64 {
	ranges := make([]float64, len(p.Measures))
	for j, sds := range p.meanErrors(s) {
		if len(sds) > 0 && slices.Max(sds) > 0 {
			ranges[j] = expectedRange(sds)
		}
	}
	return ranges
}

// meanErrors are by measure the standard errors of the means of the teams that have kids.
func (p *Pool) meanErrors(s Split) [][]float64 {
	sds := make([][]float64, len(p.Measures))
	for _, t := range p.Measure(s).Teams {
		for j := range sds {
			if len(t.Kids) > 0 {
				sds[j] = append(sds[j], t.MeanErrors[j])
			}
		}
	}
	return sds
}

// normal is the distribution function of the normal distribution with mean 0.
func normal(x, sd float64) float64 { return 0.5 * math.Erfc(-x/sd/math.Sqrt2) }

// gridPoints is how finely integrals over 8 standard deviations to either side are taken.
const gridPoints = 240

// floorSD keeps standard deviations within reach of the grid: a team without any error counts as having a fifth of the largest.
func floorSD(sds []float64) (floored []float64, top, step float64) {
	top = slices.Max(sds)
	for _, s := range sds {
		floored = append(floored, max(s, top/5))
	}
	top *= 8
	return floored, top, 2 * top / gridPoints
}

func expectedRange(sds []float64) float64 {
	sds, top, step := floorSD(sds)
	var sum float64
	for i := range gridPoints + 1 {
		x := -top + float64(float64(i)*step)
		below, above := 1.0, 1.0
		for _, s := range sds {
			f := normal(x, s)
			below *= f
			above *= 1 - f
		}
		sum += 1 - below - above
	}
	return sum * step
}

// rangeCDF is the probability that the range is at most r.
func rangeCDF(sds []float64, r float64) float64 {
	sds, top, step := floorSD(sds)
	var sum float64
	within := make([]float64, len(sds))   // by team the probability to be between x and x+r
	inside := make([]float64, len(sds)+1) // products of these of the teams from here on
	for i := range gridPoints + 1 {
		x := -top + float64(float64(i)*step)
		inside[len(sds)] = 1
		for j := len(sds) - 1; j >= 0; j-- {
			within[j] = normal(x+r, sds[j]) - normal(x, sds[j])
			inside[j] = inside[j+1] * within[j]
		}
		before := 1.0
		for j, s := range sds {
			z := x / s
			sum += float64(before * inside[j+1] * math.Exp(-z*z/2) / (s * math.Sqrt(2*math.Pi)))
			before *= within[j]
		}
	}
	return sum * step
}

// rangeQuantile is found by halving, to a thousandth.
func rangeQuantile(sds []float64, q float64) float64 {
	low, high := 0.0, 12*slices.Max(sds)
	for high-low > high/1000 {
		mid := (low + high) / 2
		if rangeCDF(sds, mid) < q {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
