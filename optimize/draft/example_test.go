package draft_test

import (
	"context"
	"fmt"

	"sevenyard/optimize/draft"
)

// Six kids in two teams; a brother and a sister stay together.
func ExampleDraft() {
	p := &draft.Pool{Teams: []string{"Red", "Blue"}, Measures: []draft.Measure{{Label: "overall", Weight: 100}}, Siblings: [][]int{{0, 1}}}
	for i, score := range []float64{64, 60, 55, 52, 47, 40} {
		p.Kids = append(p.Kids, draft.Kid{Label: fmt.Sprint(i + 1), Scores: []float64{score}})
	}
	r, err := draft.Draft(context.Background(), p, draft.Settings{})
	if err != nil {
		panic(err)
	}
	for _, team := range r.Balance.Teams {
		fmt.Printf("%d kids, mean %.1f:", len(team.Kids), team.Means[0])
		for _, k := range team.Kids {
			fmt.Print(" ", p.Kids[k].Label)
		}
		fmt.Println()
	}
	fmt.Println("proven:", r.Proven)
	// Output:
	// 3 kids, mean 54.7: 1 2 6
	// 3 kids, mean 51.3: 3 4 5
	// proven: true
}
