// Package nameless takes out of what is read, and out of messages, whatever may be a name: of a kid, a coach, a timer, a game, an opponent.
package nameless

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"sevenyard/drills"
)

// Team takes out of the folder whatever may be a name, so that nothing after it can tell one: names and notes of kids, timers, the words
// of a hold, and every text of the team's own drills, traits, roles and formations. What stays are ids: of kids, the names of drills, traits,
// roles and formations (lower-case words, by which files refer to them), and those of teams and leagues.
func Team(f *drills.Folder) {
	f.Warnings = Problems(f.Warnings, f)
	for i := range f.Roster {
		k := &f.Roster[i]
		if k.Name, k.Notes = "", ""; k.Hold != "" {
			k.Hold = "yes"
		}
	}
	number := timerNumbers(f.Trials)
	for i, t := range f.Trials {
		f.Trials[i].Timer = number[t.Timer]
	}
	TeamFile(&f.Team)
}

// TeamFile takes out of team.toml what else a team has written about its drills, traits, roles and formations.
func TeamFile(t *drills.Team) {
	Catalogue(&t.Catalogue)
	for i := range t.Formations {
		if x, ok := t.Catalogue.Formation(t.Formations[i].Name); ok {
			t.Formations[i].Title, t.Formations[i].Source = x.Title, x.Source
		}
	}
}

// timerNumbers gives every timer a number; the order of the rows does not matter to it.
func timerNumbers(trials []drills.Trial) map[string]string {
	number := map[string]string{"": ""}
	for _, t := range trials {
		number[t.Timer] = ""
	}
	for i, timer := range slices.Sorted(maps.Keys(number)) { // "" is the first
		if i > 0 {
			number[timer] = "number " + strconv.Itoa(i)
		}
	}
	return number
}

// Catalogue puts the names of entries in place of their titles, and leaves out what else a team has written about them. What comes with
// the tool stays.
func Catalogue(c *drills.Catalogue) {
	house := drills.Default()
	for i := range c.Traits {
		if x := &c.Traits[i]; !slices.Contains(house.Traits, *x) {
			x.Title = x.Name
		}
	}
	for i := range c.Roles {
		x := &c.Roles[i]
		if h, ok := house.Role(x.Name); !ok || h.Title != x.Title {
			x.Title = x.Name
		}
	}
	for i := range c.Formations {
		x := &c.Formations[i]
		h, _ := house.Formation(x.Name)
		if h.Title != x.Title {
			x.Title = x.Name
		}
		if h.Source != x.Source {
			x.Source = ""
		}
	}
	units := houseUnits()
	for i := range c.Drills {
		x := &c.Drills[i]
		h, known := house.Drill(x.Name)
		for _, text := range []struct{ own, house *string }{{&x.Setup, &h.Setup}, {&x.Safety, &h.Safety}, {&x.Source, &h.Source}} {
			if *text.own != *text.house {
				*text.own = ""
			}
		}
		if !known || h.Title != x.Title {
			x.Title = x.Name
		}
		if !slices.Contains(units, x.Unit) {
			x.Unit = map[drills.Kind]string{drills.Timed: "s", drills.Counted: "successes", drills.Rated: "mark"}[x.Kind]
		}
	}
}

// quoted is a value from a file or a command line as messages show it: with escapes, as strconv.Quote has them.
var quoted = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)

// notTOML stands before what the reader of TOML says, which may hold a piece of the line.
const notTOML = " as TOML: "

// Quoted takes every quoted value out of a text, unless it is a word that may stand or has no letter in it. A quotation mark without
// its other half hides all that follows: rather too much than a name.
func Quoted(text string, known map[string]bool, instead string) string {
	if head, _, cut := strings.Cut(text, notTOML); cut {
		text = head + strings.TrimSuffix(notTOML, ": ")
	}
	var b strings.Builder
	at := 0
	for _, m := range quoted.FindAllStringIndex(text, -1) {
		b.WriteString(text[at:m[0]])
		q := text[m[0]:m[1]]
		if word, err := strconv.Unquote(q); err == nil && (known[strings.ToLower(word)] || !strings.ContainsFunc(word, unicode.IsLetter)) {
			b.WriteString(q)
		} else {
			b.WriteString(instead)
		}
		at = m[1]
	}
	rest, _, cut := strings.Cut(text[at:], `"`)
	b.WriteString(rest)
	if cut {
		b.WriteString(instead)
	}
	return b.String()
}

// NotShown stands in place of what may be a name.
const NotShown = "(not shown)"

// Problems gives messages without what the files say, kids' ids and words of the trade apart: anything else may be a name.
func Problems(ps drills.Problems, f *drills.Folder) drills.Problems {
	return Hide(ps, PlainWords(f))
}

// Hide is Problems with the words that may stand.
func Hide(ps drills.Problems, known map[string]bool) drills.Problems {
	out := slices.Clone(ps)
	for i := range out {
		out[i].What, out[i].Do = Quoted(out[i].What, known, NotShown), Quoted(out[i].Do, known, NotShown)
	}
	return out
}

// Sentences gives warnings without names for a saved plan, which has ids only whatever the screen shows.
func Sentences(warnings []string, known map[string]bool, trials []drills.Trial, c *drills.Catalogue) []string {
	var units []string
	for _, d := range c.Drills {
		if !slices.Contains(houseUnits(), d.Unit) {
			units = append(units, d.Unit)
		}
	}
	number := timerNumbers(trials)
	timers := slices.Sorted(maps.Keys(number))[1:]
	slices.Reverse(timers) // one that begins with another's name comes first
	out := make([]string, len(warnings))
	for i, w := range warnings {
		for _, timer := range timers { // as the scores say it
			if at := ": timer " + timer + " reads"; strings.Contains(w, at) {
				w = strings.Replace(w, at, ": timer "+number[timer]+" reads", 1)
				break
			}
		}
		for _, unit := range units {
			w = replaceWord(w, " ", unit)
		}
		out[i] = Quoted(w, known, NotShown)
	}
	return out
}

// houseUnits are the units that are no text of a team's own.
func houseUnits() []string {
	units := []string{"", "s", "mark", "successes"}
	house := drills.Default()
	for _, d := range house.Drills {
		units = append(units, d.Unit)
	}
	return units
}

// PlainWords are the words that are no names: ids, and what the catalogue and the files' formats know.
func PlainWords(f *drills.Folder) map[string]bool {
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
			if add(r.Name); utf8.RuneCountInString(r.Letter) == 1 { // one that cannot be is a text like any other
				add(r.Letter)
			}
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
