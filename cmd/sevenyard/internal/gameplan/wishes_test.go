package gameplan

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/drills"
)

func TestParseAts(t *testing.T) {
	got, err := ParseAts("--late", " 9@3 , a@b@12")
	require.NoError(t, err)
	require.Equal(t, []At{{"9", 3}, {"a@b", 12}}, got)
	for _, bad := range []string{"", "9", "@3", "9@", "9@0", "9@-1", "9@3.5", "9@3,", ",", "9@99999999999999999999"} {
		_, err := ParseAts("--late", bad)
		var w *WishError
		require.ErrorAs(t, err, &w, bad)
		require.Equal(t, "--late", w.Flag)
		require.NotEmpty(t, w.Do, bad)
	}
}

func TestParseKids(t *testing.T) {
	got, err := ParseKids("--absent", "4, 7")
	require.NoError(t, err)
	require.Equal(t, []string{"4", "7"}, got)
	_, err = ParseKids("--absent", "4,")
	require.Error(t, err)
}

func TestNearKid(t *testing.T) {
	roster := []drills.Kid{{ID: "7", Name: "Otis R."}, {ID: "12", Name: "Ann"}, {ID: "kim", Name: "Ann"}}
	for kid, want := range map[string]string{"77": "use the kid's id as the roster has it: 7, 12 and kim", "4": "as the roster has it: 7", "07": "did you mean 7?", "12.0": "did you mean 12?", "21": "as the roster", "Kim": "did you mean kim?", "otis": "use 7", "ann": "look", "zzzzzz": "as the roster has it"} {
		err := known("--absent", kid, roster)
		require.Error(t, err)
		if kid == "ann" { // two kids of that name: neither is guessed
			require.NotContains(t, err.Error(), "use 12")
			continue
		}
		require.Contains(t, err.Error(), want, kid)
	}
	require.NoError(t, known("--absent", "12", roster))
	require.Error(t, known("--absent", "12", nil))
}

// FuzzParseAts: no text panics, a refusal says what to do, and what is read can be written and read again.
func FuzzParseAts(f *testing.F) {
	for _, s := range []string{"9@3", "9@3,6@5", "a@b@1", "@", ",", "9@ 3", "9@+3", "\x00@1", "9@03"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ats, err := ParseAts("--late", text)
		if err != nil {
			var w *WishError
			if !errors.As(err, &w) || w.Do == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		var parts []string
		for _, a := range ats {
			if a.Series < 1 || a.Kid == "" {
				t.Fatalf("%+v", a)
			}
			parts = append(parts, fmt.Sprintf("%s@%d", a.Kid, a.Series))
		}
		again, err := ParseAts("--late", strings.Join(parts, ","))
		if err != nil || fmt.Sprint(again) != fmt.Sprint(ats) {
			t.Fatalf("%v, then %v (%v)", ats, again, err)
		}
	})
}

// FuzzParseKids: as FuzzParseAts.
func FuzzParseKids(f *testing.F) {
	for _, s := range []string{"4", "4,7", ",", " ", "a b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		kids, err := ParseKids("--absent", text)
		if err != nil {
			return
		}
		again, err := ParseKids("--absent", strings.Join(kids, ","))
		if err != nil || fmt.Sprint(again) != fmt.Sprint(kids) {
			t.Fatalf("%v, then %v (%v)", kids, again, err)
		}
	})
}
