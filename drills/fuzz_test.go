package drills

import (
	"bytes"
	"errors"
	"math"
	"testing"
)

// Every reader, on any bytes: no panic, problems that are sound, and results that hold what they promise.

func fuzzErr(t *testing.T, file string, err error) {
	if err == nil {
		return
	}
	var ps Problems
	if !errors.As(err, &ps) || len(ps) == 0 {
		t.Fatalf("error %v is no list of problems", err)
	}
	sound(t, file, ps)
}

func FuzzReadTeam(f *testing.F) {
	f.Add([]byte("name = \"A\"\nformation = [\"2-3\", \"4-1\"]\ntogether = [[\"2\", 9]]\n[rules]\nmax_on = 3\n"))
	f.Add([]byte("[[drills]]\nname = \"a\"\nkind = \"timed\"\nrange = [1, 9]\nloads = { speed = 1 }\n[[pin]]\nkid = \"3\"\nseries = 2\n"))
	f.Add([]byte("[[formations]]\nname = \"1-1\"\nroles = [\"front\", \"deep\"]\nacross = [0, 1e3]\n[weights.front]\nspeed = nan\n"))
	f.Add([]byte("a.b = 1\n[a.b]\nc = 1979-05-27\n[[cover]]\nkids = [[1]]\r[[cover.x]]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		team, warn, err := ReadTeam(bytes.NewReader(data))
		fuzzErr(t, "team.toml", err)
		sound(t, "team.toml", warn)
		if len(team.Formations) == 0 || team.Series < 1 || team.Division.Low > team.Division.High {
			t.Fatalf("a team that cannot play: %+v", team)
		}
		if err != nil {
			return
		}
		for _, r := range team.Catalogue.Roles {
			sum := 0.0
			for _, w := range r.Weights {
				sum += w.Weight
			}
			if math.Abs(sum-1) > 1e-9 {
				t.Fatalf("weights of %s sum to %v", r.Name, sum)
			}
		}
		for _, f := range team.Formations {
			if len(f.Spots) == 0 {
				t.Fatalf("formation %s has no spots", f.Name)
			}
		}
	})
}

func FuzzReadRoster(f *testing.F) {
	f.Add([]byte(okRoster))
	f.Add([]byte("\xef\xbb\xbfkid;name;never\r\n7;\"A;\"\"B\";deep\r#8;x;\r\n"))
	f.Add([]byte("sep=;\nkid;grade\n1;k\n1;13\n"))
	cat := Default()
	f.Fuzz(func(t *testing.T, data []byte) {
		kids, warn, err := ReadRoster(bytes.NewReader(data), cat)
		fuzzErr(t, "roster.csv", err)
		sound(t, "roster.csv", warn)
		for i, k := range kids {
			if badID(k.ID) != "" || k.Grade < -1 || k.Grade > MaxGrade || i > 0 && !NaturalLess(kids[i-1].ID, k.ID) {
				t.Fatalf("kid %+v", k)
			}
		}
	})
}

func FuzzReadResults(f *testing.F) {
	f.Add([]byte(okLong))
	f.Add([]byte("kid;shuttle 1;pull 1/10;pull-time 2\n2;6,4;7;DNF\n7;7:05;8/12;-\n"))
	f.Add([]byte("kid\tdrill\tvalue\n2\tshuttle\t64\n2\tshutle\t\"6\n"))
	cat := Default()
	kids, _, _ := ReadRoster(bytes.NewReader([]byte(okRoster)), cat)
	f.Fuzz(func(t *testing.T, data []byte) {
		res, err := ReadResults(bytes.NewReader(data), cat, kids, Grades{3, 4})
		fuzzErr(t, "results.csv", err)
		sound(t, "results.csv", res.Warnings)
		type key struct {
			kid, drill string
			number     int
		}
		seen := map[key]bool{}
		for _, tr := range res.Trials {
			d, ok := cat.Drill(tr.Drill)
			k := key{tr.Kid, tr.Drill, tr.Number}
			if !ok || seen[k] || tr.Number < 1 || math.IsNaN(tr.Value) || tr.Value < 0 ||
				d.Kind == Counted && (tr.Attempts < 1 || tr.Value > float64(tr.Attempts)) || d.Kind != Counted && tr.Attempts != 0 {
				t.Fatalf("trial %+v", tr)
			}
			seen[k] = true
		}
	})
}

func FuzzReadFits(f *testing.F) {
	f.Add([]byte("kid,role,fit,se\n2,front,50,5\n7,deep,61.5,4\n"))
	f.Add([]byte("kid;role;fit;se\n2;front;50,5;5\n2;front;1;1\n3;fornt;999;\n"))
	cat := Default()
	kids, _, _ := ReadRoster(bytes.NewReader([]byte(okRoster)), cat)
	f.Fuzz(func(t *testing.T, data []byte) {
		fits, warn, err := ReadFits(bytes.NewReader(data), cat, kids)
		fuzzErr(t, "fits.csv", err)
		sound(t, "fits.csv", warn)
		for _, fit := range fits {
			if !(fit.Fit >= 0 && fit.Fit <= 100 && fit.SE >= 0 && fit.SE <= 50) {
				t.Fatalf("fit %+v", fit)
			}
		}
	})
}

func FuzzReadFolder(f *testing.F) {
	f.Add("[[pin]]\nkid = 7\nseries = 1\n", okRoster, okLong, "")
	f.Add("together = [[\"2\", \"x\"]]\nformation = \"4-1\"", "kid\n2\n7\n", "kid,shuttle\n2,6\n", "kid,role,fit,se\n2,front,50,5\n")
	f.Fuzz(func(t *testing.T, team, roster, results, fits string) {
		got, err := ReadFolder(folder("team.toml", team, "roster.csv", roster, "results.csv", results, "fits.csv", fits))
		if got == nil || len(got.Team.Formations) == 0 {
			t.Fatal("no folder")
		}
		var ps Problems
		if err != nil && !errors.As(err, &ps) {
			t.Fatalf("error %v is no list of problems", err)
		}
	})
}
