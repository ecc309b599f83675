package games

import (
	"bytes"

	"sevenyard/drills"
)

// Addition is what a change does to the bytes of a record.
type Addition struct {
	Record *Record // as it is with it
	Entry  int     // the number of the entry; 0: there is nothing to write
	First  bool    // there was no record before
	Whole  int     // so many bytes stay as they are
	Torn   []byte  // those behind them: what a crash has left of an entry, to be put aside
	Block  []byte  // what is appended to those that stay; nil: nothing is
}

// Bytes are those of the record with the addition; data are those that it was worked out for.
func (a *Addition) Bytes(data []byte) []byte {
	if a.Block == nil {
		return data
	}
	return append(bytes.Clone(data[:a.Whole]), a.Block...)
}

// Add works out what a change does to the bytes of a record, wherever they are kept: there says whether there is one. It asks what to change, as Update
// of a Journal does; where change gives nil there is nothing to write. An entry that does not go together with the record, or a record with problems, gives
// drills.Problems. With an error of change itself, the addition has the record as it is.
func Add(data []byte, there bool, change func(*Record) (*Change, error)) (*Addition, error) {
	if len(data) > maxFile {
		return nil, drills.Problems{tooLarge(File)}
	}
	rec := &Record{state: fileState{cut: -1}}
	var err error
	if there {
		if rec, err = parse(File, data); err != nil {
			return nil, err
		}
	}
	c, err := change(rec)
	if err != nil || c == nil {
		return &Addition{Record: rec, Whole: len(data)}, err
	}
	if err := c.check(); err != nil {
		return nil, err
	}
	block, err := c.encode(rec.state)
	if err != nil {
		return nil, err
	}
	a := &Addition{Entry: rec.state.last + 1, First: !rec.state.there, Whole: len(data), Block: block}
	if cut := rec.state.cut; cut >= 0 {
		a.Whole, a.Torn = int(cut), data[cut:]
	}
	whole := data[:a.Whole:a.Whole]
	if a.Record, err = parse(File, append(bytes.Clone(whole), block...)); err != nil {
		first := lineOf(whole, len(whole))
		if rec.state.unended {
			first++
		}
		return nil, notThere(err, first)
	}
	return a, nil
}
