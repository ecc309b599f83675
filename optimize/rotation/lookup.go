package rotation

import (
	"slices"

	"sevenyard/optimize/rotation/internal/trie"
)

// known are the ends of a layer below a border, as a search looks them up.
type known struct {
	border int
	words  []trie.Ending // in order
	trie   *trie.Trie    // nil: there are none
}

// ahead is what a search knows of the ends that begin at a layer.
type ahead struct {
	known
	before known // what it knew before that, for its space
	count  int   // of all ends, known or not
	asked  int   // situations that ends listed since would have answered for
}

// A layer's trie is made anew when so many situations asked in vain for what it lacks that it is worth the effort.
const (
	trieShare = 4 // ends of the layer for every situation
	trieWork  = 4 // ends of the layer that are as much work as walking one
)

// makeTries makes the tries of the layers, or of the first of them if time is up; the search goes on without until they are handed over.
func (e *ends) makeTries(layers []int, expired func() bool) []known {
	if len(layers) == 0 {
		return nil
	}
	var made []known
	n := e.q.m.series
	from := e.listed
	for _, s := range layers {
		from = min(from, e.front[s].border)
	}
	fresh := make([][]trie.Ending, n+1)
	for b := from; b < e.listed; b++ {
		for _, id := range e.bucket[b] {
			x := e.at(id)
			s := n - int(x.layer)
			if slices.Contains(layers, s) && b >= e.front[s].border {
				fresh[s] = append(fresh[s], trie.Ending{Word: x.Word, Acc: x.acc})
			}
		}
	}
	for _, s := range layers {
		if expired() {
			break
		}
		f := &e.front[s]
		next := known{e.listed, f.words, f.trie}
		if len(fresh[s]) > 0 {
			next.words = trie.Merge(f.before.words[:0], f.words, fresh[s])
			next.trie = trie.New(f.before.trie, next.words, e.q.m.kids, e.goal != noGoal)
		}
		made = append(made, next)
	}
	return made
}

// handOver gives the search the tries that were made, and sees which ones are due next. Neither the search nor the listing may run meanwhile.
func (e *ends) handOver() {
	for i, made := range e.made {
		e.front[e.due[i]].learn(made)
	}
	e.made, e.due, e.listed = nil, e.due[:0], e.border
	for s := range e.front {
		if f := &e.front[s]; f.border < e.border && f.asked*trieShare >= f.count {
			e.due = append(e.due, s)
		}
	}
}

func (f *ahead) learn(made known) {
	if made.trie != f.trie {
		f.before = f.known
	}
	f.known, f.asked = made, 0
}

// finish makes the tries of all that is listed, for searches that go on without more, unless time is up. both runs two pieces of work,
// side by side where there is more than one worker.
func (e *ends) finish(both func(a, b func()), expired func() bool) {
	half := func(first int) {
		var layers []int
		for s := first; s < len(e.front); s += 2 {
			layers = append(layers, s)
		}
		for i, made := range e.makeTries(layers, expired) {
			e.front[layers[i]].learn(made)
		}
	}
	both(func() { half(0) }, func() { half(1) })
	e.listed, e.due = 0, nil // the searches to come count nothing
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
	return e.front[s].trie.Fits(fit[:len(state)], least)
}
