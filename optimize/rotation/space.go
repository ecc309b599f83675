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

// endSpace is the space of ends that are no longer needed, for others: to ask for fresh memory takes as long as to use it.
type endSpace struct {
	slots  shelf[uint64]
	pieces shelf[reached]
	rows   shelf[int32]
	bucket [][]int32
	front  []ahead
}

func newEndSpace() *endSpace {
	return &endSpace{slots: shelf[uint64]{}, pieces: shelf[reached]{}, rows: shelf[int32]{}}
}

// release gives the space of ends back that nobody will ask any more.
func (e *ends) release() {
	e.space.slots.give(e.slot)
	for _, piece := range e.seen {
		e.space.pieces.give(piece)
	}
	e.q.forced.release()
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
	v.memos.give(qu.search.memo.slot)
	qu.search.forced.release()
	if e := qu.search.ends; e != nil {
		e.release()
	}
}

// release gives the space back.
func (f *forced) release() {
	if f == nil {
		return
	}
	for s, row := range f.least {
		if s > 0 && (s == 1 || &row[0] != &f.least[s-1][0]) {
			f.spare.give(row)
		}
	}
}
