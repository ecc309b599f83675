package main

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"sevenyard/drills"
)

// hideNames takes all names out of the folder, the timers' too, and out of its warnings.
func hideNames(f *drills.Folder) {
	f.Warnings = nameless(f.Warnings, f)
	for i := range f.Roster {
		f.Roster[i].Name, f.Roster[i].Notes = "", ""
	}
	number := map[string]string{"": ""}
	for _, t := range f.Trials {
		number[t.Timer] = ""
	}
	for i, timer := range slices.Sorted(maps.Keys(number)) { // the order of the rows must not matter; "" is the first
		if i > 0 {
			number[timer] = "number " + strconv.Itoa(i)
		}
	}
	for i, t := range f.Trials {
		f.Trials[i].Timer = number[t.Timer]
	}
}

// quoted is a value from a file as messages show it.
var quoted = regexp.MustCompile(`"(?:[^"\\\\]|\\\\.)*"`)

// nameless gives messages without what the files say, kids' ids and words of the trade apart: anything else may be a name.
func nameless(ps drills.Problems, f *drills.Folder) drills.Problems {
	return namelessBy(ps, plainWords(f))
}

// namelessBy is nameless with the words that may stand.
func namelessBy(ps drills.Problems, known map[string]bool) drills.Problems {
	hide := func(text string) string {
		return quoted.ReplaceAllStringFunc(text, func(q string) string {
			word, err := strconv.Unquote(q)
			if err == nil && (known[strings.ToLower(word)] || !strings.ContainsFunc(word, unicode.IsLetter)) {
				return q
			}
			return "(not shown)"
		})
	}
	out := slices.Clone(ps)
	for i := range out {
		if head, _, cut := strings.Cut(out[i].What, " as TOML: "); cut { // what follows may be a piece of the line
			out[i].What = head + " as TOML"
		}
		out[i].What, out[i].Do = hide(out[i].What), hide(out[i].Do)
	}
	return out
}

// plainWords are the words that are no names: ids, and what the catalogue and the files' formats know.
func plainWords(f *drills.Folder) map[string]bool {
	known := map[string]bool{}
	add := func(words ...string) {
		for _, w := range words {
			known[strings.ToLower(w)] = true
		}
	}
	add(strings.Fields("kid name grade hold never notes drill trial value attempts timer date role fit se dnf dns dnp dnr nt n/a na x abs absent " +
		"no n none false ok yes true weakest total even timed counted rated max_on max_off min_roles season_roles max_same_role min_share pay_back at_least kids must")...)
	for _, k := range f.Roster {
		add(k.ID)
	}
	c, own := drills.Default(), &f.Team.Catalogue
	for _, cat := range []*drills.Catalogue{&c, own} {
		for _, d := range cat.Drills {
			add(d.Name)
		}
		for _, r := range cat.Roles {
			add(r.Name, r.Letter)
		}
		for _, t := range cat.Traits {
			add(t.Name)
		}
		for _, x := range cat.Formations {
			add(x.Name)
		}
	}
	return known
}
