package team

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/sevenyard/internal/tty"
	"sevenyard/drills"
)

// NewFormations is the command formations.
func NewFormations(sio tty.IO) *cli.Command {
	return &cli.Command{
		Name: "formations", Usage: "the formations there are, each with a small drawing", ArgsUsage: "[DIR | --demo]",
		Description:  "Without a folder: the formations that come with the tool. With one: those that the team plays first.",
		Flags:        append([]cli.Flag{tty.DemoFlag("the invented team's formations")}, tty.ViewFlags()...),
		OnUsageError: tty.OnUsage, HideHelpCommand: true,
		Action: tty.Doing(sio, readCatalogueOptions, runFormations),
	}
}

func runFormations(_ context.Context, o catalogueOptions, sio tty.IO) error {
	team, err := o.team()
	if err != nil {
		return err
	}
	s := &formationScreen{View: o.View, f: report.NewFormationSheet(team.Name, team.Formations, &team.Catalogue), roles: team.Catalogue.Roles}
	if o.JSON {
		return report.Write(sio.Out, s.f)
	}
	_, err = io.WriteString(sio.Out, s.text())
	return err
}

// formationScreen draws formations.
type formationScreen struct {
	tty.View
	f     *report.FormationSheet
	roles []drills.Role
}

func (s *formationScreen) text() string {
	out := s.Fold("As the defense sees it: the other team is above the line. Depths are yards off the line of scrimmage. They are starting points; your league's rule book comes first.", "")
	for i, f := range s.f.Formations {
		if used := f.Used; i == 0 && used {
			out += "\n" + s.Fold(s.Strong("Your team plays"), "")
		} else if i > 0 && !used && s.f.Formations[i-1].Used {
			out += "\n" + s.Fold(s.Strong("There are also"), "")
		}
		out += "\n" + s.one(f)
	}
	return out + "\n" + s.Fold("Which ones your team plays stands in team.toml (formations); so may formations of your own.", "")
}

// one is a formation with its drawing.
func (s *formationScreen) one(f report.Formation) string {
	title := ""
	if f.Title != "" {
		title = ": " + screen.Clean(f.Title)
	}
	out := s.Fold(s.Strong(f.Formation)+title, "  ") + s.drawing(f)
	var order []string
	for _, x := range f.Spots {
		order = append(order, x.Role)
	}
	out += s.Fold("Suits "+drills.Grades{Low: f.Grades[0], High: f.Grades[1]}.Words()+". Short-handed, the last of these stays empty first: "+strings.Join(order, ", ")+".", "  ")
	if f.Source != "" {
		out += s.Fold("Source: "+screen.Clean(f.Source)+".", "  ")
	}
	return out
}

// Of a drawing: yards to a line of text, and the room for a depth at its left.
const (
	yardsDown  = 2.0
	depthWidth = 6
)

// drawing shows the spots as letters, to scale across the field and to the nearest line down it. Spots that would fall on top of each other
// move aside.
func (s *formationScreen) drawing(f report.Formation) string {
	half := 10.0
	for _, x := range f.Spots {
		half = max(half, math.Abs(x.Across))
	}
	wide := min(s.Width-depthWidth-2, 49)
	column := func(across float64) int { return int(math.Round((across + half) / (2 * half) * float64(wide-1))) }
	rows := map[int][]report.Spot{}
	last := 0
	for _, x := range f.Spots {
		row := max(1, int(math.Round(x.Deep/yardsDown)))
		rows[row], last = append(rows[row], x), max(last, row)
	}
	out := strings.Repeat(" ", depthWidth) + s.Faint(strings.Repeat("-", wide)) + "\n"
	for row := 1; row <= last; row++ {
		spots := rows[row]
		slices.SortStableFunc(spots, func(a, b report.Spot) int { return cmp.Compare(a.Across, b.Across) })
		line, at := "", 0
		for i, x := range spots {
			to := min(max(column(x.Across), at), wide-2*(len(spots)-i)+1)
			line += strings.Repeat(" ", max(0, to-at)) + s.letter(x)
			at = max(to, at) + 2
			line += " "
		}
		out += strings.TrimRight(screen.Pad(depths(spots), depthWidth, false)+line, " ") + "\n"
	}
	return out
}

func (s *formationScreen) letter(x report.Spot) string {
	i := slices.IndexFunc(s.roles, func(r drills.Role) bool { return r.Name == x.Role })
	return s.Paint(max(0, i), x.Letter)
}

// depths are how far the spots of a line are off the line of scrimmage.
func depths(spots []report.Spot) string {
	if len(spots) == 0 {
		return ""
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range spots {
		low, high = min(low, x.Deep), max(high, x.Deep)
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	if low == high {
		return fmt.Sprintf("%s yd", number(low))
	}
	return number(low) + "-" + number(high)
}
