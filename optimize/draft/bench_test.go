package draft

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkDraft times a draft of every size that evenness is measured on.
func BenchmarkDraft(b *testing.B) {
	for _, size := range raceSizes {
		b.Run(fmt.Sprintf("%d kids, %d teams", size[0], size[1]), func(b *testing.B) {
			p := randomPool(1, size[0], size[1])
			for b.Loop() {
				_, err := Draft(context.Background(), p, Settings{})
				require.NoError(b, err)
			}
		})
		b.Run(fmt.Sprintf("%d kids, %d teams, everything", size[0], size[1]), func(b *testing.B) {
			p := fullPool(1, size[0], size[1])
			for b.Loop() {
				_, err := Draft(context.Background(), p, Settings{})
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkPlace times the placing of one late kid.
func BenchmarkPlace(b *testing.B) {
	for _, size := range raceSizes {
		b.Run(fmt.Sprintf("%d kids, %d teams", size[0], size[1]), func(b *testing.B) {
			p := fullPool(1, size[0], size[1])
			now := mustDraft(b, p, Settings{}).Split
			now[0] = Unplaced
			for b.Loop() {
				_, err := Place(background, p, now, MostMoves)
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkResplit times sharing 20 kids, two of them settled, between two teams anew when nothing can be gained.
func BenchmarkResplit(b *testing.B) {
	m := randomPool(1, 40, 4).newModel(Squares)
	start, _ := m.snake(background, m.p)
	r := m.newState(start).newResplitter(1)
	r.settle([]int32{0, 1, 2, 3}, func() bool { return false })
	for b.Loop() {
		r.resplit(0, 1)
	}
}
