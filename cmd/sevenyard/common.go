package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
	"sevenyard/drills/regular"
	"sevenyard/fixtures"
)

// view is how one command shows what it found.
type view struct {
	screen.Style
	JSON    bool
	IDsOnly bool
}

// warn writes warnings to standard error, folded to the screen; a note says itself that it is one.
func (v view) warn(sio stdio, warnings []string) {
	for _, w := range warnings {
		if !strings.HasPrefix(w, "note: ") {
			w = "warning: " + w
		}
		fmt.Fprint(sio.Err, v.Fold(screen.Clean(w), "  "))
	}
}

// viewFlags are the flags of every command that shows something.
func viewFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "format", Value: "text", Usage: "text, or json for programs"},
		&cli.BoolFlag{Name: "ids-only", Usage: "leave all names out"},
		&cli.IntFlag{Name: "width", DefaultText: "80 at most", Usage: "columns of the screen"},
		&cli.StringFlag{Name: "color", Value: "auto", Usage: "auto, always or never"},
	}
}

func demoFlag(usage string) cli.Flag { return &cli.BoolFlag{Name: "demo", Usage: usage} }

func readView(c *cli.Context, sio stdio) (view, error) {
	v := view{IDsOnly: c.Bool("ids-only")}
	switch f := c.String("format"); f {
	case "text":
	case "json":
		v.JSON = true
	default:
		return v, usagef("--format: %q is not known; use text or json", f)
	}
	v.Width = screen.DefaultWidth
	if sio.OutTerminal && sio.Columns > 0 {
		v.Width = max(screen.MinWidth, min(screen.DefaultWidth, sio.Columns))
	}
	if c.IsSet("width") {
		v.Width = c.Int("width")
		if v.Width < screen.MinWidth || v.Width > screen.MaxWidth {
			return v, usagef("--width: %d; use %d to %d", v.Width, screen.MinWidth, screen.MaxWidth)
		}
	}
	switch f := c.String("color"); f {
	case "auto":
		v.Color = sio.OutTerminal && sio.Getenv("NO_COLOR") == "" && sio.Getenv("TERM") != "dumb"
	case "always":
		v.Color = true
	case "never":
	default:
		return v, usagef("--color: %q is not known; use auto, always or never", f)
	}
	if w, ok := sio.Out.(*screen.Writer); ok && v.Color {
		w.AllowColors()
	}
	return v, nil
}

// source is the folder that a command reads, and its name for the next command to type.
type source struct {
	FS   fs.FS
	Name string // "--demo", or the folder as typed
}

func readSource(c *cli.Context) (source, error) {
	args := c.Args().Slice()
	switch {
	case len(args) > 1 && c.IsSet("absent") && !slices.ContainsFunc(args[1:], notID):
		return source{}, usagef("one folder at a time; what is %q? Kids are written with commas and no spaces: --absent %s", args[1],
			strings.Join(append(c.StringSlice("absent"), args[1:]...), ","))
	case len(args) > 1:
		return source{}, usagef("one folder at a time; what is %q?", args[1])
	case c.Bool("demo") && len(args) == 1:
		return source{}, usagef("give a folder or --demo, not both")
	case c.Bool("demo"):
		return source{fixtures.Demo(), "--demo"}, nil
	case len(args) == 0:
		return source{}, usagef("which team? Give its folder, or --demo for an invented one (sevenyard %s --help)", c.Command.Name)
	}
	info, err := os.Stat(args[0])
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return source{}, fmt.Errorf("no folder %s; %ssevenyard start %s makes a new one", args[0], nearFolder(args[0]), quote(args[0]))
	case err != nil:
		return source{}, err
	case !info.IsDir():
		return source{}, fmt.Errorf("%s is a file; give the folder it is in", args[0])
	}
	return source{regular.Folder(args[0]), quote(args[0])}, nil
}

// nearFolder asks whether a folder beside the one that is not there was meant; empty: none has a name like it.
func nearFolder(name string) string {
	entries, err := os.ReadDir(filepath.Dir(name))
	if err != nil {
		return ""
	}
	var folders []string
	for _, e := range entries {
		if e.IsDir() {
			folders = append(folders, e.Name())
		}
	}
	near := drills.NearMatch(filepath.Base(name), folders)
	if near == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %s? Otherwise: ", quote(filepath.Join(filepath.Dir(name), near)))
}

// notID tells whether a word is no jersey number.
func notID(word string) bool {
	_, err := strconv.Atoi(word)
	return err != nil
}

// quote makes a folder's name safe to type back.
func quote(dir string) string {
	if strings.ContainsAny(dir, " '\"$&;()*?!|<>\\`") {
		return "'" + strings.ReplaceAll(dir, "'", `'\''`) + "'"
	}
	return dir
}

// readTeam reads the folder; with names left out, nothing after it can know one.
func (v view) readTeam(src source) (*drills.Folder, error) {
	if isPool(src.FS) {
		return nil, fmt.Errorf("this is a pool folder, from which teams are drafted; say sevenyard draft %s", src.Name)
	}
	f, err := drills.ReadFolder(src.FS)
	var problems drills.Problems
	if v.IDsOnly && errors.As(err, &problems) {
		err = nameless(problems, f)
	}
	if err != nil {
		return nil, err
	}
	if v.IDsOnly {
		hideNames(f)
	}
	return f, nil
}

// people gives kids as the screen shows them: the id, and the name where there is one.
type people struct {
	name map[string]string
	ids  int // width of the widest id
}

// longest is the most cells of a name on a screen.
const longest = 14

func newPeople(f *drills.Folder) people {
	p := people{name: map[string]string{}}
	for _, k := range f.Roster {
		p.name[k.ID] = screen.Clip(screen.Clean(k.Name), longest)
		p.ids = max(p.ids, texttab.Width(k.ID))
	}
	return p
}

// column is the kid for a column: the id leans right, the name follows.
func (p people) column(id string) string {
	s := screen.Pad(id, p.ids, true)
	if n := p.name[id]; n != "" {
		s += " " + n
	}
	return s
}

// inline is the kid within a sentence.
func (p people) inline(id string) string {
	if n := p.name[id]; n != "" {
		return id + " " + n
	}
	return id
}

func (p people) list(ids []string) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = p.inline(id)
	}
	return strings.Join(out, ", ")
}

func problemWords(ps drills.Problems) []string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = p.Error()
	}
	return out
}

// division names the grades: "grades 3-4", "kindergarten", "kindergarten to grade 1".
func division(g drills.Grades) string {
	name := func(n int) string {
		if n == 0 {
			return "kindergarten"
		}
		return fmt.Sprintf("grade %d", n)
	}
	switch {
	case g.Low == g.High:
		return name(g.Low)
	case g.Low == 0:
		return name(0) + " to " + name(g.High)
	}
	return fmt.Sprintf("grades %d-%d", g.Low, g.High)
}

// cautions picks the catalogue's first caution on each topic, in the topics' order.
func cautions(c *drills.Catalogue, topics ...string) []string {
	out := []string{}
	for _, t := range topics {
		for _, x := range c.Cautions {
			if x.Topic == t {
				out = append(out, x.Text)
				break
			}
		}
	}
	return out
}

// blocks renders a table that this program built itself, as wide as the screen; a wrong number of
// cells is its own mistake.
func (v view) blocks(t *texttab.Table, keep int) string {
	out, err := t.Blocks(v.Width, keep)
	if err != nil {
		panic("sevenyard: " + err.Error())
	}
	return out
}

// stop ends a sentence, unless an initial has ended it already.
func stop(s string) string { return strings.TrimSuffix(s, ".") + "." }

// commands sets commands to type next on lines of their own, so that they can be copied whole.
func commands(text string, cmds ...string) string {
	for _, c := range cmds {
		text += "\n  " + c
	}
	return text + "\n"
}
