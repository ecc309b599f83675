package rotation

import (
	"sevenyard/optimize/rotation/internal/memo"
	"sevenyard/optimize/rotation/internal/shelf"
)

// space is what answered questions no longer need, for others: to ask for fresh memory takes as long as to use it. The zero space
// keeps no slices.
type space struct {
	memos  shelf.Of[memo.Slot]
	rows   shelf.Of[int32]
	slots  shelf.Of[uint64]
	pieces shelf.Of[reached]
	bucket [][]int32
	front  []ahead
}

func newSpace() space {
	return space{memos: shelf.Of[memo.Slot]{}, rows: shelf.Of[int32]{}, slots: shelf.Of[uint64]{}, pieces: shelf.Of[reached]{}}
}

// release gives the space of ends back that nobody will ask any more.
func (e *ends) release() {
	e.space.slots.Give(e.slot)
	for _, piece := range e.seen {
		e.space.pieces.Give(piece)
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
	v.space.memos.Give(qu.search.memo.Slots())
	qu.search.forced.release(v.space.rows)
	if e := qu.search.ends; e != nil {
		e.release()
	}
}

func (f *forced) release(rows shelf.Of[int32]) {
	if f == nil {
		return
	}
	for s, row := range f.least {
		if s > 0 && (s == 1 || &row[0] != &f.least[s-1][0]) {
			rows.Give(row)
		}
	}
}
