package draftplan

import (
	"fmt"
	"slices"
	"strings"

	"sevenyard/cmd/internal/jsonlines"
	"sevenyard/cmd/internal/report"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/optimize/draft"
)

// Saved is teams read back from a file: who is where, and what the file says of them, which is never taken over but worked out again (Changed).
type Saved struct {
	Schema string      `json:"schema"`
	League string      `json:"league"`
	Seed   uint64      `json:"seed"`
	Teams  []SavedTeam `json:"teams"`

	Pool      string             `json:"pool"` // the fingerprint of the pool; "": the file does not say
	Objective *float64           `json:"objective"`
	Shortage  *int               `json:"shortage"`
	Spread    map[string]float64 `json:"spread"`
	Proven    bool               `json:"proven"`

	file  string
	lines map[string]int
}

// SavedTeam is a team with its kids.
type SavedTeam struct {
	Team  string             `json:"team"`
	Kids  []string           `json:"kids"`
	Means map[string]float64 `json:"means"`
}

// MaxSaved is the most bytes of saved teams that are read; the largest draft takes far fewer.
const MaxSaved = 8 << 20

const saveAgain = "save the teams anew with ⟦save-teams⟧"

// ReadSaved reads saved teams. What is wrong with them comes back as problems of the file of that name.
func ReadSaved(file string, data []byte) (*Saved, error) {
	sv := &Saved{file: file}
	if len(data) > MaxSaved {
		return nil, sv.problem(0, "the file is too large for saved teams", saveAgain)
	}
	if line, wrong := jsonlines.Decode(data, sv); wrong != "" {
		return nil, sv.problem(line, wrong, saveAgain)
	}
	if sv.Schema != report.DraftSchema {
		return nil, sv.problem(1, fmt.Sprintf("schema is %q, and saved teams have %s", sv.Schema, report.DraftSchema), saveAgain)
	}
	sv.lines = jsonlines.Places(data)
	return sv, nil
}

func (sv *Saved) problem(line int, what, do string) drills.Problems {
	return drills.Problems{{At: drills.Place{File: sv.file, Line: line}, What: what, Do: do}}
}

// Split takes the saved teams over. Kids of the pool who are not in the file have no team; gone are kids of the
// file who are not in the pool. The error is of type drills.Problems.
func (pl *Plan) Split(sv *Saved) (draft.Split, []report.Moved, error) {
	var ps drills.Problems
	add := func(path, do, format string, args ...any) {
		ps = append(ps, drills.Problem{At: drills.Place{File: sv.file, Line: sv.lines["."+path]}, What: fmt.Sprintf(format, args...), Do: do})
	}
	if name := pl.Pool.League.Common.Name; sv.League != "" && name != "" && sv.League != name {
		add("league", "give this league's own teams, or "+saveAgain, "these are the teams of %q, and the folder is that of %q", sv.League, name)
		return nil, nil, ps
	}
	split := slices.Repeat(draft.Split{draft.Unplaced}, len(pl.IDs))
	gone := []report.Moved{}
	seenTeam, seenKid := map[int]bool{}, map[string]bool{}
	for i, x := range sv.Teams {
		t, ok := pl.FindTeam(x.Team)
		if !ok {
			do := "the teams of league.toml are " + strings.Join(pl.Numbers.Teams, ", ")
			if near := prose.Near(x.Team, pl.Numbers.Teams); near != "" {
				do = "did you mean " + near + "?"
			}
			add(fmt.Sprintf("teams.%d.team", i), do, "team %q is not in league.toml", x.Team)
			continue
		}
		if seenTeam[t] {
			add(fmt.Sprintf("teams.%d.team", i), "mend it by hand, or "+saveAgain, "team %q stands there twice", x.Team)
		}
		seenTeam[t] = true
		for j, id := range x.Kids {
			if id == "" || drills.CheckID(id) != "" { // not repeated: it may be anything
				add(fmt.Sprintf("teams.%d.kids.%d", i, j), "mend it by hand, or "+saveAgain, "what stands there is no kid's id")
				continue
			}
			if seenKid[id] {
				add(fmt.Sprintf("teams.%d.kids.%d", i, j), "mend it by hand, or "+saveAgain, "kid %q stands there twice", id)
			}
			seenKid[id] = true
			if k, there := pl.index[id]; there {
				split[k] = t
			} else {
				gone = append(gone, report.Moved{Kid: id, From: pl.Numbers.Teams[t]})
			}
		}
	}
	for t, name := range pl.Numbers.Teams {
		if !seenTeam[t] {
			add("teams", "put it there with its kids, or draft anew", "team %q of league.toml is not among the saved teams", name)
		}
	}
	if len(ps) > 0 {
		return nil, nil, ps
	}
	slices.SortStableFunc(gone, func(a, b report.Moved) int { return drills.NaturalOrder(a.Kid, b.Kid) })
	return split, gone, nil
}

// Unplaced lists the kids without a team.
func (pl *Plan) Unplaced(s draft.Split) []int {
	var out []int
	for k, t := range s {
		if t == draft.Unplaced {
			out = append(out, k)
		}
	}
	return out
}
