package tty

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sevenyard/cmd/internal/nameless"
	"sevenyard/drills"
	"sevenyard/drills/regular"
	"sevenyard/fixtures"
)

// fileFlags take the name of a file or a folder, which an error has to repeat to be of use.
var fileFlags = []string{"from", "save", "save-dir", "write-mps", "out", "lines", "csv", "board", "was", "draw"}

// HideTyped gives a function that takes the words of a command line out of a text, unless they are ids of the roster or words of
// the trade: a coach who leaves names out may have typed one. flags are the names of all flags there are.
func HideTyped(args, flags []string) func(string) string {
	known := knownWords(args)
	games := nameless.HideGames(nameless.GamesNamed(typedFolder(args)))
	var words []string
	add := func(text string) {
		for _, w := range strings.FieldsFunc(text, func(r rune) bool {
			return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-_.", r)
		}) {
			if strings.ContainsFunc(w, unicode.IsLetter) && !known[strings.ToLower(w)] && !slices.Contains(words, w) {
				words = append(words, w)
			}
		}
	}
	if len(args) > 0 && strings.HasPrefix(args[0], "-") {
		args = append([]string{""}, args...) // no command at all
	}
	for i := 1; i < len(args); i++ {
		name, value, given := strings.Cut(strings.TrimLeft(args[i], "-"), "=")
		switch {
		case !strings.HasPrefix(args[i], "-"):
			before := strings.TrimLeft(args[i-1], "-")
			if !IsFolder(args[i]) && !(strings.HasPrefix(args[i-1], "-") && slices.Contains(fileFlags, before)) {
				add(args[i])
			}
		case !slices.Contains(flags, name): // no flag, so it may be anything
			add(name)
			add(value)
		case given && !slices.Contains(fileFlags, name):
			add(value)
		}
	}
	// Longer ones first, so that no word is left over of which another one is a part.
	slices.SortStableFunc(words, func(a, b string) int { return len(b) - len(a) })
	return func(text string) string {
		text = nameless.Quoted(games(strings.ReplaceAll(text, hidden, " ")), known, hidden)
		for _, w := range words {
			text = hideWord(text, w)
		}
		return strings.NewReplacer(`"`+hidden+`"`, nameless.NotShown, hidden, nameless.NotShown).Replace(text)
	}
}

// typedFolder is the folder that a command line names; nil: none.
func typedFolder(args []string) fs.FS {
	for i, a := range args {
		if i > 0 && !strings.HasPrefix(a, "-") && IsFolder(a) {
			return regular.Folder(a)
		}
	}
	if Here() {
		return regular.Folder(".")
	}
	return nil
}

// hidden stands in for a word until all are found, so that none is looked for in what stands in for another one.
const hidden = "\x00"

// hideWord takes a word out of a text. One that may as well be the text's own, short and in small letters, only where it is quoted or
// stands beside a sign.
func hideWord(text, word string) string {
	q := regexp.QuoteMeta(word)
	forms := []string{`(^|[^\pL\pN])` + q + `($|[^\pL\pN])`}
	if utf8.RuneCountInString(word) < 3 && !strings.ContainsFunc(word, unicode.IsUpper) {
		forms = []string{`(["@,])` + q + `($|[^\pL\pN])`, `(^|[^\pL\pN])` + q + `(["@,])`}
	}
	for _, form := range forms {
		re := regexp.MustCompile(form)
		for re.MatchString(text) { // two in a row share the sign between them
			text = re.ReplaceAllString(text, "${1}"+hidden+"${2}")
		}
	}
	return text
}

// IsFolder tells whether there is a folder of that name.
func IsFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// knownWords are those of the folder that the command line names, as far as it can be read, of the trade, and of the command line.
func knownWords(args []string) map[string]bool {
	var f *drills.Folder
	if p := typedPool(args); p != nil {
		return withChoices(PoolWords(p))
	}
	for i, a := range args {
		switch {
		case i > 0 && f == nil && !strings.HasPrefix(a, "-") && IsFolder(a):
			f, _ = drills.ReadFolder(regular.Folder(a))
		case a == "--demo" || a == "-demo":
			f, _ = drills.ReadFolder(fixtures.Demo())
		}
	}
	if f == nil && Here() {
		f, _ = drills.ReadFolder(regular.Folder("."))
	}
	if f == nil {
		f = &drills.Folder{}
	}
	return withChoices(nameless.PlainWords(f))
}

// typedPool is the pool that a command line of the draft names, as far as it can be read; nil if it is another command's.
func typedPool(args []string) *drills.Pool {
	if len(args) == 0 || args[0] != "draft" {
		return nil
	}
	p := &drills.Pool{}
	if here := regular.Folder("."); IsPool(here) {
		p, _ = drills.ReadPool(here)
	}
	for i, a := range args {
		switch {
		case i > 0 && !strings.HasPrefix(a, "-") && IsFolder(a):
			p, _ = drills.ReadPool(regular.Folder(a))
		case a == "--demo" || a == "-demo":
			p, _ = drills.ReadPool(fixtures.Pool())
		}
	}
	return p
}

// withChoices adds the words that flags give to choose from, and the commands below a command.
func withChoices(known map[string]bool) map[string]bool {
	for _, w := range strings.Fields("text json auto always never weakest total even both letter a4 post swap add drop draw pick game kid team draft") {
		known[w] = true
	}
	return known
}

// PoolWords are the words of a pool folder that are no names.
func PoolWords(p *drills.Pool) map[string]bool {
	known := nameless.PlainWords(p.Folder())
	for _, w := range strings.Fields("siblings coach_of nights apart carpool carpools returning division team fixed coach max_returning min_nights evenness overall grades untested uncertainty " +
		"mon tue wed thu fri sat sun monday tuesday wednesday thursday friday saturday sunday") {
		known[w] = true
	}
	for _, t := range p.League.Teams {
		known[strings.ToLower(t.Name)] = true
	}
	return known
}
