package main

import (
	"fmt"
	"sync"
	"time"

	"sevenyard/optimize/rotation"
)

// meter shows on a terminal's standard error that a long search goes on, and how far it is.
type meter struct {
	sio  stdio
	stop chan struct{}
	wait sync.WaitGroup

	mu   sync.Mutex
	last rotation.Progress
	text func() string // what to say; nil: how far the search of a plan is
}

// beat is how often the meter moves. A search that ends within one beat shows nothing.
const beat = 400 * time.Millisecond

// startMeter starts the meter; without a terminal it does nothing.
func startMeter(sio stdio) *meter {
	m := &meter{sio: sio, stop: make(chan struct{})}
	if sio.ErrTerminal {
		m.wait.Go(m.run)
	}
	return m
}

// startMeterWith is startMeter with words of its own.
func startMeterWith(sio stdio, text func() string) *meter {
	m := &meter{sio: sio, stop: make(chan struct{}), text: text}
	if sio.ErrTerminal {
		m.wait.Go(m.run)
	}
	return m
}

// note takes the state of the search; it may be called from any goroutine.
func (m *meter) note(p rotation.Progress) {
	m.mu.Lock()
	m.last = p
	m.mu.Unlock()
}

// end stops the meter and clears its line.
func (m *meter) end() {
	close(m.stop)
	m.wait.Wait()
}

func (m *meter) run() {
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for n := 0; ; n++ {
		select {
		case <-m.stop:
			if n > 0 {
				fmt.Fprint(m.sio.meterOut(), "\r\x1b[K")
			}
			return
		case <-tick.C:
			fmt.Fprintf(m.sio.meterOut(), "\r%c %s (Ctrl-C stops)\x1b[K", `|/-\`[n%4], m.words())
		}
	}
}

func (m *meter) words() string {
	if m.text != nil {
		return m.text()
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.last.Weakest.Proven {
		return "the weakest series is settled; now the total"
	}
	return "looking for the best plan and for its proof"
}
