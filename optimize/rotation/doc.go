// Package rotation plans the series of a game: who plays which role when, with a proof of how good the plan is.
//
// A Problem is one game in whole numbers: kids with the series that they are there for
// (any set of them: presence.go), shares and never-roles, formations (shapes) with the
// value of every kid at every role, rest limits, and the optional rules. Game builds one from T points
// and a coach's wishes. Solve finds the best plan in the order of a Favor; Rebuild the one nearest to an older plan;
// Fresh the best one that is nearest to it; Arrange and Rearrange loosen rules that cannot hold together, or say which changes
// would do; Explain names a smallest set of such rules;
// LargerShares and Player.Owed let earlier games decide who has the larger share where shares are fractions, PayBack what is paid back beside them;
// Grant and Prices solve again to say what a wish costs and a rule is worth; Check tells whether a plan obeys the
// rules, shares no code with the solver, and is run on every plan before it is handed out. WriteMPS writes the same
// problem for any other solver.
//
// # How it is solved
//
// Everything a bound or a proof depends on is an integer, so there is no tolerance anywhere.
//
//   - Columns (columns.go): for every series, all sets of kids that may be on together, each with its best assignment
//     of roles; where a rule links a kid's roles across series, all assignments.
//   - Automata (automaton.go): for every kid, the games that its share, rest, presence and pins allow, as a minimal layered automaton.
//   - Flow (flow.go): the problem without rest is a minimum-cost flow; it bounds the total and starts the prices.
//   - Dual (dual.go): Lagrangean prices tie columns and automata together; any prices give a valid bound, also on what the
//     rest of a game can bring from any state of the kids. Asking for a level drops all columns below it, which
//     makes the bound on the weakest series sharp.
//   - Search (search.go): series by series, with exact memo keys, the excess budget (every series to come must reach the level
//     too), Hall's condition on stretches of the game (headroom.go), and a look at who has to be on in the next series (forced.go).
//   - Ends (ends.go): the same backward, so that the search meets a list of ends of games half-way.
//   - Order-free search (multiset.go): which lineups how often, then an order; it wins when rest is loose.
//   - Questions (question.go): "is there a plan with every series at least at w and a total of at least T?" is put to two of these; they run
//     in rounds counted in nodes, on two processors where there are two.
//   - Local search (local.go, cells.go): exchanges of turns; gives good plans early, and is all there is past the reach of the exact method.
//   - Drivers (driver.go, even.go, rebuild.go) ask the questions in the order of the objectives.
//
// # What to rely on
//
// A result that is Proven does not depend on speed, processors or machine: the same problem and seed give the same plan, and
// so does the build for WebAssembly. One that was stopped by the limit may differ from run to run, and its bounds are certified all the same.
//
// The exact method reaches up to 16 kids, 30 series, 12 spots and 120,000 lineups in a series; beyond, up to MaxKids and
// MaxSeries, plans come from local search and carry the flow's bound. A search keeps at most 128 MiB of memo, and a question has
// two of them; two questions may be under way at once. The ends that a question lists take up to about 250 MiB; columns, prices and
// the look ahead need some 20 MiB more.
//
// References: Held and Karp 1971 (Lagrangean bounds); Bard and Purnomo 2007, J. Scheduling 10 (the same for rosters);
// Koenig 1916 (edge colouring, why the flow's bound is attained without rest); Ogryczak and Sliwinski 2006 (lexicographic
// max-min); Chinneck 2008 (deletion filter); Bertsekas and Gallager 1992, section 6.5.2 (max-min fair shares).
package rotation
