package drills

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// league writes a league of 2,000 kids x 7 drills x 3 trials, 42,000 rows in random order.
func league() (roster, results string) {
	rng := rand.New(rand.NewPCG(1, 2))
	cat := Default()
	var ros strings.Builder
	ros.WriteString("kid,name,grade,hold,never,notes\n")
	var rows []string
	for k := range 2000 {
		fmt.Fprintf(&ros, "%d,Kid %d,%d,,,\n", k+1, k+1, 3+k%2)
		for _, d := range cat.Drills {
			for trial := range 3 {
				if d.Kind == Counted {
					rows = append(rows, fmt.Sprintf("%d,%s,%d,%d,10,Kim,2026-08-29\n", k+1, d.Name, trial+1, rng.IntN(11)))
				} else {
					rows = append(rows, fmt.Sprintf("%d,%s,%d,%.2f,,Kim,2026-08-29\n", k+1, d.Name, trial+1, 4.5+3*rng.Float64()))
				}
			}
		}
	}
	rng.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	return ros.String(), "kid,drill,trial,value,attempts,timer,date\n" + strings.Join(rows, "")
}

func BenchmarkReadLeague(b *testing.B) {
	roster, results := league()
	dir := folder("team.toml", okTeam, "roster.csv", roster, "results.csv", results)
	b.SetBytes(int64(len(roster) + len(results)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := ReadFolder(dir)
		if err != nil || len(f.Trials) != 42_000 {
			b.Fatal(err, len(f.Trials))
		}
	}
}

// A league whose ids are all unknown: the near matches must not take forever.
func BenchmarkReadStrangers(b *testing.B) {
	roster, results := league()
	roster = strings.ReplaceAll(roster, ",Kid", "a,Kid")
	dir := folder("team.toml", okTeam, "roster.csv", roster, "results.csv", results)
	for b.Loop() {
		if _, err := ReadFolder(dir); err == nil {
			b.Fatal("no problem found")
		}
	}
}
