package season

import (
	"math"
	"slices"
)

// Jain is Jain's index of fairness, (sum x)^2 / (n * sum x^2), from 1/n (one has all) to 1 (all have the same); NaN for
// no numbers or nothing but zeros. Jain, Chiu and Hawe 1984, A quantitative measure of fairness and discrimination for resource
// allocation in shared computer systems, DEC Research Report TR-301.
func Jain(x []float64) float64 {
	sum, squares := 0.0, 0.0
	for _, v := range x {
		sum += v
		squares += v * v
	}
	if squares == 0 {
		return math.NaN()
	}
	return sum * sum / (float64(len(x)) * squares)
}

// Gini is Gini's index of inequality, sum (2i - n - 1) x_(i) / (n^2 * mean) with x in ascending order and i from 1: from 0 (all have the same)
// to (n-1)/n (one has all); NaN for no numbers or nothing but zeros. Numbers are 0 or more. Damgaard and Weiner 2000, Describing
// inequality in plant size or fecundity, Ecology 81, 1139-1142.
func Gini(x []float64) float64 {
	sorted := slices.Sorted(slices.Values(x))
	n, sum, weighed := float64(len(x)), 0.0, 0.0
	for i, v := range sorted {
		sum += v
		weighed += (2*float64(i+1) - n - 1) * v
	}
	if sum == 0 {
		return math.NaN()
	}
	return weighed / (n * sum)
}
