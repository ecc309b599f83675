package assess

import (
	"cmp"
	"math"
	"slices"

	"sevenyard/drills"
)

// time scores a timed or rated drill: the plug-in report, then the averaged model.
func (p *pool) time(m *measured, d *drills.Drill, ts []trial) {
	sign := 1.0 // inside, higher is better
	if d.Kind == drills.Timed {
		sign = -1
	}
	values := make([][]float64, len(p.ids))
	for _, t := range ts {
		values[t.kid] = append(values[t.kid], sign*t.Value)
		m.results[t.kid].Trials++
	}
	for _, v := range values {
		slices.Sort(v)
	}
	low, high := bounds(values)
	reportTimed(m, d, values, sign)
	if alike(low, high) {
		center := sign * low
		p.guess(m, d, &center)
		m.warn("all trials gave the same value, so it tells no kid from another; everybody is 50 with a standard error of 10")
		return
	}
	step := 0.0 // a stopwatch is read finely enough
	if d.Kind == drills.Rated {
		step = 1
	}
	model := newTimed(values, d.Reliability, step)
	for k, v := range values {
		y := 0.0
		if len(v) > 0 {
			y = (meanOf(v) - model.origin) / model.scale
		}
		post := model.kid(len(v), y)
		m.results[k].set(post, model.origin, model.scale, sign)
		if model.sdKid > 0 && m.report.Kids > 1 {
			m.scores[k].T = mid + spread*(post.mean-model.mean)/model.sdKid
			m.scores[k].SE = spread * post.sd / model.sdKid
		}
	}
	switch {
	case m.report.Kids == 1:
		m.warn("only one kid was tested, so there is nothing to compare with; everybody is 50 with a standard error of 10")
	case model.sdKid == 0:
		m.warn("fewer than four trials in all say too little; everybody is 50 with a standard error of 10")
	case m.report.SDKid == 0:
		m.warn("the kids differ no more than the trials of one kid do; more trials would help, and until then take the scores as guesses")
	}
}

// set puts a posterior into the drill's unit.
func (r *Result) set(p posterior, origin, scale, sign float64) {
	r.Estimate = sign * (origin + scale*p.mean)
	r.SE = scale * p.sd
	a, b := sign*(origin+scale*p.low), sign*(origin+scale*p.high)
	r.Low, r.High = math.Min(a, b), math.Max(a, b)
}

// reportTimed fills in the plug-in values. values are signed.
func reportTimed(m *measured, d *drills.Drill, values [][]float64, sign float64) {
	a := NewOneWay(values)
	r := &m.report
	r.Assumed = a.Trials == a.Kids
	a = a.assume(math.Max(0, math.Min(d.Reliability, 1)))
	r.Mean = sign * a.Mean
	r.SDKid, r.SDTrial = math.Sqrt(a.Between), math.Sqrt(a.Within)
	r.ICC1, r.ICCMean = a.Reliability(1), a.Reliability(float64(usual(values)))
	r.ICC1Low, r.ICC1High = iccInterval(ratio(a.MSBetween, a.MSWithin), float64(a.Kids-1), float64(a.Trials-a.Kids), a.N0)
	r.SEM, r.MDC = r.SDTrial, MDC(r.SDTrial)
	r.TrialsFor80 = TrialsFor(0.8, r.ICC1)
	if a.Kids < 2 {
		r.ICC1Low, r.ICC1High = 0, 1
	}
}

// ratio is a/b, 0 if both are 0.
func ratio(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	return a / b
}

// usual is the number of trials that most tested kids have, the larger one if two are as frequent.
func usual(values [][]float64) int {
	var n []int
	for _, v := range values {
		if len(v) > 0 {
			n = append(n, len(v))
		}
	}
	return mostFrequent(n)
}

// mostFrequent value of n, the largest of several; 0 if n is empty.
func mostFrequent(n []int) int {
	slices.SortFunc(n, func(a, b int) int { return cmp.Compare(b, a) })
	best, most, run := 0, 0, 0
	for i, v := range n {
		if i > 0 && v == n[i-1] {
			run++
		} else {
			run = 1
		}
		if run > most {
			best, most = v, run
		}
	}
	return best
}
