package rotation

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// fakePeer gives prepared answers, one a goal.
type fakePeer struct {
	answers []peerAnswer
	next    int
}

func (f *fakePeer) name() string   { return "fake" }
func (f *fakePeer) absent() string { return "" }

func (f *fakePeer) solve(context.Context, string, time.Duration) (peerAnswer, error) {
	f.next++
	return f.answers[f.next-1], nil
}

// claims is a peer that calls the plan optimal for the weakest series and for the total.
func claims(p *Problem, plan Plan) *fakePeer {
	columns := map[string]float64{"w": 3}
	for s, cells := range plan {
		for _, c := range cells {
			columns[fmt.Sprintf("x_%d_%d_%d", c.Kid, c.Role, s)] = 0.999999
		}
	}
	return &fakePeer{answers: []peerAnswer{
		{peerOptimal, -float64(lowestSum(p, plan, 1)), columns},
		{peerOptimal, -float64(lowestSum(p, plan, 0)), columns},
	}}
}

// recorder stands in for a test and notes whether it failed.
type recorder struct {
	testing.TB
	failed bool
}

func (r *recorder) Errorf(string, ...any) { r.failed = true }
func (r *recorder) Logf(string, ...any)   {}
func (r *recorder) Helper()               {}

// TestAgreeWithPeersCanFail shows the comparison wrong claims of every kind.
func TestAgreeWithPeersCanFail(t *testing.T) {
	p := twoKids()
	for k := range p.Kids {
		p.Kids[k].Lo, p.Kids[k].Hi = 0, 2
	}
	best, worse := Plan{{{0, 0}}, {{0, 0}}}, Plan{{{0, 0}}, {{1, 0}}}
	infeasible := func() *fakePeer { return &fakePeer{answers: []peerAnswer{{status: peerInfeasible}}} }
	late := func() *fakePeer { return &fakePeer{answers: []peerAnswer{{}}} }
	lying := claims(p, best)
	lying.answers[1].objective--
	illegal := claims(p, best)
	illegal.answers[0].columns = map[string]float64{"x_0_0_0": 1}
	for name, c := range map[string]struct {
		got   Plan
		peers []peer
		fails bool
	}{
		"all agree":                         {best, []peer{claims(p, best), claims(p, best)}, false},
		"a peer is better":                  {worse, []peer{claims(p, best), claims(p, worse)}, true},
		"a peer is worse, none confirms":    {best, []peer{claims(p, worse)}, true},
		"a peer is worse, another confirms": {best, []peer{claims(p, worse), claims(p, best)}, false},
		"a peer has a plan after all":       {nil, []peer{claims(p, worse), infeasible()}, true},
		"all say infeasible":                {nil, []peer{infeasible()}, false},
		"infeasible, none confirms":         {best, []peer{infeasible(), late()}, true},
		"infeasible, another confirms":      {best, []peer{infeasible(), claims(p, best)}, false},
		"no proof":                          {best, []peer{late()}, false},
		"objective and plan differ":         {best, []peer{lying}, true},
		"the peer's plan breaks a rule":     {best, []peer{illegal}, true},
	} {
		r := &recorder{TB: t}
		agreeWithPeers(r, p, Weakest, c.got, c.peers, time.Second, nil)
		assert.Equal(t, c.fails, r.failed, name)
	}
}
