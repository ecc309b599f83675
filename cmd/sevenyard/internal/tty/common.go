package tty

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

	"sevenyard/cmd/internal/nameless"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
	"sevenyard/drills/prose"
	"sevenyard/drills/regular"
	"sevenyard/fixtures"
)

// View is how one command shows what it found.
type View struct {
	screen.Style
	JSON    bool
	IDsOnly bool
}

// Warn writes warnings to standard error, folded to the screen; a note says itself that it is one.
func (v View) Warn(sio IO, warnings []string) {
	for _, w := range warnings {
		if !strings.HasPrefix(w, "note: ") {
			w = "warning: " + w
		}
		fmt.Fprint(sio.Err, v.Fold(screen.Clean(w), "  "))
	}
}

// ViewFlags are the flags of every command that shows something.
func ViewFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "format", Value: "text", Usage: "text, or json for programs"},
		&cli.BoolFlag{Name: "ids-only", Usage: "leave all names out"},
		&cli.IntFlag{Name: "width", DefaultText: "80 at most", Usage: "columns of the screen"},
		&cli.StringFlag{Name: "color", Value: "auto", Usage: "auto, always or never"},
	}
}

// DemoFlag asks for the invented team or pool.
func DemoFlag(usage string) cli.Flag { return &cli.BoolFlag{Name: "demo", Usage: usage} }

// ReadView reads the flags of ViewFlags.
func ReadView(c *cli.Context, sio IO) (View, error) {
	v := View{IDsOnly: c.Bool("ids-only")}
	switch f := c.String("format"); f {
	case "text":
	case "json":
		v.JSON = true
	default:
		return v, Usagef("--format: %q is not known; use text or json", f)
	}
	v.Width = screen.DefaultWidth
	if sio.OutTerminal && sio.Columns > 0 {
		v.Width = max(screen.MinWidth, min(screen.DefaultWidth, sio.Columns))
	}
	if c.IsSet("width") {
		v.Width = c.Int("width")
		if v.Width < screen.MinWidth || v.Width > screen.MaxWidth {
			return v, Usagef("--width: %d; use %d to %d", v.Width, screen.MinWidth, screen.MaxWidth)
		}
	}
	switch f := c.String("color"); f {
	case "auto":
		v.Color = sio.OutTerminal && sio.Getenv("NO_COLOR") == "" && sio.Getenv("TERM") != "dumb"
	case "always":
		v.Color = true
	case "never":
	default:
		return v, Usagef("--color: %q is not known; use auto, always or never", f)
	}
	if w, ok := sio.Out.(*screen.Writer); ok && v.Color {
		w.AllowColors()
	}
	return v, nil
}

// Source is the folder that a command reads, and its name for the next command to type.
type Source struct {
	FS   fs.FS
	Name string // "--demo", or the folder as typed
	Dir  string // the folder; "": it is inside the program
}

// At is a folder as a source.
func At(dir string) Source { return Source{FS: regular.Folder(dir), Name: Quote(dir), Dir: dir} }

// FolderOptions are what every command is told that reads a folder: which one, and how to show what comes of it.
type FolderOptions struct {
	View
	Source Source
}

// ReadFolderOptions reads them.
func ReadFolderOptions(c *cli.Context, sio IO) (o FolderOptions, err error) {
	if o.View, err = ReadView(c, sio); err != nil {
		return o, err
	}
	o.Source, err = ReadSource(c)
	return o, err
}

// Here tells whether the program was started inside a team or a pool folder, which then need not be typed.
func Here() bool {
	here := regular.Folder(".")
	_, noTeam := fs.Stat(here, "roster.csv")
	return noTeam == nil || IsPool(here)
}

// ReadSource reads which folder is meant.
func ReadSource(c *cli.Context) (Source, error) {
	args := c.Args().Slice()
	switch {
	case len(args) > 1 && c.IsSet("absent") && !slices.ContainsFunc(args[1:], NotID):
		return Source{}, Usagef("one folder at a time; what is %q? Kids are written with commas and no spaces: --absent %s", args[1],
			strings.Join(append(c.StringSlice("absent"), args[1:]...), ","))
	case len(args) > 1:
		return Source{}, Usagef("one folder at a time; what is %q?", args[1])
	case c.Bool("demo") && len(args) == 1:
		return Source{}, Usagef("give a folder or --demo, not both")
	case c.Bool("demo"):
		return Source{FS: fixtures.Demo(), Name: "--demo"}, nil
	case len(args) == 0 && Here():
		return At("."), nil
	case len(args) == 0:
		return Source{}, Usagef("which team? Give its folder, or --demo for an invented one (sevenyard %s --help)", c.Command.Name)
	}
	info, err := os.Stat(args[0])
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return Source{}, fmt.Errorf("no folder %s; %ssevenyard start %s makes a new one", args[0], nearFolder(args[0]), Quote(args[0]))
	case err != nil:
		return Source{}, err
	case !info.IsDir():
		return Source{}, fmt.Errorf("%s is a file; give the folder it is in", args[0])
	}
	return At(args[0]), nil
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
	near := prose.Near(filepath.Base(name), folders)
	if near == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %s? Otherwise: ", Quote(filepath.Join(filepath.Dir(name), near)))
}

// NotID tells whether a word is no jersey number.
func NotID(word string) bool {
	_, err := strconv.Atoi(word)
	return err != nil
}

// Quote makes a folder's name safe to type back.
func Quote(dir string) string {
	if strings.ContainsAny(dir, " '\"$&;()*?!|<>\\`") {
		return "'" + strings.ReplaceAll(dir, "'", `'\''`) + "'"
	}
	return dir
}

// ReadTeam reads the folder; with names left out, nothing after it can know one.
func (v View) ReadTeam(src Source) (*drills.Folder, error) {
	if IsPool(src.FS) {
		return nil, fmt.Errorf("this is a pool folder, from which teams are drafted; say sevenyard draft %s", src.Name)
	}
	f, err := drills.ReadFolder(src.FS)
	var problems drills.Problems
	if v.IDsOnly && errors.As(err, &problems) {
		err = nameless.Problems(problems, f)
	}
	if err != nil {
		return nil, err
	}
	if v.IDsOnly {
		nameless.Team(f)
	}
	return f, nil
}

// People gives kids as the screen shows them: the id, and the name where there is one.
type People struct {
	Name map[string]string
	Ids  int // width of the widest id
}

// Longest is the most cells of a name on a screen.
const Longest = 14

// NewPeople knows the kids of a team.
func NewPeople(f *drills.Folder) People {
	p := People{Name: map[string]string{}}
	for _, k := range f.Roster {
		p.Name[k.ID] = screen.Clip(screen.Clean(k.Name), Longest)
		p.Ids = max(p.Ids, texttab.Width(k.ID))
	}
	return p
}

// Column is the kid for a column: the id leans right, the name follows.
func (p People) Column(id string) string {
	s := screen.Pad(id, p.Ids, true)
	if n := p.Name[id]; n != "" {
		s += " " + n
	}
	return s
}

// Inline is the kid within a sentence.
func (p People) Inline(id string) string {
	if n := p.Name[id]; n != "" {
		return id + " " + n
	}
	return id
}

// List names several kids, with commas.
func (p People) List(ids []string) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = p.Inline(id)
	}
	return strings.Join(out, ", ")
}

// Blocks renders a table that this program built itself, as wide as the screen; a wrong number of
// cells is its own mistake.
func (v View) Blocks(t *texttab.Table, keep int) string {
	out, err := t.Blocks(v.Width, keep)
	if err != nil {
		panic("sevenyard: " + err.Error())
	}
	return out
}

// Sentence ends a sentence, unless an initial has ended it already.
func Sentence(s string) string { return strings.TrimSuffix(s, ".") + "." }

// Commands sets commands to type next on lines of their own, so that they can be copied whole.
func Commands(text string, cmds ...string) string {
	for _, c := range cmds {
		text += "\n  " + c
	}
	return text + "\n"
}

// IsPool tells a pool folder from a team folder.
func IsPool(dir fs.FS) bool {
	_, noTeam := fs.Stat(dir, "roster.csv")
	_, noPool := fs.Stat(dir, "pool.csv")
	return noTeam != nil && noPool == nil
}
