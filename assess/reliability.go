package assess

import "math"

// SpearmanBrown is the reliability of the mean of k trials (k > 0) when one trial has reliability r:
// k r / (1 + (k-1) r) (Spearman 1910, Brown 1910, British Journal of Psychology 3).
func SpearmanBrown(r, k float64) float64 { return k * r / (1 + (k-1)*r) }

// mostTrials is where a station stops being practical: common practice, no source.
const mostTrials = 99

// TrialsFor is Spearman-Brown solved for k: the fewest trials whose mean reaches the reliability
// target (0 to 1), when one trial has reliability r. It is 0 if no practical number does.
func TrialsFor(target, r float64) int {
	if !(r > 0) || !(target < 1) {
		return 0
	}
	if r >= 1 {
		return 1
	}
	k := target * (1 - r) / (r * (1 - target))
	if k > mostTrials {
		return 0
	}
	return max(1, int(math.Ceil(k-1e-9))) // 4 trials at 0.5 must not become 5 by rounding
}

// MDC is the minimal detectable change, in the unit of sem: 1.96 √2 SEM (Weir 2005, p. 238). A kid's
// two single trials that differ by less may differ by measurement error alone.
func MDC(sem float64) float64 { return 1.96 * math.Sqrt2 * sem }

// kelley is the regressed estimate of a true score: mean + reliability (x - mean) (Kelley 1947). With
// the reliability of a kid's mean it is the BLUP.
func kelley(mean, reliability, x float64) float64 { return mean + reliability*(x-mean) }

// kelleyVariance is the squared standard error of kelley's estimate around the true score, given the
// true scores' variance: between (1 - reliability). With the SD of observed scores it reads
// SD² r (1-r) (Dudek 1979, Psychological Bulletin 86:335-337).
func kelleyVariance(between, reliability float64) float64 { return between * (1 - reliability) }
