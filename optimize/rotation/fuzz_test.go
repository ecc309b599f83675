package rotation

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// bytesDice turns the bytes of a fuzzer into choices; when they run out, every choice is the first.
type bytesDice struct{ data []byte }

// next is a number from 0 to n-1.
func (d *bytesDice) next(n int) int {
	if len(d.data) == 0 || n <= 1 {
		return 0
	}
	x := int(d.data[0])
	d.data = d.data[1:]
	if n > 256 && len(d.data) > 0 {
		x = x<<8 | int(d.data[0])
		d.data = d.data[1:]
	}
	return x % n
}

// one tells, once in n.
func (d *bytesDice) one(n int) bool { return d.next(n) == n-1 }

// in is a number between two, mostly inside a game of the given size and now and then a bit or far outside.
func (d *bytesDice) in(size int) int {
	switch {
	case !d.one(24):
		return d.next(max(size, 1))
	case d.one(4):
		return []int{math.MaxInt, math.MinInt, 1 << 31, -(1 << 31), 1 << 40, 255}[d.next(6)]
	}
	return d.next(size+4) - 2
}

// fuzzSizes are the most kids, series, roles and spots of a role, from tiny, which brute can solve, to absurd.
var fuzzSizes = [][4]int{{4, 3, 2, 2}, {5, 4, 3, 2}, {9, 7, 3, 3}, {13, 11, 4, 3}, {16, 30, 4, 4}, {40, 30, 5, 7}, {64, 64, 16, 64}, {70, 70, 18, 70}}

// fuzzProblem makes any problem at all, legal or not.
func fuzzProblem(d *bytesDice) *Problem {
	size := fuzzSizes[d.next(len(fuzzSizes))]
	n, series, roles := d.next(size[0]+1), d.next(size[1]+1), d.next(size[2]+1)
	p := &Problem{Scale: []int64{10, 1, 60, 7, 300, maxScale, 0, math.MaxInt64}[d.next(6)+d.next(19)/18*2], MaxOn: d.in(5), MaxOff: d.in(4), MinRoles: max(0, d.in(5)-2)}
	for r := range roles {
		p.Roles = append(p.Roles, fmt.Sprintf("role%d", r))
	}
	unit := []int32{1, 10, 1 << 16, 1<<24 - 1, 0}[d.next(5)]
	for range 1 + d.next(3) {
		sh := Shape{Count: make([]int, roles), Value: make([][]int32, n)}
		left := size[3] + 2
		for r := range sh.Count {
			sh.Count[r] = min(left, d.next(size[3]+1))
			left -= max(0, sh.Count[r])
		}
		for k := range sh.Value {
			for range roles {
				sh.Value[k] = append(sh.Value[k], int32(int64(unit)*int64(d.next(200)-100)/int64(100+d.next(99))))
			}
		}
		p.Shapes = append(p.Shapes, sh)
	}
	for range series {
		p.Series = append(p.Series, d.in(len(p.Shapes)))
	}
	for range n {
		kid := Kid{Label: "kid", Last: series - 1, Lo: d.next(3), Hi: series - d.next(series/2+1)}
		if d.one(6) {
			kid.MaxOn = d.in(6)
		}
		if d.one(9) {
			kid.MaxOff = d.in(6)
		}
		if d.one(4) {
			kid.First, kid.Last = d.in(series), d.in(series)
		}
		if d.one(8) {
			kid.Lo, kid.Hi, kid.Least = d.in(series), d.in(series), d.in(series)
		}
		if d.one(6) {
			for range roles {
				kid.Never = append(kid.Never, d.one(3))
			}
		}
		if d.one(5) {
			kid.Cap = d.in(4)
		}
		p.Kids = append(p.Kids, kid)
	}
	fuzzWishes(d, p)
	for k := range p.Kids {
		if kid := &p.Kids[k]; d.one(5) {
			kid.Away = fuzzAway(d, kid.Presence(), series)
		}
		if d.one(8) {
			p.Kids[k].Different = d.in(4)
			for range roles {
				p.Kids[k].Before = append(p.Kids[k].Before, d.one(2))
			}
		}
	}
	return p
}

// fuzzAway is where a kid is away: mostly stretches as they should be, now and then any.
func fuzzAway(d *bytesDice, p Presence, series int) []Window {
	if d.one(10) {
		return []Window{{d.in(series), d.in(series)}, {d.in(series), d.in(series)}}[:1+d.next(2)]
	}
	here := make([]bool, max(series, 0))
	for s := range here {
		here[s] = p.There(s) && (s == p.First || s == p.Last || !d.one(3))
	}
	if cut := PresenceOf(here); cut.First == p.First && cut.Last == p.Last {
		return cut.Away
	}
	return nil
}

func fuzzWishes(d *bytesDice, p *Problem) {
	n, series := len(p.Kids), len(p.Series)
	for range d.next(3) {
		p.Together = append(p.Together, [2]int{d.in(n), d.in(n)})
	}
	for range d.next(3) {
		p.Apart = append(p.Apart, [2]int{d.in(n), d.in(n)})
	}
	for range d.next(3) {
		c := Cover{AtLeast: d.in(3)}
		for range d.next(4) {
			c.Kids = append(c.Kids, d.in(n))
		}
		if !d.one(12) { // a kid who stands there twice is refused
			slices.Sort(c.Kids)
			c.Kids = slices.Compact(c.Kids)
		}
		p.Covers = append(p.Covers, c)
	}
	for range d.next(4) {
		p.Pins = append(p.Pins, Pin{d.in(n), d.in(len(p.Roles)+1) - 1, d.in(series), d.one(2)})
	}
	if d.one(4) {
		p.Played = make([][]Cell, series)
		for s := range min(series, d.next(4)) {
			p.Played[s] = []Cell{}
			for range d.next(6) { // not always as many as there are spots
				p.Played[s] = append(p.Played[s], Cell{d.in(n), d.in(len(p.Roles))})
			}
		}
	}
}

// watch fails the test with all stacks if f does not come back; its bound is far beyond any limit given to a solve.
func watch(f func()) {
	done := make(chan struct{})
	go func() {
		select {
		case <-done:
		case <-time.After(40 * time.Second):
			buf := make([]byte, 1<<20)
			panic(fmt.Sprintf("hangs:\n%s", buf[:runtime.Stack(buf, true)]))
		}
	}()
	f()
	close(done)
}

// bruteReaches tells whether brute can solve the problem in a moment.
func bruteReaches(p *Problem) bool {
	n, series := 6, 5
	if rolesMatter(p) {
		n, series = 4, 3
	}
	return len(p.Kids) <= n && len(p.Series) <= series && len(p.Roles) <= 3 && slices.Max(spotsOf(p)) <= 4
}

// FuzzProblem takes any problem through everything that reads one. Nothing may panic or hang; no plan may break a rule or beat its
// bound; "infeasible", "proven" and conflicts have to agree with each other, and with brute where it reaches.
func FuzzProblem(f *testing.F) {
	rng := newRand(7)
	for size := range fuzzSizes {
		for range 3 {
			seed := []byte{byte(size)}
			for range 40 + 20*size {
				seed = append(seed, byte(rng.IntN(256)))
			}
			f.Add(seed)
		}
	}
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		watch(func() { tryProblem(t, &bytesDice{data}) })
	})
}

func tryProblem(t *testing.T, d *bytesDice) {
	favor, workers := favors[d.next(3)], 1+d.next(2)
	p := fuzzProblem(d)
	valid := p.Validate()
	require.Equal(t, valid, WriteMPS(&bytes.Buffer{}, p, Goal{Lowest: 1}))
	Check(p, make(Plan, len(p.Series)))
	Check(p, Plan{{{math.MaxInt, -1}}})
	r, err := Solve(context.Background(), p, Settings{Favor: favor, Workers: workers, Limit: 50 * time.Millisecond})
	if valid != nil {
		require.ErrorIs(t, err, ErrBadProblem)
		return
	}
	require.NoError(t, err)
	honest(t, p, r)
	if bruteReaches(p) {
		compareWithBrute(t, p, favor, r)
	}
	ctx, stop := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer stop()
	c := Explain(ctx, p)
	if c != nil {
		require.Nil(t, r.Plan, "a conflict, and a plan all the same")
		for i, rule := range c.Rules {
			require.NotEqual(t, "unknown", rule.Kind.String(), i)
		}
	}
}

// honest checks what every result has to keep, whatever the problem.
func honest(t *testing.T, p *Problem, r *Result) {
	t.Helper()
	require.Equal(t, r.Plan == nil, r.Status == Infeasible || r.Status == Unknown)
	if r.Plan == nil {
		return
	}
	require.Empty(t, Check(p, r.Plan))
	ahead := valuesOf(p, r.Plan)
	require.Len(t, r.Strength, len(p.Series))
	if len(ahead) == 0 {
		require.Equal(t, Proven, r.Status, "nothing is left to plan")
		return
	}
	require.Equal(t, slices.Min(ahead), r.Weakest.Value)
	require.Equal(t, lowestSum(p, r.Plan, 0), r.Total.Value)
	require.Equal(t, r.Weakest.Value, r.Strength[r.WeakestSeries])
	require.LessOrEqual(t, r.Weakest.Value, r.Weakest.Bound)
	require.LessOrEqual(t, r.Total.Value, r.Total.Bound)
}

func compareWithBrute(t *testing.T, p *Problem, favor Favor, r *Result) {
	t.Helper()
	want := brute(p, favor)
	if want == nil {
		require.Nil(t, r.Plan)
		return
	}
	require.Empty(t, Check(p, want))
	require.NotEqual(t, Infeasible, r.Status, "%v is a plan", want)
	if r.Plan == nil {
		return
	}
	cmp := compareLex(p, favor, r.Plan, want)
	require.LessOrEqual(t, cmp, 0)
	if r.Status == Proven {
		require.Zero(t, cmp, "proven %v, but there is %v", valuesOf(p, r.Plan), valuesOf(p, want))
	}
	if favor == Weakest {
		require.GreaterOrEqual(t, r.Weakest.Bound, lowestSum(p, want, 1))
	}
}
