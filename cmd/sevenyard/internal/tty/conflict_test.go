package tty

import (
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/report"
)

// TestConflictHead: that the rules could hold without any one of them is said only where leaving out or changing one was found to do; others may collide too.
func TestConflictHead(t *testing.T) {
	one, two := report.Remedy{Steps: make([]report.Step, 1)}, report.Remedy{Steps: make([]report.Step, 2)}
	for _, c := range []struct {
		remedies []report.Remedy
		says     bool
	}{{nil, false}, {[]report.Remedy{two}, false}, {[]report.Remedy{two, two}, false}, {[]report.Remedy{one}, true}, {[]report.Remedy{one, one}, true}} {
		head := ConflictHead(&report.Conflict{Smallest: true, Words: []string{"a", "b"}, Remedies: c.remedies})
		if c.says {
			require.Contains(t, head, "without any one of them")
		} else {
			require.NotContains(t, head, "without any one of them")
		}
	}
}
