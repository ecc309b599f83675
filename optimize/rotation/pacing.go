package rotation

import "cmp"

// pacing is when a solve brings in what else it has, in nodes; 0: as usual. It changes how an answer is found, never the answer, and so tests
// set it to have on small games what else only long ones come to.
type pacing struct {
	solo   int64 // how far the search by series goes alone
	putOff int64 // the effort after which closeIn puts a level off
	order  int   // the search for one order of chosen lineups
}

// soloNodes is how far the search by series goes alone; most questions end there.
func (p pacing) soloNodes() int64 { return cmp.Or(p.solo, 3_000) }

// closeNodes is the effort after which closeIn puts a level off.
func (p pacing) closeNodes() int64 { return cmp.Or(p.putOff, 2_500_000) }

// orderNodes bounds the search for one order.
func (p pacing) orderNodes() int { return cmp.Or(p.order, 4_000) }
