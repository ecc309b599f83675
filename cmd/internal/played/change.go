package played

import (
	"maps"
	"slices"

	"sevenyard/drills"
	"sevenyard/drills/games"
)

// change is the entry, nil if the record says all of it already.
func (b *builder) change() *games.Change {
	c := &games.Change{Game: b.told.Game, Date: b.account.Date, Opponent: b.account.Opponent, VoidGame: b.told.VoidGame, Void: b.account.Void}
	for _, n := range slices.Sorted(maps.Keys(b.series)) {
		s := Series{Series: games.Series{Number: n, Slots: b.series[n]}, State: Kept}
		if b.changed(n) {
			s.State = New
			if slices.ContainsFunc(b.was.Series, func(x games.Series) bool { return x.Number == n }) {
				s.State = Corrected
			}
			c.Series = append(c.Series, s.Series)
		}
		b.account.Series = append(b.account.Series, s)
	}
	var all []games.Presence
	for _, kid := range slices.SortedFunc(maps.Keys(b.who), drills.NaturalOrder) {
		all = append(all, b.who[kid].stretches(kid)...)
	}
	if b.told.VoidGame && len(b.series) == 0 {
		all = nil // nothing is left of the game
	}
	b.settle(all)
	was := slices.Clone(b.was.Attendance)
	slices.SortStableFunc(was, func(x, y games.Presence) int { return drills.NaturalOrder(x.Kid, y.Kid) })
	relabelled := b.there && (b.was.Date != c.Date || b.was.Opponent != c.Opponent)
	if !slices.Equal(all, was) || relabelled || b.told.VoidGame {
		c.Kids = all
	}
	c.Hurt = b.hurtNow
	if len(c.Series)+len(c.Kids)+len(c.Void)+len(c.Hurt) == 0 && !c.VoidGame {
		return nil
	}
	return c
}

// settle works out who was there in which of the series on record, and who sat out.
func (b *builder) settle(all []games.Presence) {
	end := 0
	if n := len(b.account.Series); n > 0 {
		end = b.account.Series[n-1].Number
	}
	for _, p := range all {
		if p.Last == 0 || p.Last > end {
			p.Last = end
		}
		if p.First <= p.Last {
			b.account.Kids = append(b.account.Kids, p)
		}
	}
	for i := range b.account.Series {
		s := &b.account.Series[i]
		for _, p := range b.account.Kids { // one stretch of a kid has the series at the most
			on := slices.ContainsFunc(s.Slots, func(x games.Slot) bool { return x.Kid == p.Kid })
			if p.First <= s.Number && s.Number <= p.Last && !on {
				s.Bench = append(s.Bench, p.Kid)
			}
		}
	}
	for _, k := range b.folder.Roster {
		if _, there := b.who[k.ID]; !there && k.Hold == "" {
			b.account.Away = append(b.account.Away, k.ID)
		}
	}
}
