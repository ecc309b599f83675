package gameday

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
	"sevenyard/drills/regular"
)

// fromNone asks for no plan to start from, where one would be found.
const fromNone = "none"

// LastPlan is the plan of a team that was saved last, of those saved today into the team's folder or into the one where the program was started.
type LastPlan struct {
	Name  string
	When  time.Time
	Saved *gameplan.Saved
	More  int // plans of the team that were saved today before it
}

// FindLastPlan looks for it; nil: there is none. Files that are no plans, or of another team, are passed over.
func FindLastPlan(src tty.Source, sio tty.IO, f *drills.Folder) *LastPlan {
	var last *LastPlan
	seen := map[string]bool{}
	for _, dir := range []string{src.Dir, "."} {
		if abs, err := filepath.Abs(dir); dir == "" || err != nil || seen[abs] {
			continue
		} else {
			seen[abs] = true
		}
		names, err := filepath.Glob(filepath.Join(escaped(dir), "*.json"))
		if err != nil {
			continue
		}
		for _, name := range names {
			p := planOfToday(name, sio, f)
			switch {
			case p == nil:
			case last == nil:
				last = p
			case p.When.After(last.When):
				p.More, last = last.More+1, p
			default:
				last.More++
			}
		}
	}
	return last
}

// escaped is a folder in which no sign stands for others.
func escaped(dir string) string {
	out := ""
	for _, r := range dir {
		switch r {
		case '*', '?', '[':
			out += "[" + string(r) + "]"
		default:
			out += string(r)
		}
	}
	return out
}

// planOfToday reads a file, if it is a plan of this team and was saved today.
func planOfToday(name string, sio tty.IO, f *drills.Folder) *LastPlan {
	info, err := os.Lstat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > gameplan.MaxSaved || info.ModTime().Format(time.DateOnly) != sio.Today() {
		return nil
	}
	data, err := regular.Read(name, gameplan.MaxSaved)
	if err != nil {
		return nil
	}
	saved, err := gameplan.ReadSaved(name, data)
	if err != nil || saved.Team != f.Team.Name {
		return nil
	}
	return &LastPlan{Name: name, When: info.ModTime(), Saved: saved}
}

// Words say which plan it is.
func (p *LastPlan) Words() string {
	more := ""
	if p.More > 0 {
		more = fmt.Sprintf(", the last of %d", p.More+1)
	}
	return fmt.Sprintf("%s, saved today at %s%s", p.Name, p.When.Format("15:04"), more)
}

// base reads the plan that a rebuild starts from; nil: the record alone. Where nothing is said, it is the last one of today.
func (g *Game) base(from string) (*gameplan.Saved, error) {
	switch {
	case from == fromNone:
		return nil, nil
	case from != "":
		return ReadSaved(from)
	case g.Season.Game != "": // a game of another day, maybe
		return nil, nil
	}
	last := FindLastPlan(g.src, g.sio, g.Folder)
	if last == nil {
		return nil, nil
	}
	last.Saved.Note("%s, is taken as the plan to change; --from names another one, --from none starts from the record alone", last.Words())
	return last.Saved, nil
}
