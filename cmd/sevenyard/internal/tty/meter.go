package tty

import (
	"fmt"
	"sync"
	"time"

	"sevenyard/optimize/rotation"
)

// meter shows on a terminal's standard error that a long search goes on, and how far it is.
type meter struct {
	sio  IO
	stop chan struct{}
	wait sync.WaitGroup

	mu   sync.Mutex
	last rotation.Progress
	text func() string // what to say; nil: how far the search of a plan is
}

// Beat is how often the meter moves. A search that ends within one beat shows nothing.
const Beat = 400 * time.Millisecond

// StartMeter starts the meter; without a terminal it does nothing.
func StartMeter(sio IO) *meter {
	m := &meter{sio: sio, stop: make(chan struct{})}
	if sio.ErrTerminal {
		m.wait.Go(m.run)
	}
	return m
}

// StartMeterWith is startMeter with words of its own.
func StartMeterWith(sio IO, text func() string) *meter {
	m := &meter{sio: sio, stop: make(chan struct{}), text: text}
	if sio.ErrTerminal {
		m.wait.Go(m.run)
	}
	return m
}

// Note takes the state of the search; it may be called from any goroutine.
func (m *meter) Note(p rotation.Progress) {
	m.mu.Lock()
	m.last = p
	m.mu.Unlock()
}

// End stops the meter and clears its line.
func (m *meter) End() {
	close(m.stop)
	m.wait.Wait()
}

func (m *meter) run() {
	tick := time.NewTicker(Beat)
	defer tick.Stop()
	for n := 0; ; n++ {
		select {
		case <-m.stop:
			if n > 0 {
				fmt.Fprint(m.sio.MeterOut(), "\r\x1b[K")
			}
			return
		case <-tick.C:
			fmt.Fprintf(m.sio.MeterOut(), "\r%c %s (Ctrl-C stops)\x1b[K", `|/-\`[n%4], m.words())
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
