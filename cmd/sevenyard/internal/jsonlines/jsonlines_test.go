package jsonlines

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPlaces(t *testing.T) {
	text := []byte("{\n \"a\": [1,\n  {\"b\": 2}],\n \"c\":\n  null\n}")
	require.Equal(t, map[string]int{"": 1, ".a": 2, ".a.0": 2, ".a.1": 3, ".a.1.b": 3, ".c": 5}, Places(text))
	require.Equal(t, 1, Places([]byte("[1"))[".0"])
	require.NotPanics(t, func() { Places([]byte("{]")) })
	require.Equal(t, []int{1, 1, 2, 6}, []int{At(text, -5), At(text, 1), At(text, 2), At(text, 1<<40)})
}
