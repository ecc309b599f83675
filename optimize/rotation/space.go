package rotation

// shelf keeps slices for others of the same length. A nil one keeps nothing.
type shelf[T any] map[int][][]T

// take is a slice of zeros.
func (s shelf[T]) take(n int) []T {
	if kept := s[n]; len(kept) > 0 {
		out := kept[len(kept)-1]
		s[n] = kept[:len(kept)-1]
		clear(out)
		return out
	}
	return make([]T, n)
}

func (s shelf[T]) give(x []T) {
	if s != nil {
		s[len(x)] = append(s[len(x)], x)
	}
}

// space is what answered questions no longer need, for others: to ask for fresh memory takes as long as to use it. The zero space
// keeps no slices.
type space struct {
	memos  shelf[memoSlot]
	rows   shelf[int32]
	slots  shelf[uint64]
	pieces shelf[reached]
	bucket [][]int32
	front  []ahead
}

func newSpace() space {
	return space{memos: shelf[memoSlot]{}, rows: shelf[int32]{}, slots: shelf[uint64]{}, pieces: shelf[reached]{}}
}

// release gives the space of ends back that nobody will ask any more.
func (e *ends) release() {
	e.space.slots.give(e.slot)
	for _, piece := range e.seen {
		e.space.pieces.give(piece)
	}
	e.q.forced.release(e.space.rows)
	for i := range e.bucket {
		e.bucket[i] = e.bucket[i][:0]
	}
	for s := range e.front {
		f := &e.front[s]
		if f.trie != nil {
			f.before = f.known
		}
		*f = ahead{before: f.before}
	}
	e.space.bucket, e.space.front = e.bucket, e.front
}

// release gives back the space of a question that nobody will ask any more, nor inherit from.
func (v *solver) release(qu *question) {
	if qu.search == nil {
		return
	}
	v.space.memos.give(qu.search.memo.slot)
	qu.search.forced.release(v.space.rows)
	if e := qu.search.ends; e != nil {
		e.release()
	}
}

func (f *forced) release(rows shelf[int32]) {
	if f == nil {
		return
	}
	for s, row := range f.least {
		if s > 0 && (s == 1 || &row[0] != &f.least[s-1][0]) {
			rows.give(row)
		}
	}
}
