package drills

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// One kid under two ids is one kid: however an id is written, a hold beside one row is about the other row too, and the roster is refused.
func TestOneKidUnderTwoIDs(t *testing.T) {
	for first, others := range map[string][]string{
		"12":  {"012", "0012", "12.0", "12.00", "#12", "１２", "٠١٢", "012.0"},
		"H1":  {"h1", "#h1", "Ｈ1", "ｈ１"},
		"0":   {"00", "0.0"},
		"7.5": {"07.5", "7.5"},
	} {
		for _, other := range others {
			require.Equal(t, IDKey(first), IDKey(other), "%s and %s", first, other)
			if strings.HasPrefix(other, "#") {
				continue // begins a note
			}
			roster := "kid,name,grade,hold,never,notes\n" + first + ",Ana,3,knee,,\n" + other + ",Ben,3,,,\n3,Cy,3,,,\n"
			_, err := ReadFolder(fstest.MapFS{"roster.csv": {Data: []byte(roster)}, "results.csv": {Data: []byte("kid,drill,trial,value\n3,sprint,1,4.1\n")}})
			require.ErrorContains(t, err, "roster.csv:3", "%s and %s", first, other)
		}
	}
	for _, pair := range [][2]string{{"12", "1.2"}, {"12", "120"}, {"1", "11"}, {"H1", "H01"}, {"7.5", "7"}, {"0", ""}, {"a", "b"}} {
		require.NotEqual(t, IDKey(pair[0]), IDKey(pair[1]), strings.Join(pair[:], " and "))
	}
}
