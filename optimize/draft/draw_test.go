package draft

import (
	"fmt"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// TestDrawFair draws from 100,000 seeds: every coach who may have a team gets every open team equally often, by a chi-squared test at the level 0.001 for
// the whole table, whose coach and team sums are fixed ((n-1)^2 degrees of freedom), and settled coaches always keep theirs.
func TestDrawFair(t *testing.T) {
	teams := []string{"Avocets", "Curlews", "Dunlins", "Egrets", "Plovers", "Terns"}
	coaches := []Coach{{"coach 1", Unplaced}, {"coach 2", 3}, {"coach 3", Unplaced}, {"coach 4", Unplaced}, {"coach 5", Unplaced}, {"coach 6", 0}}
	seeds := repeats(100_000, 100_000)
	var count [6][6]int
	for s := range seeds {
		d, err := Draw(fmt.Sprintf("seed %d", s), teams, coaches)
		require.NoError(t, err)
		for c, team := range d.Teams {
			count[c][team]++
		}
	}
	chi := 0.0
	free := 0
	for c := range coaches {
		if own := coaches[c].Team; own != Unplaced {
			require.Equal(t, seeds, count[c][own])
			continue
		}
		free++
		for team := range teams {
			if team == 3 || team == 0 {
				require.Zero(t, count[c][team])
				continue
			}
			want := float64(seeds) / 4
			d := float64(count[c][team]) - want
			chi += d * d / want
		}
	}
	// For random permutations, (n-1)/n times the sum is chi-squared with (n-1)^2 degrees of freedom.
	limit := distuv.ChiSquared{K: float64((free - 1) * (free - 1))}.Quantile(0.999)
	chi *= float64(free-1) / float64(free)
	t.Logf("chi-squared %.2f, limit %.2f", chi, limit)
	require.Less(t, chi, limit)
}

// TestDrawOrders draws three teams: all six orders come out, about equally often.
func TestDrawOrders(t *testing.T) {
	orders := map[string]int{}
	coaches := []Coach{{"a", Unplaced}, {"b", Unplaced}, {"c", Unplaced}}
	for s := range 12_000 {
		d, err := Draw(fmt.Sprint(s), []string{"x", "y", "z"}, coaches)
		require.NoError(t, err)
		orders[fmt.Sprint(d.Teams)]++
	}
	require.Len(t, orders, 6)
	for o, n := range orders {
		require.InDelta(t, 2000, n, 5*41, o) // five standard deviations
	}
}

// drawInPython redoes the draw from its description, with Python's hashlib.
const drawInPython = `
import hashlib, sys
words, teams, coaches = sys.argv[1], sorted(sys.argv[2].split(","), key=lambda s: s.encode()), sorted(sys.argv[3].split(","), key=lambda s: s.encode())
seed = " ".join(words.split()).lower()
numbers = []
def number(block):
    while len(numbers) <= block:
        h = hashlib.sha256((seed + "\n" + str(len(numbers) // 4)).encode()).digest()
        numbers.extend(int.from_bytes(h[i:i+8], "big") for i in range(0, 32, 8))
    return numbers[block]
at = 0
for i in range(len(teams) - 1, 0, -1):
    while True:
        x = number(at); at += 1
        if x < 2**64 // (i + 1) * (i + 1): break
    j = x % (i + 1)
    teams[i], teams[j] = teams[j], teams[i]
print(";".join(c + "=" + t for c, t in zip(coaches, teams)))
`

// TestDrawPython lets Python redo draws.
func TestDrawPython(t *testing.T) {
	if _, err := exec.LookPath("python3"); err != nil {
		missing(t, "python3")
	}
	teams := []string{"Terns", "Avocets", "Egrets", "Égrets", "Curlews", "Dunlins", "Plovers"}
	coaches := []Coach{{"Noor", Unplaced}, {"Ada", Unplaced}, {"Élan", Unplaced}, {"Wim", Unplaced}, {"Bo", Unplaced}, {"Kit", Unplaced}, {"Uma", Unplaced}}
	var names []string
	for _, c := range coaches {
		names = append(names, c.Label)
	}
	for _, words := range []string{"4 2 6 6 1", "  Heavy   rain on the 3rd of MAY ", "ÄRGER", "7"} {
		d, err := Draw(words, teams, coaches)
		require.NoError(t, err)
		out, err := exec.Command("python3", "-c", drawInPython, words, strings.Join(teams, ","), strings.Join(names, ",")).Output()
		require.NoError(t, err)
		got := map[string]string{}
		for i, c := range coaches {
			got[c.Label] = teams[d.Teams[i]]
		}
		for _, pair := range strings.Split(strings.TrimSpace(string(out)), ";") {
			coach, team, _ := strings.Cut(pair, "=")
			require.Equal(t, team, got[coach], "%q: %s", words, coach)
		}
	}
}

// TestDrawWorked is an example to follow by hand. `printf '2 5\n0' | sha256sum` prints c1b676b77e267960 565b35da48304c60 ...; in decimal these are
// 13958474625548974432, remainder 1 by 3, and 6222626521772739680, remainder 0 by 2. So of A, B, C the last and the second trade places: A, C, B;
// then the second and the first: C, A, B. The coaches in the order of their names, w, x and y, have these.
func TestDrawWorked(t *testing.T) {
	d, err := Draw("2  5", []string{"C", "A", "B"}, []Coach{{"x", Unplaced}, {"w", Unplaced}, {"y", Unplaced}})
	require.NoError(t, err)
	require.Equal(t, &Drawn{
		Seed: "2 5", Open: []int{1, 2, 0}, Teams: []int{1, 0, 2},
		Steps: []DrawStep{{2, 1, 13958474625548974432}, {1, 0, 6222626521772739680}},
	}, d)
}

func TestDrawRefuses(t *testing.T) {
	for _, c := range []struct {
		words   string
		teams   []string
		coaches []Coach
	}{
		{" ", []string{"A", "B"}, nil},
		{"1", []string{"A", "A"}, nil},
		{"1", []string{"A"}, []Coach{{"x", Unplaced}, {"y", Unplaced}}},
		{"1", []string{"A", "B"}, []Coach{{"x", Unplaced}, {"x", Unplaced}}},
		{"1", []string{"A", "B"}, []Coach{{"x", 2}}},
	} {
		_, err := Draw(c.words, c.teams, c.coaches)
		require.Error(t, err)
	}
}
