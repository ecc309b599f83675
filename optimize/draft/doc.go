// Package draft splits a pool of kids into even teams that keep hard rules, and prices every change to them.
//
// A Pool is kids with scores and standard errors, teams, and rules: siblings together, kids settled on a team, kids kept apart, teams a
// kid can be on, a limit of kids from the same old team; team sizes differ by at most 1. Draft makes teams, Snake and Random make what to compare them
// with, Measure and Noise say how even teams are and how much of that anybody can tell, Explain names a smallest set of rules that conflict, Swap, Place
// and Prices price trades, late registrations and kids who left, and carpools, Draw draws coaches to teams, and a Board is a live snake. Check tells
// whether a split keeps the rules, shares no code with the search, and is run on everything that is handed out.
//
// # The objective
//
// Fewest role spots that teams cannot fill from their own kids come first (Balance.Shortage: spots less the largest matching, by team). Then
//
//	J = sum over quantities q of w_q * sum over teams t of (S_tq - n_t m_q)^2 / (n_t v_q)  +  w_car * (cars too many)
//
// where S_tq is the sum of the quantity over the team, n_t the team's size, m_q and v_q the pool's mean and variance (divisor kids): the between-team
// sum of squares of standardised values, 0 where all team means are equal. The quantities are the measures; whether a kid is untested, and whether
// returning; the squared standard error of the overall score, so that no team is handed all the question marks; and, for each grade, whether a kid is
// in it (their squares are added up and divided by the sum of the grades' variances, so that grades weigh like one measure). A measure with
// weight 1 in which one team of n kids is d standard deviations off costs about n d^2. A carpool whose kids are on c teams costs c - 1 cars.
//
// # How it is solved
//
// Scores are rounded to whole steps once; from there on every decision is made in whole numbers, so the same pool, seed and effort give the same
// teams on every machine and with any number of processors, and the order of kids changes nothing. The only floating point is in reports.
//
//   - Units (model.go): kids who stay together are one unit, settled ones have one team. The products of all pairs of units are kept in a table
//     (Gram matrix), and for every unit and team their sum (state.go), so that a move is priced by a few look-ups whatever the number of quantities.
//   - Some split (snake.go, mend.go, complete.go, flow.go): a snake draft that keeps the rules; where it gets stuck, units are put in and those in their way
//     taken out; where that fails, an exact search puts families and kids with somebody to avoid on teams, with a maximum flow for the rest.
//   - Annealing (anneal.go), briefly, then resplits (resplit.go): the kids of two teams are shared anew in the best way there is, by meeting in the
//     middle (Horowitz and Sahni 1974); then kicks (kick.go): three teams are shaken, resplit pair by pair, and kept if better.
//   - More effort begins with all that less effort does, and any seed with the usual one (effort.go): neither ever gives a worse split.
//   - Small pools (exact.go) are searched to the end, and only then, or where a certified bound (bound.go) is met, a split is called proven.
//   - Conflicts (explain.go): a deletion filter over the rules, with a count that shows the conflict where there is one.
//
// Reach: up to MaxKids kids and MaxTeams teams. Proven splits come out up to about 20 kids on 2 teams or 16 on 3 or 4, more with many rules.
//
// References: Kirkpatrick, Gelatt and Vecchi 1983 (annealing); Horowitz and Sahni 1974, J. ACM 21 (meeting in the middle); Dinic 1970 (maximum flow);
// Hall 1935 and Ore 1955 (systems of representatives and what they lack); Chinneck 2008 (deletion filter); Tippett 1925 (ranges of normal samples);
// Fisher and Yates 1938, Durstenfeld 1964 (shuffling).
package draft
