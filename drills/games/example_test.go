package games_test

import (
	"fmt"

	"sevenyard/drills/games"
	"sevenyard/fixtures"
)

func ExampleReadFolder() {
	rec, err := games.ReadFolder(fixtures.DemoSeason())
	if err != nil {
		panic(err)
	}
	for _, g := range rec.Games {
		fmt.Printf("game %s, %s: %d kids, %d series\n", g.ID, g.Opponent, len(g.Kids), len(g.Series))
	}
	// Output:
	// game 1, Egrets: 10 kids, 8 series
	// game 2, Terns: 9 kids, 8 series
	// game 3, Plovers: 9 kids, 8 series
}
