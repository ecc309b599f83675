package rotation

import (
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// raceOn tells whether the measurements that take minutes are asked for. They print tables and assert only what
// is right or wrong, never a time.
func raceOn() bool { return os.Getenv("SEVENYARD_RACE") == "1" }

// raceLimit is how long a peer may take for one game.
func raceLimit(t testing.TB) time.Duration {
	text := os.Getenv("SEVENYARD_RACE_SECONDS")
	if text == "" {
		return time.Minute
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err, "SEVENYARD_RACE_SECONDS")
	require.Positive(t, n, "SEVENYARD_RACE_SECONDS")
	return time.Duration(n) * time.Second
}

// lap is what one solver made of one game.
type lap struct {
	spent  time.Duration
	proved bool
	plan   Plan
}

// TestRace gives the benchmark games to this solver and to HiGHS, one after the other in one run on one machine, the weakest
// series first and then the total, and prints who took how long:
//
//	SEVENYARD_RACE=1 go test ./optimize/rotation -run '^TestRace$' -v -timeout 3h
//
// SEVENYARD_RACE_SECONDS is the limit of HiGHS for a game (60). Our time is that of one solve; of the median of five when
// it is short.
func TestRace(t *testing.T) {
	if !raceOn() {
		t.Skip("only with SEVENYARD_RACE=1")
	}
	limit := raceLimit(t)
	var rivals []peer
	for _, pr := range presentPeers(t) {
		if strings.HasPrefix(pr.name(), "highs-") {
			rivals = append(rivals, pr)
		}
	}
	table := newRaceTable(os.Stdout, rivals, limit)
	for _, in := range loadInstances(t) {
		if in.Name[0] != 'i' {
			continue
		}
		ours, first := ourLap(t, in.Problem, limit)
		if ours.proved && (lowestSum(in.Problem, ours.plan, 1) != in.Expected.Weakest || lowestSum(in.Problem, ours.plan, 0) != in.Expected.Total) {
			t.Errorf("%s: proved %v, known %+v", in.Name, valuesOf(in.Problem, ours.plan), in.Expected)
		}
		var laps []lap
		for _, pr := range rivals {
			began := time.Now()
			status, plan, err := lexPeer(t, pr, in.Problem, Weakest, limit)
			if err != nil {
				t.Logf("%s: %s: %v", in.Name, pr.name(), err)
			}
			l := lap{time.Since(began), err == nil && status == peerOptimal, plan}
			l.proved = l.proved && l.spent <= limit
			if plan != nil && ours.proved && compareLex(in.Problem, Weakest, plan, ours.plan) > 0 {
				t.Errorf("%s: %s has a better plan: %v", in.Name, pr.name(), valuesOf(in.Problem, plan))
			}
			laps = append(laps, l)
		}
		table.add(in.Name, in.Problem, ours, first, laps)
	}
	table.close()
}

// ourLap solves a game, more than once if that is quick, and gives the median time.
func ourLap(t testing.TB, p *Problem, limit time.Duration) (lap, time.Duration) {
	t.Helper()
	var spent, first []time.Duration
	var l lap
	for range 5 {
		r := mustSolve(t, p, Settings{Limit: limit})
		l.proved, l.plan = r.Status == Proven, r.Plan
		spent, first = append(spent, r.Stats.Elapsed), append(first, r.Stats.First)
		if r.Stats.Elapsed > 200*time.Millisecond {
			break
		}
	}
	slices.Sort(spent)
	slices.Sort(first)
	l.spent = spent[len(spent)/2]
	return l, first[len(first)/2]
}

// raceTable prints the laps as they come and sums them up at the end.
type raceTable struct {
	to     io.Writer
	rivals []peer
	limit  time.Duration
	ours   []time.Duration // of the games that we proved
	first  []time.Duration
	games  int
	log    []float64   // logarithms of the ratios to the quickest rival that proved
	byPeer [][]float64 // the same for each rival
	least  float64
	weaker int // games in which no rival proved and the best plan of all rivals is weaker than ours
	open   int // games that no rival proved
}

func newRaceTable(to io.Writer, rivals []peer, limit time.Duration) *raceTable {
	rt := &raceTable{to: to, rivals: rivals, limit: limit, byPeer: make([][]float64, len(rivals)), least: math.Inf(1)}
	fmt.Fprintf(to, "%-20s %8s %8s %9s %8s", "game", "weakest", "total", "ours ms", "first ms")
	for _, pr := range rivals {
		fmt.Fprintf(to, " %14s", pr.name()+" s")
	}
	fmt.Fprintf(to, " %9s  %s\n", "ratio", "agreement")
	return rt
}

func milliseconds(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

func (rt *raceTable) add(name string, p *Problem, ours lap, first time.Duration, laps []lap) {
	rt.games++
	rt.first = append(rt.first, first)
	mark := " "
	if ours.proved {
		rt.ours = append(rt.ours, ours.spent)
	} else {
		mark = "+"
	}
	fmt.Fprintf(rt.to, "%-20s %8d %8d %8.1f%s %8.1f", name, lowestSum(p, ours.plan, 1), lowestSum(p, ours.plan, 0), milliseconds(ours.spent), mark, milliseconds(first))
	quickest, proved, words := math.Inf(1), false, []string{}
	for i, l := range laps {
		mark := "+"
		if l.proved {
			mark = " "
			ratio := l.spent.Seconds() / ours.spent.Seconds()
			rt.byPeer[i] = append(rt.byPeer[i], math.Log(ratio))
			quickest, proved = min(quickest, ratio), true
		}
		fmt.Fprintf(rt.to, " %13.2f%s", l.spent.Seconds(), mark)
		words = append(words, rt.agreement(p, ours, l))
	}
	if proved {
		rt.log = append(rt.log, math.Log(quickest))
		rt.least = min(rt.least, quickest)
		fmt.Fprintf(rt.to, " %8.0fx", quickest)
	} else {
		rt.open++
		if !slices.ContainsFunc(laps, func(l lap) bool { return l.plan != nil && compareLex(p, Weakest, l.plan, ours.plan) >= 0 }) {
			rt.weaker++
		}
		fmt.Fprintf(rt.to, " %8s ", fmt.Sprintf(">%.0f", rt.limit.Seconds()/ours.spent.Seconds()))
	}
	fmt.Fprintf(rt.to, "  %s\n", strings.Join(words, ", "))
}

// agreement compares a rival's plan with ours.
func (rt *raceTable) agreement(p *Problem, ours, l lap) string {
	switch {
	case l.plan == nil:
		return "no plan"
	case compareLex(p, Weakest, l.plan, ours.plan) == 0 && l.proved:
		return "agrees"
	case compareLex(p, Weakest, l.plan, ours.plan) == 0:
		return "same plan, no proof"
	case compareLex(p, Weakest, l.plan, ours.plan) > 0:
		return "BETTER"
	case l.proved:
		return "WRONG"
	}
	if d := lowestSum(p, ours.plan, 1) - lowestSum(p, l.plan, 1); d > 0 {
		return fmt.Sprintf("weakest %d lower", d)
	}
	return fmt.Sprintf("total %d lower", lowestSum(p, ours.plan, 0)-lowestSum(p, l.plan, 0))
}

func geometricMean(logs []float64) float64 {
	sum := 0.0
	for _, x := range logs {
		sum += x
	}
	return math.Exp(sum / float64(len(logs)))
}

func (rt *raceTable) close() {
	within := func(list []time.Duration, d time.Duration) (n int) {
		for _, x := range list {
			if x <= d {
				n++
			}
		}
		return n
	}
	fmt.Fprintf(rt.to, "\n+: no proof within the limit of %v.\n", rt.limit)
	fmt.Fprintf(rt.to, "Ours: %d of %d proved; %d within 50 ms, %d within 1 s, longest %.1f ms; first plan within 10 ms in %d, latest %.1f ms.\n",
		len(rt.ours), rt.games, within(rt.ours, 50*time.Millisecond), within(rt.ours, time.Second), milliseconds(slices.Max(rt.ours)),
		within(rt.first, 10*time.Millisecond), milliseconds(slices.Max(rt.first)))
	if len(rt.log) > 0 {
		fmt.Fprintf(rt.to, "Against the quickest HiGHS that proves: geometric mean of %d ratios %.0f, least %.1f.", len(rt.log), geometricMean(rt.log), rt.least)
	}
	fmt.Fprintf(rt.to, " %d games are proved by none; in %d of them the best plan of all is weaker than ours.\n", rt.open, rt.weaker)
	for i, pr := range rt.rivals {
		if len(rt.byPeer[i]) > 0 {
			fmt.Fprintf(rt.to, "%s: %d proved, geometric mean of the ratios %.0f.\n", pr.name(), len(rt.byPeer[i]), geometricMean(rt.byPeer[i]))
		}
	}
}
