package drills_test

import (
	"errors"
	"fmt"
	"testing/fstest"

	"sevenyard/drills"
	"sevenyard/fixtures"
)

func ExampleReadFolder() {
	f, err := drills.ReadFolder(fixtures.Demo())
	if err != nil {
		panic(err)
	}
	fmt.Printf("%s: %d kids, %d series\n", f.Team.Name, len(f.Roster), f.Team.Series)
	// Output:
	// Sandpipers: 11 kids, 8 series
}

// What is wrong comes with file, line and what to do about it.
func ExampleReadFolder_problems() {
	_, err := drills.ReadFolder(fstest.MapFS{
		"roster.csv":  {Data: []byte("kid,name\n4,Ann\n4,Bo\n")},
		"results.csv": {Data: []byte("kid,drill,trial,value\n4,dash,1,5.5\n")},
	})
	var problems drills.Problems
	if errors.As(err, &problems) {
		for _, p := range problems {
			fmt.Println(p)
		}
	}
	// Output:
	// roster.csv:3: kid "4" is already on line 2; give every kid an id of its own
	// results.csv:2: unknown drill "dash"; known drills are pull, pull-time, shuttle, backpedal, catch, sprint and break
}
