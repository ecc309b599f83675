package assess

import (
	"math"

	"sevenyard/drills"
)

// count scores a counted drill: the plug-in report, then the averaged model. A kid's trials are one
// run of attempts.
func (p *pool) count(m *measured, d *drills.Drill, ts []trial) {
	counts := make([]Count, len(p.ids))
	for _, t := range ts {
		counts[t.kid].Successes += t.Value
		counts[t.kid].Attempts += float64(t.Attempts)
		m.results[t.kid].Trials += t.Attempts
	}
	reportCounted(m, counts, ts)
	model := newCounted(counts, d.Reliability)
	same := allSame(counts)
	for k, c := range counts {
		post := model.kid(c)
		m.results[k].set(post, 0, 1, 1)
		if !same && m.report.Kids > 1 {
			m.scores[k].T = mid + spread*(post.mean-model.mean)/model.sdKid
			m.scores[k].SE = spread * post.sd / model.sdKid
		}
	}
	switch {
	case m.report.Kids == 1:
		m.warn("only one kid was tested, so there is nothing to compare with; everybody is 50 with a standard error of 10")
	case same:
		m.warn("all kids have the same count, so it tells no kid from another; everybody is 50 with a standard error of 10")
	case m.report.SDKid == 0:
		m.warn("the kids differ no more than luck alone makes them; more attempts would help, and until then take the scores as guesses")
	}
}

// allSame tells whether all tested kids have the same share of successes.
func allSame(counts []Count) bool {
	var first Count
	for _, c := range counts {
		if c.Attempts == 0 {
			continue
		}
		if first.Attempts == 0 {
			first = c
		}
		if c.Successes*first.Attempts != first.Successes*c.Attempts {
			return false
		}
	}
	return true
}

// reportCounted fills in the plug-in values, as shares of attempts.
func reportCounted(m *measured, counts []Count, ts []trial) {
	r := &m.report
	fit := FitBetaBinomial(counts)
	r.Alpha, r.Beta = fit.Alpha, fit.Beta
	var x, n float64
	var perKid, perTrial []int
	for k, c := range counts {
		x += c.Successes
		n += c.Attempts
		if c.Attempts > 0 {
			perKid = append(perKid, m.results[k].Trials)
		}
	}
	for _, t := range ts {
		perTrial = append(perTrial, t.Attempts)
	}
	one, all := float64(mostFrequent(perTrial)), float64(mostFrequent(perKid))
	r.Mean = x / n
	r.SDKid = fit.SDKid()
	r.SDTrial = math.Sqrt(r.Mean * (1 - r.Mean) / one)
	if fit.Alpha > 0 {
		r.Mean = fit.Alpha / (fit.Alpha + fit.Beta)
		r.SDTrial = fit.SEM(one)
	}
	r.SEM, r.MDC = r.SDTrial, MDC(r.SDTrial)
	r.ICC1, r.ICCMean = fit.Reliability(one), fit.Reliability(all)
	r.TrialsFor80 = TrialsFor(0.8, r.ICC1)
}
