package draft

import (
	"slices"
)

// flow relaxes a completion: kids of a unit may be torn apart, and units kept apart from each other may meet; who can be on which team, team sizes
// and the limits of returning kids stay. Kids alike in these are one node. Where all units left are single kids without open
// enemies, nothing is relaxed.
//
//	source -> kind of kids -> (old team, team) -> team -> sink: lo
//	                                              team -> extra -> sink: larger
type flow struct {
	c       *completer
	kinds   []kind
	kindOf  map[int32]int
	want    int
	head    []int32 // first arc of a node; -1: none
	arcs    []arc
	level   []int32
	next    []int32
	source  int32
	sink    int32
	through [][]int32 // by kind: the arc for each team; -1: none
}

// kind is kids who can go to the same teams and come from the same limited old team.
type kind struct {
	teams uint64
	old   int // -1: none
	kids  int
	units []int32
}

type arc struct {
	to, next int32
	room     int32
}

func (c *completer) newFlow() *flow {
	f := &flow{c: c, kindOf: map[int32]int{}}
	for u := range c.units {
		if c.team[u] == Unplaced {
			f.sort(int32(u))
		}
	}
	teams := int32(c.teams)
	olds := int32(c.olds)
	// Nodes: kinds, (old, team), teams, extra, source, sink.
	oldAt := int32(len(f.kinds))
	teamAt := oldAt + olds*teams
	extra := teamAt + teams
	f.source, f.sink = extra+1, extra+2
	f.head = slices.Repeat([]int32{-1}, int(f.sink)+1)
	used := 0
	for t := range teams {
		have := int(c.kids[t])
		f.link(teamAt+t, f.sink, max(0, c.lo-have))
		if c.larger > 0 {
			if have == c.hi {
				used++
			} else {
				f.link(teamAt+t, extra, 1)
			}
		}
		for o := range olds {
			f.link(oldAt+o*teams+t, teamAt+t, max(0, c.most-int(c.old[t*olds+o])))
		}
	}
	f.link(extra, f.sink, max(0, c.larger-used))
	for i, k := range f.kinds {
		f.want += k.kids
		f.link(f.source, int32(i), k.kids)
		through := slices.Repeat([]int32{-1}, c.teams)
		each(k.teams, func(t int) {
			to := teamAt + int32(t)
			if k.old >= 0 {
				to = oldAt + int32(k.old)*teams + int32(t)
			}
			through[t] = int32(len(f.arcs))
			f.link(int32(i), to, k.kids)
		})
		f.through = append(f.through, through)
	}
	return f
}

// sort puts a unit's kids into kinds. A unit with kids from limited old teams is torn by old team.
func (f *flow) sort(u int32) {
	var teams uint64
	each(f.c.units[u].teams, func(t int) {
		if f.c.fits(u, int32(t)) {
			teams |= 1 << t
		}
	})
	un := &f.c.units[u]
	rest := un.size()
	for o, n := range un.old {
		if n > 0 {
			rest -= int(n)
			f.add(u, teams, o, int(n))
		}
	}
	if rest > 0 {
		f.add(u, teams, -1, rest)
	}
}

func (f *flow) add(u int32, teams uint64, old, kids int) {
	i := slices.IndexFunc(f.kinds, func(k kind) bool { return k.teams == teams && k.old == old })
	if i < 0 {
		i = len(f.kinds)
		f.kinds = append(f.kinds, kind{teams: teams, old: old})
	}
	f.kinds[i].kids += kids
	f.kinds[i].units = append(f.kinds[i].units, u)
	f.kindOf[u] = i
}

func (f *flow) link(a, b int32, room int) {
	f.arcs = append(f.arcs, arc{b, f.head[a], int32(room)}, arc{a, f.head[b], 0})
	f.head[a], f.head[b] = int32(len(f.arcs)-2), int32(len(f.arcs)-1)
}

// run tells whether all kids find a place (Dinic 1970).
func (f *flow) run() bool {
	sent := 0
	for f.layers() {
		f.next = slices.Clone(f.head)
		for {
			n := f.push(f.source, 1<<30)
			if n == 0 {
				break
			}
			sent += int(n)
		}
	}
	return sent == f.want
}

func (f *flow) layers() bool {
	f.level = slices.Repeat([]int32{-1}, len(f.head))
	f.level[f.source] = 0
	queue := []int32{f.source}
	for len(queue) > 0 {
		a := queue[0]
		queue = queue[1:]
		for i := f.head[a]; i >= 0; i = f.arcs[i].next {
			if b := f.arcs[i].to; f.arcs[i].room > 0 && f.level[b] < 0 {
				f.level[b] = f.level[a] + 1
				queue = append(queue, b)
			}
		}
	}
	return f.level[f.sink] >= 0
}

func (f *flow) push(a, most int32) int32 {
	if a == f.sink {
		return most
	}
	for ; f.next[a] >= 0; f.next[a] = f.arcs[f.next[a]].next {
		i := f.next[a]
		b := f.arcs[i].to
		if f.arcs[i].room == 0 || f.level[b] != f.level[a]+1 {
			continue
		}
		if n := f.push(b, min(most, f.arcs[i].room)); n > 0 {
			f.arcs[i].room -= n
			f.arcs[i^1].room += n
			return n
		}
	}
	return 0
}

// on is how many kids of a kind the flow puts on a team.
func (f *flow) on(kind int, t int32) int {
	if i := f.through[kind][t]; i >= 0 {
		return int(f.arcs[i^1].room)
	}
	return 0
}

// prefer is the teams in the order in which to try a unit: where the flow puts most of its kind first.
func (f *flow) prefer(u int32) []int32 {
	k := f.kindOf[u]
	order := make([]int32, f.c.teams)
	for t := range order {
		order[t] = int32(t)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return f.on(k, b) - f.on(k, a) })
	return order
}

// place puts the units, single kids all, where the flow puts their kinds.
func (f *flow) place() {
	for i, k := range f.kinds {
		units := k.units
		for t := range int32(f.c.teams) {
			for range f.on(i, t) {
				f.c.put(units[0], t)
				units = units[1:]
			}
		}
	}
}
