package rotation_test

import (
	"context"
	"fmt"
	"strings"

	"sevenyard/optimize/rotation"
)

// threeKids is a game of three series with two spots in each, a front and a deep one, for three kids.
func threeKids() *rotation.Game {
	return &rotation.Game{
		Roles:      []string{"front", "deep"},
		Importance: []float64{1, 1},
		Forms:      []rotation.Form{{Label: "1-1", Spots: []int{0, 1}}},
		Series:     []int{0, 0, 0},
		Kids: []rotation.Player{
			{Label: "4", Last: 2, Fit: []float64{60, 45}},
			{Label: "7", Last: 2, Fit: []float64{50, 55}},
			{Label: "9", Last: 2, Fit: []float64{40, 50}},
		},
	}
}

// show prints a plan with the labels of its game.
func show(p *rotation.Problem, plan rotation.Plan) {
	for s, cells := range plan {
		var line []string
		for _, c := range cells {
			line = append(line, p.Roles[c.Role]+" "+p.Kids[c.Kid].Label)
		}
		fmt.Printf("series %d: %s\n", s+1, strings.Join(line, ", "))
	}
}

// A game becomes a problem in whole numbers, and the plan comes with its bounds.
func ExampleSolve() {
	p, _, err := threeKids().Problem()
	if err != nil {
		panic(err)
	}
	r, err := rotation.Solve(context.Background(), p, rotation.Settings{})
	if err != nil {
		panic(err)
	}
	show(p, r.Plan)
	fmt.Printf("%v: the weakest series has %d points\n", r.Status, r.Weakest.Value/p.Scale)
	// Output:
	// series 1: front 4, deep 7
	// series 2: front 4, deep 9
	// series 3: front 7, deep 9
	// proven: the weakest series has 50 points
}

// Arrange loosens what cannot hold, and says what.
func ExampleGame_Arrange() {
	g := threeKids()
	g.Apart = [][2]int{{0, 1}} // with one of three kids off at a time, they meet
	out, err := g.Arrange(context.Background(), rotation.Settings{}, false)
	if err != nil {
		panic(err)
	}
	show(out.Problem, out.Result.Plan)
	for _, x := range out.Loosened {
		fmt.Println("loosened:", x.Rule.Kind)
	}
	// Output:
	// series 1: front 4, deep 7
	// series 2: front 4, deep 9
	// series 3: front 7, deep 9
	// loosened: apart
}

// Check lists every rule that a plan breaks: here the same two kids play all the time.
func ExampleCheck() {
	p, _, err := threeKids().Problem()
	if err != nil {
		panic(err)
	}
	pair := []rotation.Cell{{Kid: 0, Role: 0}, {Kid: 1, Role: 1}}
	for _, v := range rotation.Check(p, rotation.Plan{pair, pair, pair}) {
		fmt.Println(v.Rule, v)
	}
	// Output:
	// equal_series kid 4 plays 3 series, not 2 to 2
	// equal_series kid 7 plays 3 series, not 2 to 2
	// equal_series kid 9 plays 0 series, not 2 to 2
	// max_off kid 9 is off for 3 series in a row
}

// The third kid comes for the last series; the other two share the rest.
func ExampleFairShares() {
	avail := []rotation.Window{{First: 0, Last: 3}, {First: 0, Last: 3}, {First: 3, Last: 3}}
	for _, share := range rotation.FairShares(avail, []int{1, 1, 1, 2}) {
		fmt.Printf("%d/%d\n", share.Num, share.Den)
	}
	// Output:
	// 2/1
	// 2/1
	// 1/1
}
