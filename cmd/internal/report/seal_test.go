package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSeal: the sum is that of what a file says, not of how it is laid out; any change of a digit shows.
func TestSeal(t *testing.T) {
	re := &Rebuild{Lineup: Lineup{Schema: RebuildSchema, Team: "Terns <&>", Kids: []LineupKid{{Kid: "1", Share: 4.0 / 9}}, Warnings: []string{"w"}}, ChangeCosts: 0.3}
	require.NoError(t, re.Seal(re))
	require.Len(t, re.Sum, 8)
	var b bytes.Buffer
	require.NoError(t, Write(&b, re))
	sum, err := SumOf(b.Bytes())
	require.NoError(t, err)
	require.Equal(t, re.Sum, sum)
	var flat bytes.Buffer
	require.NoError(t, json.Compact(&flat, b.Bytes()))
	sum, err = SumOf(flat.Bytes())
	require.NoError(t, err)
	require.Equal(t, re.Sum, sum)
	for was, now := range map[string]string{"0.4444444444444444": "0.4444444444444445", `"kid": "1"`: `"kid": "2"`, `"changeCosts": 0.3`: `"changeCosts": 0.4`, "Terns": "Tern"} {
		changed := strings.Replace(b.String(), was, now, 1)
		require.NotEqual(t, b.String(), changed)
		sum, err := SumOf([]byte(changed))
		require.NoError(t, err)
		require.NotEqual(t, re.Sum, sum, was)
	}
	_, err = SumOf([]byte("[1]"))
	require.Error(t, err)
	before := re.Sum
	require.NoError(t, re.Seal(re), "again")
	require.Equal(t, before, re.Sum)
}
