package gameday

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/newfile"
	"sevenyard/cmd/internal/planning"
	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills/prose"
	"sevenyard/drills/regular"
)

// many tells whether several folders are to be planned; a word too many behind --absent is a slip.
func many(c *cli.Context) bool {
	args := c.Args().Slice()
	if len(args) < 2 {
		return false
	}
	for _, a := range args[1:] {
		if c.IsSet("absent") && !tty.NotID(a) && !tty.IsFolder(a) {
			return false
		}
	}
	return true
}

// league is a run over several folders.
type league struct {
	tty.View
	sio     tty.IO
	games   []*Game
	names   []string // the folders as typed
	saveDir string
	out     newfile.Target // but for its name

	mu     sync.Mutex
	done   int
	failed int
	open   int // planned, and not proven
	// stopped: the run was ended by hand. late are plans that could not be saved.
	stopped bool
	late    []error
}

func runLineups(ctx context.Context, l *league, sio tty.IO) (err error) {
	began := time.Now()
	out := &report.Lineups{Schema: report.LineupsSchema, Teams: make([]report.TeamLineup, len(l.games))}
	l.plan(ctx, out.Teams)
	if l.stopped && l.failed == len(out.Teams) {
		return planning.ErrNoPlanYet
	}
	if l.JSON {
		err = report.Write(sio.Out, out)
	} else {
		_, err = fmt.Fprint(sio.Out, l.text(out, time.Since(began)))
	}
	if late := tty.After(l.stopped, l.late...); err == nil && late != nil {
		return late
	}
	if err == nil && l.failed > 0 {
		return tty.ErrTold
	}
	return err
}

func readLeague(c *cli.Context, sio tty.IO) (*league, error) {
	for _, name := range []string{"demo", "absent", "late", "leaves", "save", "write-mps", "mps-goal", "detail", "game"} {
		if c.IsSet(name) {
			return nil, tty.Usagef("--%s goes with one folder, and there are %d; plan that team's game by itself", name, c.Args().Len())
		}
	}
	o, err := readShared(c, sio)
	if err != nil {
		return nil, err
	}
	if o.asked.WBGT, err = readWBGT(c); err != nil {
		return nil, err
	}
	o.asked.Set.Workers = 1 // the teams are planned side by side instead
	l := &league{View: o.View, sio: sio, names: c.Args().Slice(), saveDir: c.String("save-dir"), out: tty.Target(c, "", newfile.Plan)}
	if c.IsSet("save-dir") && l.saveDir == "" {
		return nil, tty.Usagef("--save-dir: which folder? Such as --save-dir plans")
	}
	seen := map[string]string{}
	for _, name := range l.names {
		file := l.file(name)
		switch twin, twice := seen[file]; {
		case twice && twin == name:
			return nil, tty.Usagef("folder %s is named twice", name)
		case twice && l.saveDir != "":
			return nil, tty.Usagef("%s and %s would both be saved as %s; save them into folders of their own", twin, name, filepath.Base(file))
		}
		seen[file] = name
		l.games = append(l.games, o.game(sio))
	}
	if l.saveDir == "" {
		return l, nil
	}
	if err := os.MkdirAll(l.saveDir, regular.FolderMode); err != nil {
		return nil, err
	}
	for _, name := range l.names { // before any work is done
		if err := l.target(name).Free(); err != nil {
			return nil, tty.Taken(l.file(name), err)
		}
	}
	return l, nil
}

// file is where the plan of a folder is saved.
func (l *league) file(name string) string {
	abs, err := filepath.Abs(name)
	if err != nil {
		abs = name
	}
	return filepath.Join(l.saveDir, filepath.Base(abs)+".json")
}

// target is that file.
func (l *league) target(name string) newfile.Target {
	t := l.out
	t.Name = l.file(name)
	return t
}

// plan plans all games, as many at once as there are processors. Where it is stopped by hand, the plans found so far stay.
func (l *league) plan(ctx context.Context, out []report.TeamLineup) {
	stop := l.meter()
	for i := range l.games { // what a stop leaves out
		out[i] = report.TeamLineup{Folder: l.names[i], Refusal: tty.Refusal(planning.ErrNoPlanYet)}
	}
	next := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				out[i] = l.one(ctx, i)
			}
		})
	}
	for i := range l.games {
		select {
		case next <- i:
		case <-ctx.Done():
		}
	}
	close(next)
	workers.Wait()
	stop()
	if left := len(l.games) - l.done; left > 0 {
		l.stopped, l.failed = true, l.failed+left
	}
}

// one plans the i-th game. What is wrong with a team is part of the answer.
func (l *league) one(ctx context.Context, i int) report.TeamLineup {
	g, out, began := l.games[i], report.TeamLineup{Folder: l.names[i]}, time.Now()
	err := g.planAlone(ctx, l.names[i])
	out.Seconds = time.Since(began).Seconds()
	var unsaved error
	if err == nil {
		out.Lineup = g.Lineup()
		if unsaved = out.Lineup.Seal(out.Lineup); unsaved == nil {
			unsaved = l.save(l.names[i], out.Lineup)
		}
	} else {
		out.Refusal = tty.Refusal(err)
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.done++
	if unsaved != nil {
		l.late = append(l.late, unsaved)
	}
	l.stopped = l.stopped || g.Stopped || errors.Is(err, planning.ErrNoPlanYet)
	switch {
	case err != nil:
		l.failed++
	case !(out.Lineup.Weakest.Proven && out.Lineup.Total.Proven):
		l.open++
	}
	g.Folder, g.Profile, g.Game.Plan = nil, nil, nil // a league's worth of them is not kept
	return out
}

// planAlone reads one of several folders and plans its game.
func (g *Game) planAlone(ctx context.Context, name string) error {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("no folder %s", name)
	case err != nil:
		return err
	case !info.IsDir():
		return fmt.Errorf("%s is a file; give the folder it is in", name)
	}
	g.src = tty.At(name)
	g.Dir = g.src.FS
	if err := g.load(); err != nil {
		return err
	}
	return g.inWords(tty.PlanError(g.Settled(ctx, g.Arrange(ctx))))
}

func (l *league) save(name string, plan *report.Lineup) error {
	if l.saveDir == "" {
		return nil
	}
	var b bytes.Buffer
	if err := report.Write(&b, plan); err != nil {
		return err
	}
	err := tty.Taken(l.file(name), l.target(name).Write(b.Bytes()))
	if err == nil {
		l.sio.Did("%s is saved", l.file(name))
	}
	return err
}

// meter shows how far the run is, on a terminal only. It gives what ends it.
func (l *league) meter() (stop func()) {
	if !l.sio.ErrTerminal {
		return func() {}
	}
	done := make(chan struct{})
	var wait sync.WaitGroup
	wait.Go(func() {
		tick := time.NewTicker(tty.Beat)
		defer tick.Stop()
		for {
			select {
			case <-done:
				fmt.Fprint(l.sio.MeterOut(), "\r\x1b[K")
				return
			case <-tick.C:
				fmt.Fprintf(l.sio.MeterOut(), "\r%s (Ctrl-C stops)\x1b[K", l.words())
			}
		}
	})
	return func() {
		close(done)
		wait.Wait()
	}
}

func (l *league) words() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	text := fmt.Sprintf("%d of %s planned", l.done, prose.Count(len(l.games), "team"))
	if l.open > 0 {
		text += fmt.Sprintf(", %d not proven", l.open)
	}
	if l.failed > 0 {
		text += fmt.Sprintf(", %d without a plan", l.failed)
	}
	return text
}
