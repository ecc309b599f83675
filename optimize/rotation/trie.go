package rotation

import (
	"math/bits"
	"slices"
)

// word is the states of all kids, a byte each.
type word struct{ hi, lo uint64 }

func (w word) at(k int) int {
	if k < 8 {
		return int(w.hi >> (56 - 8*k) & 255)
	}
	return int(w.lo >> (120 - 8*k) & 255)
}

// place is state x of kid k.
func place(k int, x uint64) word {
	if k < 8 {
		return word{hi: x << (56 - 8*k)}
	}
	return word{lo: x << (120 - 8*k)}
}

// ending is the word of an end of a game, with its objective.
type ending struct {
	word
	acc int64
}

// trie holds words by their first kid's state, then the second's, and so on, so that all words that fit another
// are found without looking at most of the rest.
type trie struct {
	level [][]trieNode // by kid
	best  [][]int64    // by kid and node: the most of the objective below it, then by word; nil: it does not count
}

type trieNode struct {
	states uint64 // those that go on from here
	child  uint32 // of the lowest; the others follow
}

func (w word) compare(v word) int {
	switch {
	case w.hi < v.hi || w.hi == v.hi && w.lo < v.lo:
		return -1
	case w == v:
		return 0
	}
	return 1
}

// merge sorts the fresh endings by their words and puts them in their places among the old ones, all behind out.
func merge(out, old, fresh []ending) []ending {
	slices.SortFunc(fresh, func(a, b ending) int { return a.compare(b.word) })
	out = slices.Grow(out, len(old)+len(fresh))
	for len(old) > 0 && len(fresh) > 0 {
		if old[0].compare(fresh[0].word) <= 0 {
			out, old = append(out, old[0]), old[1:]
		} else {
			out, fresh = append(out, fresh[0]), fresh[1:]
		}
	}
	return append(append(out, old...), fresh...)
}

// newTrie holds the endings, which are in order of their words, with their objective if it counts; states are below 64. It takes the
// place of another of as many kids, if that is not nil.
func newTrie(t *trie, words []ending, kids int, counts bool) *trie {
	if t == nil {
		t = &trie{level: make([][]trieNode, kids)}
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
			if same = w.common(words[i-1].word); same >= kids {
				t.raise(w.acc)
				continue
			}
			n := len(t.level[same]) - 1
			t.level[same][n].states |= 1 << w.at(same)
			same++
		}
		for k := same; k < kids; k++ {
			node := trieNode{states: 1 << w.at(k)}
			switch {
			case k+1 < kids:
				node.child = uint32(len(t.level[k+1]))
			case counts:
				node.child = uint32(len(t.best[kids]))
			}
			t.level[k] = append(t.level[k], node)
			if counts {
				t.best[k] = append(t.best[k], w.acc)
			}
		}
		if counts {
			t.best[kids] = append(t.best[kids], w.acc)
			t.raise(w.acc)
		}
	}
	return t
}

// common is how many kids have the same states in both, from the first on.
func (w word) common(v word) int {
	if x := v.hi ^ w.hi; x != 0 {
		return bits.LeadingZeros64(x) / 8
	}
	return 8 + bits.LeadingZeros64(v.lo^w.lo)/8
}

// raise has the nodes above the last word, and the word, know of its objective.
func (t *trie) raise(acc int64) {
	for k := range t.best {
		n := len(t.best[k]) - 1
		t.best[k][n] = max(t.best[k][n], acc)
	}
}

// fits tells whether there is a word whose state is in fit[k] for every kid k, with at least so much of the objective if it counts.
func (t *trie) fits(fit []uint64, least int64) bool {
	return len(t.level[0]) > 0 && t.below(0, 0, fit, least)
}

func (t *trie) below(k int, i uint32, fit []uint64, least int64) bool {
	if t.best != nil && t.best[k][i] < least {
		return false
	}
	if k == len(t.level) {
		return true
	}
	node := &t.level[k][i]
	set := node.states & fit[k]
	if k == len(t.level)-1 && t.best == nil {
		return set != 0
	}
	for ; set != 0; set &= set - 1 {
		before := node.states & (set&-set - 1)
		if t.below(k+1, node.child+uint32(bits.OnesCount64(before)), fit, least) {
			return true
		}
	}
	return false
}
