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

func TestDecode(t *testing.T) {
	var x struct {
		A int `json:"a"`
		B int `json:"b"`
	}
	for text, want := range map[string]struct {
		line  int
		wrong string
	}{
		"\ufeff{\"a\":1,\n\"b\":2}": {0, ""},
		"{\"a\":1,\n\"b\":":         {2, "not whole JSON"},
		"{\"a\":1,\n\"b\":\"x\"}":   {2, "\"b\" is a string"},
		"[1]":                       {1, "array"},
	} {
		line, wrong := Decode([]byte(text), &x)
		require.Equal(t, want.line, line, text)
		require.Contains(t, wrong, want.wrong)
		require.Equal(t, want.wrong == "", wrong == "")
	}
}
