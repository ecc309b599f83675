package drills

import (
	"strconv"
	"strings"

	"sevenyard/drills/prose"
)

// unknowns gathers names that nothing is known of, so that a kid left off the roster is reported
// once with all its lines and not once a trial.
type unknowns struct {
	probs *collector
	index map[[2]string]int
	list  []unknownName
}

type unknownName struct {
	kind, word string
	lines      []int
	more       int
}

func newUnknowns(probs *collector) *unknowns {
	return &unknowns{probs: probs, index: map[[2]string]int{}}
}

func (u *unknowns) add(kind, word string, line int) {
	if word == "" {
		u.probs.add(line, "fill it in", "no %s is named", kind)
		return
	}
	key := [2]string{kind, word}
	i, seen := u.index[key]
	if !seen {
		if len(u.list) >= keptProblems {
			u.probs.add(line, "", "unknown %s %s", kind, quote(word))
			return
		}
		word = strings.Clone(word)
		i = len(u.list)
		u.index[[2]string{kind, word}] = i
		u.list = append(u.list, unknownName{kind: kind, word: word})
	}
	if n := &u.list[i]; len(n.lines) < 6 {
		n.lines = append(n.lines, line)
	} else {
		n.more++
	}
}

// report turns them into problems at their first lines. others are the known words of the kinds
// other than "kid".
func (u *unknowns) report(ros *roster, others []string) {
	for i, n := range u.list {
		do := ""
		switch {
		case i >= MaxProblems: // too many to be slips, and a near match takes time
		case n.kind == "kid" && len(ros.ids) == 0:
			continue // the roster has problems of its own
		case n.kind == "kid":
			do = ros.advice(n.word)
		default:
			do = prose.DidYouMean(n.word, others, "known "+n.kind+"s are "+prose.And(others))
		}
		also := ""
		if len(n.lines) > 1 {
			also = " (also on line"
			if len(n.lines) > 2 {
				also += "s"
			}
			words := make([]string, 0, len(n.lines))
			for _, l := range n.lines[1:] {
				words = append(words, strconv.Itoa(l))
			}
			if n.more > 0 {
				words = append(words, strconv.Itoa(n.more)+" more")
			}
			also += " " + prose.And(words) + ")"
		}
		u.probs.add(n.lines[0], do, "unknown %s %s%s", n.kind, quote(n.word), also)
	}
}
