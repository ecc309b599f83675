package assess

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// close6 is the tolerance of values given with seven digits.
const close6 = 1e-6

// Shrout and Fleiss 1979, Psychological Bulletin 86:420-428, table 2: six targets by four judges.
var shroutFleiss = [][]float64{
	{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7},
}

// The paper prints .17 .29 .71 .44 .62 .91; the further digits and the intervals are those of R's
// psych::ICC (2.2.9) on the same data.
func TestICCsOfShroutAndFleiss(t *testing.T) {
	a, ok := NewTwoWay(shroutFleiss)
	require.True(t, ok)
	assert.InDelta(t, 11.241667, a.MSRows, close6)
	assert.InDelta(t, 32.486111, a.MSColumns, close6)
	assert.InDelta(t, 1.019444, a.MSResidual, close6)
	assert.InDelta(t, 6.263889, a.MSWithin, close6)
	checkICCs(t, a, []ICC{
		{"(1,1)", .1657418, -.1329323, .7225601},
		{"(2,1)", .2897638, .0187865, .7610844},
		{"(3,1)", .7148407, .3424648, .9458583},
		{"(1,k)", .4427971, -.8844422, .9124154},
		{"(2,k)", .6200505, .0711368, .9272320},
		{"(3,k)", .9093155, .6756747, .9858917},
	})
	one := NewOneWay(shroutFleiss)
	assert.InDelta(t, .1657418, one.Reliability(1), close6)
	assert.InDelta(t, .4427971, one.Reliability(4), close6)
	low, high := iccInterval(one.MSBetween/one.MSWithin, 5, 18, one.N0)
	assert.InDelta(t, -.1329323, low, close6)
	assert.InDelta(t, .7225601, high, close6)
}

func checkICCs(t *testing.T, a TwoWay, want []ICC) {
	t.Helper()
	got := a.ICCs()
	require.Len(t, got, len(want))
	for i, w := range want {
		assert.Equal(t, w.Form, got[i].Form)
		assert.InDelta(t, w.Value, got[i].Value, close6, w.Form)
		assert.InDelta(t, w.Low, got[i].Low, close6, w.Form)
		assert.InDelta(t, w.High, got[i].High, close6, w.Form)
	}
}

// Weir 2005, Journal of Strength and Conditioning Research 19:231-240, data set A: eight people, two
// trials. The paper prints SEM 7.6 (root of the error mean square); ICCs and their intervals are those
// of R's psych::ICC.
func TestWeirSetA(t *testing.T) {
	first := []float64{146, 148, 170, 90, 157, 156, 176, 205}
	second := []float64{140, 152, 152, 99, 145, 153, 167, 218}
	table := make([][]float64, 8)
	for i := range table {
		table[i] = []float64{first[i], second[i]}
	}
	a, ok := NewTwoWay(table)
	require.True(t, ok)
	assert.InDelta(t, 2098.535714, a.MSRows, close6)
	assert.InDelta(t, 30.25, a.MSColumns, close6)
	assert.InDelta(t, 57.107143, a.MSResidual, close6)
	assert.InDelta(t, 53.75, a.MSWithin, close6)
	sem := math.Sqrt(a.MSResidual)
	assert.InDelta(t, 7.6, sem, 0.05)
	assert.InDelta(t, 7.556927, sem, close6)
	assert.InDelta(t, 20.946732, MDC(sem), close6) // recomputed; about 21 in the paper, from memory
	checkICCs(t, a, []ICC{
		{"(1,1)", .9500531, .7921299, .9895986},
		{"(2,1)", .9499751, .7869585, .9896369},
		{"(3,1)", .9470161, .7606785, .9891628},
		{"(1,k)", .9743869, .8840095, .9947721},
		{"(2,k)", .9743459, .8807798, .9947915},
		{"(3,k)", .9727871, .8640743, .9945519},
	})
}

// Hopkins 2000, Sports Medicine 30:1-15: typical error 2.9 of five people's two trials (SD of the
// differences over root 2; 2.889637 recomputed).
func TestTypicalErrorOfHopkins(t *testing.T) {
	a, ok := NewTwoWay([][]float64{{62, 67}, {78, 76}, {81, 87}, {55, 55}, {66, 63}})
	require.True(t, ok)
	assert.InDelta(t, 2.889637, math.Sqrt(a.MSResidual), close6)
}

// Bland and Altman 1996, BMJ 312:1654 (corrected 313:744), table 1: four peak flow readings of 20
// children. The last four rows and the printed 21.5 are from memory; the rest is recomputed.
func TestWithinSubjectSDOfBlandAndAltman(t *testing.T) {
	a := NewOneWay([][]float64{
		{190, 220, 200, 200}, {220, 200, 240, 230}, {260, 260, 240, 280}, {210, 300, 280, 265}, {270, 265, 280, 270},
		{280, 280, 270, 275}, {260, 280, 280, 300}, {275, 275, 275, 305}, {280, 290, 300, 290}, {320, 290, 300, 290},
		{300, 300, 310, 300}, {270, 250, 330, 370}, {320, 330, 330, 330}, {335, 320, 335, 375}, {350, 320, 340, 365},
		{360, 320, 350, 345}, {330, 340, 380, 390}, {335, 385, 360, 370}, {400, 420, 425, 420}, {430, 460, 480, 470},
	})
	assert.InDelta(t, 15016.7599, a.MSBetween, 1e-4)
	assert.InDelta(t, 21.459749, math.Sqrt(a.Within), close6)
	assert.InDelta(t, 59.483390, MDC(math.Sqrt(a.Within)), close6)
	assert.InDelta(t, .8876664, a.Reliability(1), close6)
}

// Davies and Goldsmith 1972, Statistical Methods in Research and Production: yield of six batches of
// dyestuff. Components and BLUPs are those of R's lme4 1.1-31, lmer(REML = TRUE), on its data set Dyestuff.
func TestDyestuff(t *testing.T) {
	a := NewOneWay([][]float64{
		{1545, 1440, 1440, 1520, 1580}, {1540, 1555, 1490, 1560, 1495}, {1595, 1550, 1605, 1510, 1560},
		{1445, 1440, 1595, 1465, 1545}, {1595, 1630, 1515, 1635, 1625}, {1520, 1455, 1450, 1480, 1445},
	})
	assert.InDelta(t, 1527.5, a.Mean, close6)
	assert.InDelta(t, 1764.05, a.Between, 1e-4) // REML stops at 1764.050006
	assert.InDelta(t, 2451.25, a.Within, close6)
	assert.InDelta(t, 5, a.N0, close6)
	means := []float64{1505, 1528, 1564, 1498, 1600, 1470}
	blups := []float64{-17.6068513669, .3912633637, 28.5622255507, -23.0845384588, 56.7331877377, -44.9952868265}
	for i, m := range means {
		assert.InDelta(t, blups[i], kelley(a.Mean, a.Reliability(5), m)-a.Mean, close6)
	}
}

// Box and Tiao 1973, Bayesian Inference in Statistical Analysis, chapter 5: made so that the between
// component comes out negative. Values of lme4 on its data set Dyestuff2.
func TestDyestuff2(t *testing.T) {
	a := NewOneWay([][]float64{
		{7.298, 3.846, 2.434, 9.566, 7.99}, {5.22, 6.556, .608, 11.788, -.892}, {.11, 10.386, 13.434, 5.51, 8.166},
		{2.212, 4.852, 7.092, 9.288, 4.98}, {.282, 9.014, 4.458, 9.446, 7.198}, {1.722, 4.782, 8.106, .758, 3.758},
	})
	assert.Less(t, a.MSBetween, a.MSWithin)
	assert.Zero(t, a.Between)
	assert.Zero(t, a.Reliability(5))
	assert.InDelta(t, 5.6656, a.Mean, close6)
	// lmer at the boundary pools both sums of squares: 13.80630963 = (SSB + SSW)/29.
	assert.InDelta(t, 13.80630963, (5*a.MSBetween+24*a.MSWithin)/29, close6)
}

// Unbalanced: n0 and components worked by hand. Kids (1,3), (5), (2,4,6): means 2, 5, 4, grand 3.5;
// SSB = 2*2.25 + 2.25 + 3*.25 = 7.5 on 2, SSW = 2 + 8 = 10 on 3, n0 = (6 - 14/6)/2 = 11/6.
func TestUnbalancedByHand(t *testing.T) {
	a := NewOneWay([][]float64{{1, 3}, {5}, nil, {2, 4, 6}})
	assert.Equal(t, 3, a.Kids)
	assert.InDelta(t, 11.0/6, a.N0, 1e-12)
	assert.InDelta(t, 3.75, a.MSBetween, 1e-12)
	assert.InDelta(t, 10.0/3, a.Within, 1e-12)
	assert.InDelta(t, (3.75-10.0/3)/(11.0/6), a.Between, 1e-12)
}

// Spearman-Brown: r .6 doubled is .75; .7 needs 3.857 times the length for .9 (examples of R's CTT
// and psychometric packages).
func TestSpearmanBrown(t *testing.T) {
	for _, c := range []struct{ r, k, want float64 }{
		{.6, 2, .75}, {.7, 3.857143, .9}, {.5, 4, .8}, {.7, .5, .5384615}, {.7, 2, .8235294}, {.8, 3, .9230769},
		{.1657418, 4, .4427971}, {.2897638, 4, .6200505}, {.7148407, 4, .9093155},
	} {
		assert.InDelta(t, c.want, SpearmanBrown(c.r, c.k), close6)
	}
	assert.Equal(t, 4, TrialsFor(.9, .7)) // 3.857
	assert.Equal(t, 4, TrialsFor(.8, .5))
	assert.Equal(t, 1, TrialsFor(.8, .8))
	assert.Equal(t, 2, TrialsFor(.8, .799))
	assert.Equal(t, 1, TrialsFor(.8, 1))
	assert.Zero(t, TrialsFor(.8, 0))
	assert.Zero(t, TrialsFor(.8, .01))
	assert.Zero(t, TrialsFor(.8, math.NaN()))
}

// Kelley's estimate and its errors: mean 500, SD 100, reliability .9 (the example of R's psychometric
// package; formulas in Dudek 1979, Psychological Bulletin 86:335-337); the second by hand.
func TestKelley(t *testing.T) {
	assert.InDelta(t, 680, kelley(500, .9, 700), 1e-9)
	assert.InDelta(t, 410, kelley(500, .9, 400), 1e-9)
	estimation := math.Sqrt(kelleyVariance(.9*100*100, .9))
	assert.InDelta(t, 30, estimation, 1e-9)
	assert.InDelta(t, 621.2011, 680-1.959964*estimation, 1e-4)
	assert.InDelta(t, 738.7989, 680+1.959964*estimation, 1e-4)
	assert.InDelta(t, 95.4, kelley(105, .48, 85), 1e-9)
	assert.InDelta(t, 124.2, kelley(105, .48, 145), 1e-9)
}

// Mean and SD of T-scores: their percentiles are those of the normal table; T 60 leaves 84.13 % behind.
func TestPercentile(t *testing.T) {
	for at, want := range map[float64]float64{
		20: .1350, 25: .6210, 30: 2.2750, 35: 6.6807, 40: 15.8655, 45: 30.8538, 50: 50,
		55: 69.1462, 60: 84.1345, 65: 93.3193, 70: 97.7250, 75: 99.3790, 80: 99.8650,
	} {
		assert.InDelta(t, want, 100*distuv.UnitNormal.CDF((at-mid)/spread), 5.1e-5)
	}
}

// MAD: R's help for mad (1:9 gives 2.9652 with the constant 1.4826; c(1:8, 100) gives 2 without), and the copper
// values of Analytical Methods Committee 1989, Analyst 114:1693 (median 3.385, MAD .526323 rescaled).
func TestMAD(t *testing.T) {
	assert.InDelta(t, 2.9652, 1.4826*MAD([]float64{1, 2, 3, 4, 5, 6, 7, 8, 9}), 1e-9)
	assert.InDelta(t, 2, MAD([]float64{1, 2, 3, 4, 5, 6, 7, 8, 100}), 1e-9)
	copper := []float64{2.20, 2.20, 2.40, 2.40, 2.50, 2.70, 2.80, 2.90, 3.03, 3.03, 3.10, 3.37,
		3.40, 3.40, 3.40, 3.50, 3.60, 3.70, 3.70, 3.70, 3.70, 3.77, 5.28, 28.95}
	assert.InDelta(t, 3.385, median(copper), 1e-9)
	assert.InDelta(t, .526323, 1.4826*MAD(copper), close6)
	// The rule of 3.5 (Iglewicz and Hoaglin 1993): the last two are odd; 5.28 has 0.6745*1.895/.355 = 3.6005.
	z := ModifiedZ(copper)
	assert.InDelta(t, 0.6744898*(5.28-3.385)/0.355, z[22], 1e-6)
	for i, v := range z {
		assert.Equal(t, i >= 22, math.Abs(v) > oddZ, "value %v", copper[i])
	}
	assert.Equal(t, []float64{0, 0, 0, 0}, ModifiedZ([]float64{1, 1, 1, 9}))
}
