// Package trie looks up words of states, a byte a kid, among many: is there one that fits?
package trie

import (
	"math/bits"
	"slices"
)

// Word is the states of all kids, a byte each.
type Word struct{ Hi, Lo uint64 }

// At is the state of kid k.
func (w Word) At(k int) int {
	if k < 8 {
		return int(w.Hi >> (56 - 8*k) & 255)
	}
	return int(w.Lo >> (120 - 8*k) & 255)
}

// Place is state x of kid k.
func Place(k int, x uint64) Word {
	if k < 8 {
		return Word{Hi: x << (56 - 8*k)}
	}
	return Word{Lo: x << (120 - 8*k)}
}

// Ending is the word of an end of a game, with its objective.
type Ending struct {
	Word
	Acc int64
}

// Trie holds words by their first kid's state, then the second's, and so on, so that all words that fit another
// are found without looking at most of the rest.
type Trie struct {
	level [][]node  // by kid
	best  [][]int64 // by kid and node: the most of the objective below it, then by word; nil: it does not count
}

type node struct {
	states uint64 // those that go on from here
	child  uint32 // of the lowest; the others follow
}

func (w Word) compare(v Word) int {
	switch {
	case w.Hi < v.Hi || w.Hi == v.Hi && w.Lo < v.Lo:
		return -1
	case w == v:
		return 0
	}
	return 1
}

// Merge sorts the fresh endings by their words and puts them in their places among the old ones, all behind out.
func Merge(out, old, fresh []Ending) []Ending {
	slices.SortFunc(fresh, func(a, b Ending) int { return a.compare(b.Word) })
	out = slices.Grow(out, len(old)+len(fresh))
	for len(old) > 0 && len(fresh) > 0 {
		if old[0].compare(fresh[0].Word) <= 0 {
			out, old = append(out, old[0]), old[1:]
		} else {
			out, fresh = append(out, fresh[0]), fresh[1:]
		}
	}
	return append(append(out, old...), fresh...)
}

// New holds the endings, which are in order of their words, with their objective if it counts; states are below 64. It takes the
// Place of another of as many kids, if that is not nil.
func New(t *Trie, words []Ending, kids int, counts bool) *Trie {
	if t == nil {
		t = &Trie{level: make([][]node, kids)}
	}
	for k := range t.level {
		t.level[k] = t.level[k][:0]
	}
	switch {
	case !counts:
		t.best = nil
	case t.best == nil:
		t.best = make([][]int64, kids+1)
	default:
		for k := range t.best {
			t.best[k] = t.best[k][:0]
		}
	}
	for i, w := range words {
		same := 0 // kids in common with the word before
		if i > 0 {
			if same = w.common(words[i-1].Word); same >= kids {
				t.raise(w.Acc)
				continue
			}
			n := len(t.level[same]) - 1
			t.level[same][n].states |= 1 << w.At(same)
			same++
		}
		for k := same; k < kids; k++ {
			n := node{states: 1 << w.At(k)}
			switch {
			case k+1 < kids:
				n.child = uint32(len(t.level[k+1]))
			case counts:
				n.child = uint32(len(t.best[kids]))
			}
			t.level[k] = append(t.level[k], n)
			if counts {
				t.best[k] = append(t.best[k], w.Acc)
			}
		}
		if counts {
			t.best[kids] = append(t.best[kids], w.Acc)
			t.raise(w.Acc)
		}
	}
	return t
}

// common is how many kids have the same states in both, from the first on.
func (w Word) common(v Word) int {
	if x := v.Hi ^ w.Hi; x != 0 {
		return bits.LeadingZeros64(x) / 8
	}
	return 8 + bits.LeadingZeros64(v.Lo^w.Lo)/8
}

// raise has the nodes above the last word, and the word, know of its objective.
func (t *Trie) raise(acc int64) {
	for k := range t.best {
		n := len(t.best[k]) - 1
		t.best[k][n] = max(t.best[k][n], acc)
	}
}

// Fits tells whether there is a word whose state is in fit[k] for every kid k, with at least so much of the objective if it counts.
func (t *Trie) Fits(fit []uint64, least int64) bool {
	return len(t.level[0]) > 0 && t.below(0, 0, fit, least)
}

func (t *Trie) below(k int, i uint32, fit []uint64, least int64) bool {
	if t.best != nil && t.best[k][i] < least {
		return false
	}
	if k == len(t.level) {
		return true
	}
	at := &t.level[k][i]
	set := at.states & fit[k]
	if k == len(t.level)-1 && t.best == nil {
		return set != 0
	}
	for ; set != 0; set &= set - 1 {
		before := at.states & (set&-set - 1)
		if t.below(k+1, at.child+uint32(bits.OnesCount64(before)), fit, least) {
			return true
		}
	}
	return false
}
