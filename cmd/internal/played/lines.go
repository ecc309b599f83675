package played

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/asked"
	"sevenyard/cmd/internal/gameplan"
	"sevenyard/drills"
	"sevenyard/drills/games"
	"sevenyard/drills/prose"
)

// Typed is what lines typed by hand say.
type Typed struct {
	Lines            []Line
	Absent           []string
	Late, Left, Hurt []gameplan.At
	Void             []int
	VoidGame         bool
}

// MaxTyped is the most bytes of typed lines.
const MaxTyped = 1 << 20

const (
	maxSeries = 99
)

// Grammar is how lines are typed.
const Grammar = "a series' number, then a role and its kids, the next role and its kids: 4: F 2 3, C 4 11, D 14"

// words begin the lines that are about attendance.
var words = []string{"absent", "late", "left", "hurt", "void", "series"}

// liner reads lines.
type liner struct {
	f     *drills.Folder
	at    drills.Place
	probs drills.Problems
	out   Typed
}

// ReadLines reads lines typed by hand. A series is its number, then a role and its kids, the next role and its kids:
//
//	4: F 2 3, C 4 11, D 14
//
// Roles go by letter or name, kids by id (# before one that is also a role's letter); commas, colons, bars and
// semicolons are as good as spaces. The lines absent 4 5, late 9@3, left 6@5, hurt 2@5 and void 4 say the rest; blank lines
// and what follows a # with a space do not count. The error is of type drills.Problems and lists every problem.
func ReadLines(name string, r io.Reader, f *drills.Folder) (*Typed, error) {
	l := &liner{f: f, at: drills.Place{File: name}}
	data, err := io.ReadAll(io.LimitReader(r, MaxTyped+1))
	if err != nil {
		return nil, err
	}
	if len(data) > MaxTyped {
		l.problem("is this the right file?", "more than 1 MiB of lines")
		return nil, l.probs
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	for i, line := range strings.Split(text, "\n") {
		l.at.Line = i + 1
		if bad := drills.CheckText(strings.ReplaceAll(line, "\t", " ")); bad != "" {
			l.problem("type it anew", "the line %s", bad)
			continue
		}
		if before, _, note := strings.Cut(line+" ", "# "); note {
			line = before
		}
		tokens := strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" \t,;|:", r) })
		if len(tokens) > 0 {
			l.line(tokens)
		}
	}
	if len(l.probs) > drills.MaxProblems {
		more := len(l.probs) - drills.MaxProblems
		l.probs = append(l.probs[:drills.MaxProblems:drills.MaxProblems], drills.Problem{At: drills.Place{File: name}, What: fmt.Sprintf("and %d more", more), Do: "put the ones above right first"})
	}
	if len(l.probs) > 0 {
		return nil, l.probs
	}
	return &l.out, nil
}

func (l *liner) problem(do, format string, args ...any) {
	l.probs = append(l.probs, drills.Problem{At: l.at, What: fmt.Sprintf(format, args...), Do: do})
}

func (l *liner) line(tokens []string) {
	head := strings.ToLower(tokens[0])
	if head == "series" && len(tokens) > 1 {
		tokens = tokens[1:]
		head = strings.ToLower(tokens[0])
	}
	if n, err := strconv.Atoi(head); err == nil {
		if n < 1 || n > maxSeries {
			l.problem("series are counted 1, 2, 3", "series is %s", head)
			return
		}
		l.series(n, tokens[1:])
		return
	}
	switch rest := strings.Join(tokens[1:], ","); {
	case !slices.Contains(words, head):
		l.problem(prose.DidYouMean(head, words, "a line is "+Grammar), "the line begins with %s", drills.Quote(tokens[0]))
	case len(tokens) == 1:
		l.problem("such as absent 4, late 9@3, left 6@5, hurt 2@5, void 4", "nothing follows %s", head)
	case head == "absent":
		kids, err := gameplan.ParseKids(asked.LineAbsent, rest)
		l.fail(err)
		l.out.Absent = append(l.out.Absent, kids...)
	case head == "void":
		all, ns, err := ParseVoid(rest)
		l.fail(err)
		l.out.Void, l.out.VoidGame = append(l.out.Void, ns...), l.out.VoidGame || all
	default:
		ats, err := gameplan.ParseAts(map[string]asked.Field{"late": asked.LineLate, "left": asked.LineLeft, "hurt": asked.LineHurt}[head], rest)
		l.fail(err)
		into := map[string]*[]gameplan.At{"late": &l.out.Late, "left": &l.out.Left, "hurt": &l.out.Hurt}[head]
		*into = append(*into, ats...)
	}
}

func (l *liner) fail(err error) {
	if err != nil {
		l.problem("", "%s", err)
	}
}

// series reads roles and kids.
func (l *liner) series(n int, tokens []string) {
	line := Line{Number: n, At: l.at}
	role, since, seen, loose := "", 0, map[string]bool{}, false
	close := func() {
		if role != "" && since == 0 {
			l.problem("write the role's kids behind it, or leave it out", "no kid follows %s", role)
		}
	}
	for _, t := range tokens {
		r, isRole := l.role(t)
		kid, isKid := l.kid(t, isRole)
		switch {
		case isKid && isRole:
			l.problem("write #"+t+" for the kid, "+r+" for the role", "%s is a role and a kid", t)
		case isRole:
			close()
			role, since = r, 0
		case isKid && role == "":
			if !loose {
				l.problem("a line is "+Grammar, "kid %s has no role", kid)
			}
			loose = true
		case isKid && seen[kid]:
			l.problem("a kid has one spot in a series", "kid %s is there twice", kid)
			since++
		case isKid:
			seen[kid] = true
			line.Slots = append(line.Slots, games.Slot{Role: role, Kid: kid})
			since++
		default:
			since++ // it stood for a kid, most likely
			l.unknown(t)
		}
	}
	close()
	if len(tokens) == 0 {
		l.problem("a line is "+Grammar, "series %d names no kid", n)
	}
	l.out.Lines = append(l.out.Lines, line)
}

// kid is the kid that a word means. One that is also a role's name or letter means a kid only as an id.
func (l *liner) kid(t string, isRole bool) (string, bool) {
	t = strings.TrimPrefix(t, "#")
	id, which := drills.FindKid(t, l.f.Roster)
	switch {
	case isRole && drills.IDKey(id) != drills.IDKey(t):
		return "", false
	case len(which) > 1:
		what, do := drills.KidError(t, which, l.f.Roster)
		l.problem(do, "%s", what)
		return which[0], true
	}
	return id, id != ""
}

func (l *liner) role(t string) (string, bool) {
	r, ok := l.f.Team.Catalogue.Role(l.f.Team.Catalogue.RoleMeant(t))
	return r.Name, ok
}

// unknown says what a word may have been meant to be.
func (l *liner) unknown(t string) {
	var names, letters []string
	for _, r := range l.f.Team.Catalogue.Roles {
		names, letters = append(names, r.Name), append(letters, r.Letter+" "+r.Name)
	}
	advice := drills.KidAdvice(t, l.f.Roster)
	if !strings.HasPrefix(advice, "did you mean") {
		advice = "roles are " + prose.And(letters) + "; kids go by their ids in roster.csv"
	}
	l.problem(prose.DidYouMean(t, names, advice), "%s is no role and no kid", drills.Quote(t))
}

// ParseVoid reads series, or all of them: 4, 4-6, all.
func ParseVoid(text string) (all bool, ns []int, err error) {
	for _, part := range strings.Split(text, ",") {
		part = strings.ToLower(strings.TrimSpace(part))
		if part == "all" || part == "game" {
			all = true
			continue
		}
		first, last, ok := gameplan.ParseRange(part)
		if !ok {
			return false, nil, asked.Wrong(asked.Void, fmt.Sprintf("%q is no series", part), "write one such as 4, or 4-6, or all for the whole game")
		}
		for n := first; n <= last; n++ {
			ns = append(ns, n)
		}
	}
	return all, ns, nil
}
