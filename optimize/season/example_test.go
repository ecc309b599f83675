package season_test

import (
	"fmt"

	"sevenyard/optimize/season"
)

// Two games of three kids: who has had how much of its share.
func ExampleSummarize() {
	everybody := []season.Attendance{{Kid: 0, Last: 2}, {Kid: 1, Last: 2}, {Kid: 2, Last: 2}}
	pair := func(a, b int) []season.Spot { return []season.Spot{{Kid: a, Role: 0}, {Kid: b, Role: 1}} }
	t, err := season.Summarize(3, 2, []season.Game{
		{There: everybody, Series: [][]season.Spot{pair(0, 1), pair(0, 2), pair(0, 1)}},
		{There: everybody[:2], Series: [][]season.Spot{pair(0, 1), pair(0, 1)}},
	})
	if err != nil {
		panic(err)
	}
	for k, line := range t.Lines {
		fmt.Printf("kid %d: %d of %d series, share %.0f, balance %+.0f\n", k, line.Series, line.There, line.Share, line.Balance)
	}
	fmt.Printf("evenness %.3f\n", t.Jain)
	// Output:
	// kid 0: 5 of 5 series, share 4, balance -1
	// kid 1: 4 of 5 series, share 4, balance +0
	// kid 2: 1 of 3 series, share 2, balance +1
	// evenness 0.896
}
