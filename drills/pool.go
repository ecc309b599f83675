package drills

import (
	"io/fs"
	"slices"
	"strings"
)

// Pool is a pool folder as read: the kids of a division who are to be drafted into teams. Kids stand in
// natural order of their ids, whatever the order of the rows.
type Pool struct {
	League   League
	Kids     []PoolKid
	Trials   []Trial
	Untested []Untested
	Warnings Problems // things that look odd but count
}

// PoolKid is one row of pool.csv.
type PoolKid struct {
	Kid
	Siblings  string   // label shared by the kids of a family, "" none
	CoachOf   int      // index of League.Teams: a parent coaches it; -1 none
	Nights    []string // nights the kid can practise, in the order of the week; empty: any
	Apart     []string // ids of kids not to be on the same team
	Carpools  []string // labels shared by the kids of a car
	Returning string   // last season's team, "" none
}

// Folder gives the pool as if it were one team, for scoring.
func (p *Pool) Folder() *Folder {
	f := &Folder{Team: p.League.Common, Trials: p.Trials, Untested: p.Untested, Warnings: p.Warnings}
	for i := range p.Kids {
		f.Roster = append(f.Roster, p.Kids[i].Kid)
	}
	return f
}

// Families gives the siblings of every family of two kids or more, as indices of Kids, in their order.
func (p *Pool) Families() [][]int {
	return groups(len(p.Kids), func(i int) []string { return oneLabel(p.Kids[i].Siblings) })
}

// Cars gives the kids of every carpool of two kids or more, as indices of Kids, in their order.
func (p *Pool) Cars() [][]int {
	return groups(len(p.Kids), func(i int) []string { return p.Kids[i].Carpools })
}

func oneLabel(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// groups gathers who shares a label, by first appearance.
func groups(n int, labels func(int) []string) [][]int {
	var list [][]int
	index := map[string]int{}
	for i := range n {
		for _, label := range labels(i) {
			key := strings.ToLower(label)
			at, seen := index[key]
			if !seen {
				at = len(list)
				index[key] = at
				list = append(list, nil)
			}
			list[at] = append(list[at], i)
		}
	}
	return slices.DeleteFunc(list, func(g []int) bool { return len(g) < 2 })
}

// ReadPool reads a pool folder: league.toml, pool.csv and results.csv. All three must be there. The error is of
// type Problems and lists every problem of every file, files in the order above; with an error, the
// pool holds what could be read. Nothing in it depends on the order of rows but the lines.
func ReadPool(dir fs.FS) (*Pool, error) {
	var all, warnings Problems
	done := func(probs, warn *collector) {
		all = append(all, probs.finish()...)
		warnings = append(warnings, warn.finish()...)
	}
	doc := newLeagueDoc()
	data, leagueProbs, there := open(dir, "league.toml", maxTOML)
	if !there {
		leagueProbs.add(0, `write one with a [[team]] and a name = "..." for every team`, "%s", absent(dir, "league.toml"))
	} else if data != nil {
		doc = readLeague(data, leagueProbs)
	}

	poolWarn := &collector{file: "pool.csv"}
	sheet := &poolSheet{ros: rosterOf(nil)}
	sheet.ros.file = poolWarn.file
	data, poolProbs, there := open(dir, "pool.csv", maxFile)
	if !there {
		poolProbs.add(0, "write one with the header line "+strings.Join(poolColumns, ","), "%s", absent(dir, "pool.csv"))
	} else if data != nil {
		sheet = readPoolSheet(data, doc, poolProbs, poolWarn)
	}
	settleDivision(doc.game, sheet.ros)
	checkPool(doc, sheet, leagueProbs, poolProbs, poolWarn)
	warnFormations(doc.game)
	warnKids(doc.game, sheet.ros, poolWarn)
	done(leagueProbs, doc.game.warn)
	done(poolProbs, poolWarn)

	resultsWarn := &collector{file: "results.csv"}
	res := &Results{}
	data, resultsProbs, there := open(dir, "results.csv", maxFile)
	if !there {
		resultsProbs.add(0, "write one with the header line "+resultsColumns+" and a row a trial", "%s", absent(dir, "results.csv"))
	} else if data != nil {
		res = readResults(data, &doc.game.team.Catalogue, sheet.ros, doc.game.team.Division, resultsProbs, resultsWarn)
	}
	done(resultsProbs, resultsWarn)
	doc.Common = doc.game.team
	return &Pool{League: doc.League, Kids: sheet.kids, Trials: res.Trials, Untested: res.Untested, Warnings: warnings}, all.err()
}
