package rotation

import "sevenyard/optimize/rotation/internal/memo"

// Rooms for long games: layers in the keys of a memo, levels in the keys of even.go, series in the masks of local.go and automaton.go (bit 31 is taken).
const (
	_ = uint(memo.LastLayer - exactSeries)
	_ = uint(64 - (2*exactSeries + 1))
	_ = uint(31 - exactSeries)
)

// newKeyer packs the automaton states of all kids.
func newKeyer(m *model) *memo.Keyer {
	states := make([][]int, m.series+1)
	for s := range states {
		states[s] = make([]int, m.kids)
		for k, a := range m.auto {
			states[s][k] = a.count[s]
		}
	}
	return memo.NewKeyer(states)
}
