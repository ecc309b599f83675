package drills

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
	"golang.org/x/text/unicode/norm"
)

// FindKid is the id of the kid of a roster that a typed word means: the id, however it is written (IDKey), or else the name, all of it or one word
// of it, in any case, with accents or without. Where no kid is meant, or more than one may be, id is "", and which are the ids of those who may be.
func FindKid(typed string, roster []Kid) (id string, which []string) {
	for _, k := range roster {
		if k.ID == typed {
			return typed, nil
		}
	}
	for _, k := range roster {
		if IDKey(k.ID) == IDKey(typed) {
			which = append(which, k.ID)
		}
	}
	if len(which) == 0 {
		which = calledBy(typed, roster)
	}
	if len(which) == 1 {
		return which[0], nil
	}
	return "", which
}

// calledBy are the kids with the name typed: where it is one word, and no initial, those with it as any word of their name.
func calledBy(typed string, roster []Kid) []string {
	want := nameWords(typed)
	if len(want) == 0 {
		return nil
	}
	var out []string
	for _, k := range roster {
		has := nameWords(k.Name)
		if slices.Equal(has, want) || len(want) == 1 && utf8.RuneCountInString(want[0]) > 1 && slices.Contains(has, want[0]) {
			out = append(out, k.ID)
		}
	}
	return out
}

// nameWords are the words of a name, in small letters and without accents and signs.
func nameWords(name string) []string {
	plain, _, err := transform.String(transform.Chain(norm.NFKD, runes.Remove(runes.In(unicode.Mn)), norm.NFC), name)
	if err != nil {
		plain = name
	}
	return strings.FieldsFunc(strings.ToLower(plain), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' && r != '-' })
}

// KidError says that a typed word means no kid of the roster, or more than one: what is wrong, and what to do.
func KidError(typed string, which []string, roster []Kid) (what, do string) {
	if len(which) > 1 {
		return fmt.Sprintf("more than one kid goes by %q", typed), "use the id: " + strings.Join(which, " or ")
	}
	return fmt.Sprintf("no kid %q in the roster", typed), KidAdvice(typed, roster)
}
