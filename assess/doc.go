// Package assess turns the trials of an evaluation night into profiles with error bars.
//
// The way from a trial to a number, in order:
//
//	trials -> a drill's pool -> each kid's true result (drill's unit) -> T-score -> traits -> role fits
//
// Two kinds of estimate live side by side. The reliability report of a drill uses the textbook's
// plug-in values: one-way random-effects analysis of variance for timed and rated drills, a fitted
// beta-binomial for counted ones. The kids' results, T-scores and intervals come from the same two
// models averaged over their unknown reliability, because in a pool of seven kids plug-in values
// make the error bars far too short (Morris 1983, JASA 78:47-55).
//
// Every score is a T-score in the pool being compared: mean 50, SD 10, higher is better. Times are
// negated inside, so that higher is better there too.
//
// References
//
//   - Box, Tiao 1973: Bayesian Inference in Statistical Analysis, chapter 5 (the averaged model).
//   - Iglewicz, Hoaglin 1993: How to Detect and Handle Outliers (modified z-score, 3.5).
//   - Kelley 1947: Fundamentals of Statistics (regression towards the mean).
//   - McGraw, Wong 1996: Psychological Methods 1:30-46 (ICCs and their intervals).
//   - Searle, Casella, McCulloch 1992: Variance Components (unbalanced one-way layout).
//   - Shrout, Fleiss 1979: Psychological Bulletin 86:420-428 (the six ICCs).
//   - Weir 2005: Journal of Strength and Conditioning Research 19:231-240 (SEM, MDC).
package assess
