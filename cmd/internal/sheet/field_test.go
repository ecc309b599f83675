package sheet

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"sevenyard/drills"
)

// picture is what a reader of the SVG sees of it.
type picture struct {
	Box   string `xml:"viewBox,attr"`
	Desc  string `xml:"desc"`
	Lines []struct {
		Class string  `xml:"class,attr"`
		X1    float64 `xml:"x1,attr"`
		X2    float64 `xml:"x2,attr"`
		Y1    float64 `xml:"y1,attr"`
		Y2    float64 `xml:"y2,attr"`
	} `xml:"line"`
	Spots []struct {
		Circle struct {
			X float64 `xml:"cx,attr"`
			Y float64 `xml:"cy,attr"`
			R float64 `xml:"r,attr"`
		} `xml:"circle"`
		Texts []struct {
			Class string  `xml:"class,attr"`
			X     float64 `xml:"x,attr"`
			Y     float64 `xml:"y,attr"`
			Size  float64 `xml:"font-size,attr"`
			Text  string  `xml:",chardata"`
		} `xml:"text"`
	} `xml:"g"`
}

// drawn writes the diagram and reads it back.
func drawn(t require.TestingT, d *diagram) picture {
	var b bytes.Buffer
	require.NoError(t, pages.ExecuteTemplate(&b, "diagram", d))
	text := b.String()
	var p picture
	require.NoError(t, xml.Unmarshal([]byte(text[strings.Index(text, "<svg"):strings.Index(text, "</svg>")+6]), &p))
	return p
}

// scaleOf is the length of a yard in the picture, measured on its own sidelines: a field is 25 yards wide.
func scaleOf(t require.TestingT, p picture, wide float64) (yard, line float64) {
	var sides []float64
	line = math.NaN()
	for _, l := range p.Lines {
		switch l.Class {
		case "side":
			sides = append(sides, l.X1)
		case "scrimmage":
			require.Equal(t, l.Y1, l.Y2)
			line = l.Y1
		}
	}
	require.Len(t, sides, 2)
	return (sides[1] - sides[0]) / wide, line
}

// Every formation of the catalogue stands where the catalogue says, measured on the picture itself; front players are 1 yard off
// the line and no rusher is nearer than 7 (the rule rusher-distance and its source stand in the catalogue).
func TestDiagramsAreTrue(t *testing.T) {
	cat := drills.Default()
	for _, f := range cat.Formations {
		team := Team{Catalogue: &cat, Names: map[string]string{}}
		var kids []string
		for i := range f.Spots {
			kids = append(kids, strconv.Itoa(10+i))
			team.Names[kids[i]] = fmt.Sprintf("Kid Number %d", i)
		}
		p := drawn(t, team.draw("d", f, kids))
		yard, line := scaleOf(t, p, 25)
		require.Len(t, p.Spots, len(f.Spots))
		for i, s := range p.Spots {
			deep, across := (s.Circle.Y-line)/yard, s.Circle.X/yard
			require.InDelta(t, f.Spots[i].Deep, deep, 0.1, f.Name)
			require.InDelta(t, f.Spots[i].Across, across, 0.1, f.Name)
			require.Equal(t, kids[i], s.Texts[1].Text)
			require.NotEmpty(t, s.Texts[2].Text, "%s has room for names", f.Name)
			switch f.Spots[i].Role {
			case "front":
				require.InDelta(t, 1, deep, 0.1)
				require.Less(t, s.Circle.R/yard, 1.0, "does not touch the line")
			case "rusher":
				require.GreaterOrEqual(t, deep, 7.0)
			}
		}
		for _, l := range p.Lines {
			if l.Class == "rush" {
				require.InDelta(t, 7, (l.Y1-line)/yard, 0.1)
			}
		}
		apart(t, p)
	}
}

// apart asks that no spot or label lies on another one, and all inside the picture.
func apart(t require.TestingT, p picture) {
	var x, y, wide, high float64
	_, err := fmt.Sscan(p.Box, &x, &y, &wide, &high)
	require.NoError(t, err)
	type box struct{ l, r, t, b float64 }
	var all [][]box
	for _, s := range p.Spots {
		own := []box{{s.Circle.X - s.Circle.R, s.Circle.X + s.Circle.R, s.Circle.Y - s.Circle.R, s.Circle.Y + s.Circle.R}}
		for _, text := range s.Texts[1:] {
			half := 0.3 * text.Size * float64(len([]rune(text.Text)))
			own = append(own, box{text.X - half, text.X + half, text.Y - 0.75*text.Size, text.Y})
		}
		for _, b := range own {
			require.True(t, b.l >= x-0.5 && b.r <= x+wide+0.5 && b.t >= y && b.b <= y+high, "%v is inside %s", b, p.Box)
		}
		for _, other := range all {
			for _, a := range other {
				for _, b := range own {
					require.False(t, a.l < b.r-0.2 && b.l < a.r-0.2 && a.t < b.b-0.2 && b.t < a.b-0.2, "%v on %v", a, b)
				}
			}
		}
		all = append(all, own)
	}
}

// A team's own formation may stand anywhere: it is drawn there, and labels give way as far as spots leave them room.
func TestOwnFormationsAreTrue(t *testing.T) {
	cat := drills.Default()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 11).Draw(t, "spots")
		f := drills.Formation{Name: "own"}
		team := Team{Catalogue: &cat, Names: map[string]string{}}
		var kids []string
		room := rapid.IntRange(2, 5).Draw(t, "yards between")
		for i := range n {
			s := drills.Spot{Role: rapid.SampledFrom([]string{"front", "corner", "deep", "rusher"}).Draw(t, "role"),
				Deep: float64(rapid.IntRange(0, 40).Draw(t, "deep")), Across: float64(rapid.IntRange(-27, 27).Draw(t, "across"))}
			clear := true
			for _, o := range f.Spots {
				clear = clear && (math.Abs(o.Deep-s.Deep) >= float64(room) || math.Abs(o.Across-s.Across) >= float64(room))
			}
			if !clear {
				continue
			}
			f.Spots = append(f.Spots, s)
			id := rapid.StringMatching(`[0-9]{1,3}|[a-z0-9-]{4,24}`).Draw(t, "id")
			kids = append(kids, id)
			team.Names[id] = rapid.StringMatching(`[A-Z][a-z]{0,12}( [A-Z]\.)?`).Draw(t, fmt.Sprint("name", i))
		}
		d := team.draw("d", f, kids)
		p := drawn(t, d)
		for i, s := range p.Spots {
			require.InDelta(t, 10*f.Spots[i].Deep, s.Circle.Y, 0.1)
			require.InDelta(t, 10*f.Spots[i].Across, s.Circle.X, 0.1)
			require.Contains(t, p.Desc, kids[i])
		}
		apart(t, p)
		for _, s := range f.Spots {
			if s.Role == "rusher" && s.Deep < 7 {
				require.Contains(t, d.Note, "rule books say 7 yd")
			}
		}
	})
}
