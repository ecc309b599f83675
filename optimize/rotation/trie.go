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

// trie holds words by their first kid's state, then the second's, and so on, so that all words that fit another
// are found without looking at most of the rest.
type trie struct {
	level [][]trieNode // by kid
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

// merge sorts the fresh words and puts them in their places among the old ones.
func merge(old, fresh []word) []word {
	slices.SortFunc(fresh, word.compare)
	out := make([]word, 0, len(old)+len(fresh))
	for len(old) > 0 && len(fresh) > 0 {
		if old[0].compare(fresh[0]) <= 0 {
			out, old = append(out, old[0]), old[1:]
		} else {
			out, fresh = append(out, fresh[0]), fresh[1:]
		}
	}
	return append(append(out, old...), fresh...)
}

// newTrie holds the words, which are in order; states are below 64.
func newTrie(words []word, kids int) *trie {
	t := &trie{level: make([][]trieNode, kids)}
	for i, w := range words {
		same := 0 // kids in common with the word before
		if i > 0 {
			v := words[i-1]
			if x := v.hi ^ w.hi; x != 0 {
				same = bits.LeadingZeros64(x) / 8
			} else if x := v.lo ^ w.lo; x != 0 {
				same = 8 + bits.LeadingZeros64(x)/8
			} else {
				continue
			}
			n := len(t.level[same]) - 1
			t.level[same][n].states |= 1 << w.at(same)
			same++
		}
		for k := same; k < kids; k++ {
			node := trieNode{states: 1 << w.at(k)}
			if k+1 < kids {
				node.child = uint32(len(t.level[k+1]))
			}
			t.level[k] = append(t.level[k], node)
		}
	}
	return t
}

// fits tells whether there is a word whose state is in fit[k] for every kid k.
func (t *trie) fits(fit []uint64) bool {
	return len(t.level[0]) > 0 && t.below(0, 0, fit)
}

func (t *trie) below(k int, i uint32, fit []uint64) bool {
	node := &t.level[k][i]
	set := node.states & fit[k]
	if k == len(t.level)-1 {
		return set != 0
	}
	for ; set != 0; set &= set - 1 {
		before := node.states & (set&-set - 1)
		if t.below(k+1, node.child+uint32(bits.OnesCount64(before)), fit) {
			return true
		}
	}
	return false
}
