package assess_test

import (
	"fmt"

	"sevenyard/assess"
	"sevenyard/drills"
	"sevenyard/fixtures"
)

// A profile says of every kid and role how well it fits, and how sure that is.
func ExampleAssess() {
	f, err := drills.ReadFolder(fixtures.Demo())
	if err != nil {
		panic(err)
	}
	kid := assess.Assess(f).Kids[0]
	for _, fit := range kid.Fits {
		fmt.Printf("%s: %.0f, standard error %.0f\n", fit.Name, fit.T, fit.SE)
	}
	// Output:
	// front: 50, standard error 3
	// corner: 44, standard error 2
	// deep: 45, standard error 2
	// rusher: 43, standard error 3
}
