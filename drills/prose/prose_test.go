package prose_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/drills/prose"
)

func TestLists(t *testing.T) {
	for n, want := range []string{"", "a", "a and b", "a, b and c"} {
		require.Equal(t, want, prose.And([]string{"a", "b", "c"}[:n]))
	}
	require.Equal(t, "a, b or c", prose.Or([]string{"a", "b", "c"}))
	require.Equal(t, "a, b, c", prose.Some([]string{"a", "b", "c"}, 3))
	require.Equal(t, "a, b and 1 more", prose.Some([]string{"a", "b", "c"}, 2))
}

func TestNumbers(t *testing.T) {
	for n, want := range []string{"0 kids", "1 kid", "2 kids"} {
		require.Equal(t, want, prose.Count(n, "kid"))
	}
	require.Equal(t, "1 series, 2 series", prose.Count(1, "series")+", "+prose.Count(2, "series"))
	require.Equal(t, "3 is, 3-5 are", prose.Are(3, 3)+", "+prose.Are(3, 5))
	require.Equal(t, "1, 3-5, 7-8", prose.Ranges([]int{1, 3, 4, 5, 7, 8}))
	require.Empty(t, prose.Ranges(nil))
}

func TestNear(t *testing.T) {
	roles := []string{"front", "corner", "deep", "rusher"}
	for word, want := range map[string]string{"frnt": "front", "Corners": "corner", "dep": "deep", "rush": "rusher", "": "", "goalkeeper": "", "xx": ""} {
		require.Equal(t, want, prose.Near(word, roles), word)
	}
	require.Equal(t, "did you mean front?", prose.DidYouMean("frontt", roles, "roles are few"))
	require.Equal(t, "roles are few", prose.DidYouMean("goalkeeper", roles, "roles are few"))
	require.Equal(t, "did you mean bat or cat?", prose.DidYouMean("aat", []string{"bat", "cat"}, ""))
}

func ExampleAnd() {
	fmt.Println(prose.Count(3, "kid")+":", prose.And([]string{"4", "7", "11"}))
	fmt.Println(prose.DidYouMean("lineupp", []string{"lineup", "rebuild"}, "there are lineup and rebuild"))
	// Output:
	// 3 kids: 4, 7 and 11
	// did you mean lineup?
}
