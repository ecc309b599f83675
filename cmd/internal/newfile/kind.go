package newfile

import (
	"bytes"
	"io"
	"regexp"
	"slices"

	"sevenyard/drills/regular"
)

// Kind is what a file holds that this program writes.
type Kind int

// The kinds.
const (
	Any   Kind = iota // any of the others
	Plan              // of a game
	Teams             // of a draft
	Draw              // of teams to coaches
	Page              // to print
	Model             // of a game, for other solvers
	List              // of kids by team, for spreadsheets
)

func (k Kind) String() string {
	return [...]string{"file", "plan", "list of drafted teams (JSON)", "record of a draw", "page", "model", "list of teams (CSV)"}[k]
}

// The marks by which a file is known as ours, in its first bytes. They are what the program writes, and nothing a person would begin a
// file of their own with.
const (
	PageMark  = `<meta name="generator" content="sevenyard">`
	ModelMark = "* Column x_K_R_S is 1 where kid K plays role R in series S"
	ListMark  = "team,kid,name,grade,practice,returning\n"
)

// headBytes is how much of a file is read to tell what it is.
const headBytes = 8 << 10

var schema = regexp.MustCompile(`^\s*\{\s*"schema"\s*:\s*"sevenyard\.([a-z.]+)/[0-9]+"`)

var schemas = map[string]Kind{"lineup": Plan, "rebuild": Plan, "draft": Teams, "draft.draw": Draw}

// wrote tells whether the file was written by this program, and is of the kind.
func (k Kind) wrote(name string) (bool, error) {
	f, err := regular.Open(name)
	if err != nil {
		return false, err
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, headBytes))
	if err != nil {
		return false, err
	}
	is := kindOf(head)
	return is != Any && (k == Any || k == is), nil
}

// kindOf tells what a file is by its first bytes; Any: it is none of ours.
func kindOf(head []byte) Kind {
	if m := schema.FindSubmatch(head); m != nil {
		return schemas[string(m[1])]
	}
	text := bytes.ReplaceAll(head, []byte("\r\n"), []byte("\n"))
	text = bytes.TrimPrefix(text, []byte("\ufeff")) // a spreadsheet may have saved it again
	switch {
	case bytes.HasPrefix(text, []byte("<!DOCTYPE html>")) && slices.ContainsFunc(bytes.SplitN(text, []byte("\n"), 20), func(l []byte) bool { return string(l) == PageMark }):
		return Page
	case bytes.HasPrefix(text, []byte(ModelMark)):
		return Model
	case bytes.HasPrefix(text, []byte(ListMark)):
		return List
	}
	return Any
}
