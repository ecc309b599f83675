package rotation

import "slices"

// known are the ends of a layer below a border, as a search looks them up.
type known struct {
	border int
	words  []ending // in order
	trie   *trie    // nil: there are none
}

// ahead is what a search knows of the ends that begin at a layer.
type ahead struct {
	known
	spare known // what it knew before, for its space
	count int   // of all ends, known or not
	asked int   // situations that ends listed since would have answered for
}

// A layer's trie is made anew when so many situations asked in vain for what it lacks that it is worth the effort.
const (
	trieShare = 4 // ends of the layer for every situation
	trieWork  = 4 // ends of the layer that are as much work as walking one
)

// makeTries makes the tries that are due, which the search goes on without until they are handed over.
func (e *ends) makeTries() {
	if len(e.due) == 0 {
		return
	}
	n := e.q.m.series
	from := e.listed
	for _, s := range e.due {
		from = min(from, e.front[s].border)
	}
	fresh := make([][]ending, n+1)
	for b := from; b < e.listed; b++ {
		for _, id := range e.bucket[b] {
			x := e.at(id)
			s := n - int(x.layer)
			if slices.Contains(e.due, s) && b >= e.front[s].border {
				fresh[s] = append(fresh[s], ending{x.word, x.acc})
			}
		}
	}
	for _, s := range e.due {
		f := &e.front[s]
		made := known{e.listed, f.words, f.trie}
		if len(fresh[s]) > 0 {
			made.words = merge(f.spare.words[:0], f.words, fresh[s])
			made.trie = newTrie(f.spare.trie, made.words, e.q.m.kids, e.goal != noGoal)
			e.work += int64(len(made.words) / trieWork)
		}
		e.made = append(e.made, made)
	}
}

// handOver gives the search the tries that were made, and sees which ones are due next. Neither the search nor the listing may run meanwhile.
func (e *ends) handOver() {
	for i, made := range e.made {
		f := &e.front[e.due[i]]
		if made.trie != f.trie {
			f.spare = f.known
		}
		f.known, f.asked = made, 0
	}
	e.made, e.due, e.listed = e.made[:0], e.due[:0], e.border
	for s := range e.front {
		if f := &e.front[s]; f.border < e.border && (e.full || f.asked*trieShare >= f.count) {
			e.due = append(e.due, s)
		}
	}
}

// finish makes the tries of all that is listed, for searches that go on without more.
func (e *ends) finish() {
	e.makeTries()
	e.handOver()
	e.listed = 0
}

// follow tells whether a listed end with at least so much of the objective follows the situation before series s.
func (e *ends) follow(s int, state []int16, least int64) bool {
	if e.front[s].trie == nil {
		return false
	}
	var fit [exactKids]uint64
	for k, st := range state {
		fit[k] = e.fits[k][s][st]
	}
	return e.front[s].trie.fits(fit[:len(state)], least)
}
