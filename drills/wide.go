package drills

import (
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// wideColumn is a column of a wide sheet: a drill, a trial, and for counted drills the attempts.
type wideColumn struct {
	at       int
	word     string // the drill as written
	drill    int    // -1: unknown
	number   int
	attempts int // 0: each cell gives them
}

// parseColumn reads a header cell such as "shuttle 2", "pull 1/10" or "sprint". ok is false if it
// cannot be one at all.
func (r *results) parseColumn(header string) (c wideColumn, ok bool) {
	c = wideColumn{word: header, drill: r.findDrill(header), number: 1}
	header = strings.ReplaceAll(strings.ReplaceAll(header, " /", "/"), "/ ", "/")
	if c.drill >= 0 {
		return c, true
	}
	i := strings.LastIndexAny(header, " _-")
	if i < 0 {
		return c, header != ""
	}
	tail, of, slash := strings.Cut(header[i+1:], "/")
	n, fine := parseWhole(tail)
	if !fine {
		return c, true
	}
	c.number = n
	c.word = strings.TrimSpace(header[:i])
	c.drill = r.findDrill(c.word)
	if slash {
		if c.attempts, fine = parseWhole(of); !fine || c.attempts == 0 {
			return c, false
		}
	}
	return c, c.number >= 1 && c.number <= mostTrials
}

// readWide reads one row a kid.
func (r *results) readWide() int {
	columns, ok := r.wideHeader()
	if !ok {
		return 1
	}
	return r.each(func() {
		var who record
		known := r.person(&who)
		for _, c := range columns {
			cell := r.at(c.at)
			if cell == "" {
				continue
			}
			rec := who
			rec.line, rec.drill, rec.number = r.line, c.drill, c.number
			if r.measure(&rec, cell, "", c.attempts) && known {
				r.keep(rec)
			}
		}
	})
}

// wideHeader finds the columns and reports those that are none.
func (r *results) wideHeader() ([]wideColumn, bool) {
	var columns []wideColumn
	seen := map[[2]int]string{}
	good := true
	fail := func(do, format string, args ...any) {
		r.probs.add(r.line, do, format, args...)
		good = false
	}
	for i, h := range r.header {
		if name := columnName(h); slices.Contains(wideColumns, name) {
			r.column(name, i)
			continue
		}
		c, ok := r.parseColumn(h)
		c.at = i
		switch {
		case h == "":
			fail("name it, such as shuttle 1, or take it out", "column %d has no name", i+1)
		case c.drill < 0 && r.cat.isSpoilt("drill", c.word):
			good = false
		case c.drill < 0:
			do := prose.DidYouMean(h, wideColumns, "known drills are "+prose.And(r.names))
			fail(prose.DidYouMean(c.word, r.names, do), "unknown column %s", quote(h))
		case !ok:
			fail("write drill, trial and attempts, such as shuttle 2 or pull 1/10", "column %s is unclear", quote(h))
		case c.attempts > 0 && r.cat.Drills[c.drill].Kind != Counted:
			fail("write "+r.names[c.drill]+" "+number(float64(c.number)), "column %s gives attempts, and %s is not counted", quote(h), r.names[c.drill])
		case seen[[2]int{c.drill, c.number}] != "":
			fail("number the trials 1, 2, ...", "columns %s and %s are the same trial", quote(seen[[2]int{c.drill, c.number}]), quote(h))
		default:
			seen[[2]int{c.drill, c.number}] = h
			columns = append(columns, c)
		}
	}
	if !r.require([]string{"kid"}) {
		return nil, false
	}
	return columns, len(columns) > 0 || good
}
