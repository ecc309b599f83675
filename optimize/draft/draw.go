package draft

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Draw draws teams to coaches from words that everybody in the room knows. Anybody can redo it by hand or with any program:
//
//  1. The seed is the words in lower case, with one space between them.
//  2. Coaches whose own kid is on a team have that team. The other coaches, and the teams that nobody has, are written down by name, bytewise.
//  3. Numbers come from SHA-256 of the seed's UTF-8 bytes, a line feed, and a counter in decimal digits, from 0: each hash is four
//     numbers of eight bytes, the most significant byte first.
//  4. The list of teams, with positions from 0, is shuffled (Fisher and Yates 1938; Durstenfeld 1964): for At from the last position down to 1, take
//     the next number below the greatest multiple of At+1 that is not over 2^64 (numbers from there on are thrown away, so that every
//     remainder is equally likely), let With be its remainder by At+1, and let the teams at At and With trade places.
//  5. The first coach has the first team, and so on; teams may be left over.
func Draw(words string, teams []string, coaches []Coach) (*Drawn, error) {
	d := &Drawn{Seed: strings.ToLower(strings.Join(strings.Fields(words), " ")), Teams: make([]int, len(coaches)), Steps: []DrawStep{}}
	if d.Seed == "" {
		return nil, fmt.Errorf("draft: no words to draw from")
	}
	taken := make([]bool, len(teams))
	var free []int
	seen := map[string]bool{}
	for i, c := range coaches {
		switch {
		case seen[c.Label]:
			return nil, fmt.Errorf("draft: coach %q is there twice", c.Label)
		case c.Team < Unplaced || c.Team >= len(teams):
			return nil, fmt.Errorf("draft: team %d of %d in the draw", c.Team, len(teams))
		case c.Team == Unplaced:
			free = append(free, i)
		default:
			d.Teams[i], taken[c.Team] = c.Team, true
		}
		seen[c.Label] = true
	}
	for t := range teams {
		if slices.Index(teams, teams[t]) != t {
			return nil, fmt.Errorf("draft: team %q is there twice", teams[t])
		}
		if !taken[t] {
			d.Open = append(d.Open, t)
		}
	}
	if len(free) > len(d.Open) {
		return nil, fmt.Errorf("draft: %d coaches for %d open teams", len(free), len(d.Open))
	}
	slices.SortFunc(d.Open, func(a, b int) int { return strings.Compare(teams[a], teams[b]) })
	slices.SortFunc(free, func(a, b int) int { return strings.Compare(coaches[a].Label, coaches[b].Label) })
	order := slices.Clone(d.Open)
	stream := hashStream{seed: d.Seed}
	for at := len(order) - 1; at > 0; at-- {
		number := stream.below(uint64(at + 1))
		with := int(number % uint64(at+1))
		order[at], order[with] = order[with], order[at]
		d.Steps = append(d.Steps, DrawStep{At: at, With: with, Number: number})
	}
	for i, c := range free {
		d.Teams[c] = order[i]
	}
	return d, nil
}

// hashStream is numbers from SHA-256 of a seed and a counter.
type hashStream struct {
	seed  string
	block int
	hash  []byte
}

func (h *hashStream) next() uint64 {
	if len(h.hash) == 0 {
		sum := sha256.Sum256([]byte(h.seed + "\n" + strconv.Itoa(h.block)))
		h.hash = sum[:]
		h.block++
	}
	n := binary.BigEndian.Uint64(h.hash)
	h.hash = h.hash[8:]
	return n
}

// below is the next number whose remainder by n is fair.
func (h *hashStream) below(n uint64) uint64 {
	waste := -n % n // 2^64 mod n: so many numbers at the top are thrown away
	for {
		if x := h.next(); x <= ^uint64(0)-waste {
			return x
		}
	}
}
