package rotation

import (
	"math"

	"sevenyard/optimize/rotation/internal/shelf"
)

// forced looks a series ahead: with some kids benched now, others have to be on in the next series, and the cheapest lineup with all of
// these may give away more than the prices tell. Where many kids take turns on few spots that is most lineups, if there is one at all.
type forced struct {
	byLevel bool // what a lineup has above the level counts as given away too, less the lag of its series; else only the goal counts
	// By series and set of kids, the least that a lineup with all of them gives away, in whole units; math.MaxInt32: there is none.
	least [][]int32
}

// forcedWork is the most sets of kids that are looked at.
const forcedWork = 2_000_000

// foresee has the search look a series ahead from now on, if that applies.
func (q *search) foresee(rows shelf.Of[int32]) {
	m, d := q.m, q.d
	if q.forced != nil || q.view == nil || m.p.Played != nil {
		return
	}
	work := 0
	for s := 1; s < m.series; s++ {
		work += d.size[s] << d.active[s].width
	}
	if work > forcedWork {
		return
	}
	f := &forced{byLevel: m.linked && q.w != noLevel, least: make([][]int32, m.series)}
	for s := 1; s < m.series; s++ {
		if s > 1 && d.active[s] == d.active[s-1] && d.size[s] == d.size[s-1] && d.samePrices(s, s-1) {
			f.least[s] = f.least[s-1]
			continue
		}
		f.least[s] = rows.Take(1 << m.kids)
		f.fill(q, s)
	}
	q.forced = f
}

// fill finds the cheapest lineup for every set of kids in series s.
func (f *forced) fill(q *search, s int) {
	d, least := q.d, f.least[s]
	for i := range least {
		least[i] = math.MaxInt32
	}
	t := d.active[s]
	for c, mask := range t.mask[:d.size[s]] {
		loss := d.loss(s, c)
		if f.byLevel {
			loss += (int64(t.level[c])-q.w)*priceScale - q.lags[s]
		}
		x := int32(min(loss/priceScale, math.MaxInt32-1)) // loss is not negative
		for set := mask; ; set = (set - 1) & mask {
			least[set] = min(least[set], x)
			if set == 0 {
				break
			}
		}
	}
}

// next is the row for the series after s; nil: nothing is known.
func (f *forced) next(s int) []int32 {
	if f == nil || s+1 >= len(f.least) {
		return nil
	}
	return f.least[s+1]
}

// cut tells whether nothing can follow a lineup with what is left of the rest's budget for the level and for the goal, in price units.
func (f *forced) cut(row []int32, o outlook, mask uint32, level, goal int64) bool {
	x := int64(row[o.ifOff&^mask|o.ifOn&mask])
	if x == math.MaxInt32 {
		return true
	}
	if f.byLevel {
		return x*priceScale > level
	}
	return x*priceScale > goal
}
