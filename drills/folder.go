package drills

import (
	"errors"
	"io/fs"
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// ReadFolder reads a team folder: team.toml, roster.csv, results.csv and fits.csv. roster.csv must
// be there; results.csv must be there unless fits.csv is complete, that is, has a row for every kid
// not on hold in every role of the team's formations that the kid plays. The error is of type
// Problems and lists every problem of every file, files in the order above; with an error, the
// folder holds what could be read. Nothing in the folder depends on the order of rows but the lines.
func ReadFolder(dir fs.FS) (*Folder, error) {
	var all, warnings Problems
	done := func(probs, warn *collector) {
		all = append(all, probs.finish()...)
		warnings = append(warnings, warn.finish()...)
	}

	doc := &teamDoc{team: *defaultTeam(), warn: &collector{file: "team.toml"}}
	teamProbs := &collector{file: "team.toml"}
	if data, probs, there := open(dir, "team.toml", maxTOML); !there {
		doc.warn.add(0, "", "%s", absent(dir, "team.toml")+": the usual rules count")
	} else if teamProbs = probs; data != nil {
		doc = readTeam(data, teamProbs)
	}
	team := &doc.team

	rosterWarn := &collector{file: "roster.csv"}
	ros := rosterOf(nil)
	data, rosterProbs, there := open(dir, "roster.csv", maxFile)
	if !there {
		rosterProbs.add(0, "write one with the header line "+strings.Join(rosterColumns, ","), "%s", absent(dir, "roster.csv"))
	} else if data != nil {
		ros = readRoster(data, &team.Catalogue, rosterProbs, rosterWarn)
	}
	settleDivision(doc, ros)
	checkTeam(doc, ros, teamProbs)
	warnKids(doc, ros, rosterWarn)
	done(teamProbs, doc.warn)
	done(rosterProbs, rosterWarn)

	fits, fitsProbs, fitsWarn := openFits(dir, team, ros)
	resultsWarn := &collector{file: "results.csv"}
	res := &Results{}
	data, resultsProbs, there := open(dir, "results.csv", maxFile)
	if !there {
		if lacking := missingFits(team, ros, fits); lacking != "" || len(ros.kids) == 0 {
			resultsProbs.add(0, "write one with the header line "+resultsColumns+lacking, "%s", absent(dir, "results.csv"))
		}
	} else if data != nil {
		res = readResults(data, &team.Catalogue, ros, team.Division, resultsProbs, resultsWarn)
	}
	done(resultsProbs, resultsWarn)
	done(fitsProbs, fitsWarn)
	return &Folder{Team: *team, Roster: ros.kids, Trials: res.Trials, Untested: res.Untested, Fits: fits, Warnings: warnings}, all.err()
}

// open reads a file of the folder; there is false only if the folder has no such file.
func open(dir fs.FS, name string, limit int) (data []byte, probs *collector, there bool) {
	f, err := dir.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &collector{file: name}, false
	}
	if err != nil {
		probs = &collector{file: name}
		probs.add(0, "check that the file can be opened", "cannot be read: %s", err)
		return nil, probs, true
	}
	defer f.Close()
	data, probs = readAll(f, name, limit)
	return data, probs, true
}

// absent says that a file is missing, and names one that may have been meant.
func absent(dir fs.FS, name string) string {
	entries, _ := fs.ReadDir(dir, ".")
	var there []string
	for _, e := range entries {
		if !slices.Contains([]string{"team.toml", "roster.csv", "results.csv", "fits.csv", "games.csv", "league.toml", "pool.csv"}, e.Name()) {
			there = append(there, e.Name())
		}
	}
	if near := prose.Near(name, there); near != "" {
		return name + " is not there, but " + quote(near) + " is"
	}
	return name + " is not there"
}

func openFits(dir fs.FS, team *Team, ros *roster) ([]OwnFit, *collector, *collector) {
	warn := &collector{file: "fits.csv"}
	data, probs, _ := open(dir, "fits.csv", maxFile)
	if data == nil {
		return nil, probs, warn
	}
	return readFits(data, &team.Catalogue, ros, probs, warn), probs, warn
}

// missingFits says which fits a team without results lacks, "" if none.
func missingFits(team *Team, ros *roster, fits []OwnFit) string {
	type place struct{ kid, role string }
	have := map[place]bool{}
	for _, f := range fits {
		have[place{f.Kid, f.Role}] = true
	}
	total, first := 0, ""
	for i := range ros.kids {
		k := &ros.kids[i]
		for _, role := range team.Catalogue.roleNames() {
			if k.Hold != "" || slices.Contains(k.Never, role) || !usesRole(team, role) || have[place{k.ID, role}] {
				continue
			}
			if total++; first == "" {
				first = "kid " + k.ID + " as " + role
			}
		}
	}
	if total == 0 || len(fits) == 0 {
		return strings.Repeat(" and a row a trial", min(total, 1))
	}
	return ", or complete fits.csv: " + prose.Count(total, "fit") + " missing, the first is " + first
}

func usesRole(team *Team, role string) bool {
	for _, f := range team.Formations {
		if spotsFor(f, role) > 0 {
			return true
		}
	}
	return false
}

// settleDivision fills a division that team.toml does not give from the roster's grades.
func settleDivision(doc *teamDoc, ros *roster) {
	if doc.hasDivision {
		return
	}
	g := Grades{MaxGrade + 1, -1}
	for i := range ros.kids {
		if grade := ros.kids[i].Grade; grade >= 0 {
			g = Grades{min(g.Low, grade), max(g.High, grade)}
		}
	}
	if g.Low <= g.High {
		doc.team.Division = g
	}
	if len(ros.kids) > 0 {
		doc.warn.add(0, `write division = "`+doc.team.Division.String()+`" or your own`,
			"no division is given; taken as grades %s", doc.team.Division)
	}
}
