package report

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

// What nobody sees is escaped, and means the same to a program.
func TestInvisibleCharactersAreEscaped(t *testing.T) {
	const text = "a\x7f\u009b\u202e\u200b\U000e0041 Zoë <b> & 👩‍⚕️"
	var b bytes.Buffer
	require.NoError(t, Write(&b, map[string]string{"x": text}))
	require.Contains(t, b.String(), `a\u007f\u009b\u202e\u200b\udb40\udc41 Zoë <b> & 👩‍⚕️`)
	var back map[string]string
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	require.Equal(t, text, back["x"])
}
