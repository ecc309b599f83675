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

// A record that is kept as bytes, where there is no disk.
func ExampleAdd() {
	a, err := games.Add(nil, false, func(*games.Record) (*games.Change, error) {
		return &games.Change{Game: "1", Date: "2026-09-12", Series: []games.Series{{Number: 1, Slots: []games.Slot{{Role: "front", Kid: "2"}}}}}, nil
	})
	if err != nil {
		panic(err)
	}
	fmt.Printf("entry %d: %d series, %d bytes behind %d\n", a.Entry, len(a.Record.Games[0].Series), len(a.Block), a.Whole)
	// Output:
	// entry 1: 1 series, 142 bytes behind 0
}
