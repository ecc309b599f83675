package tty

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"syscall"

	"sevenyard/cmd/internal/screen"
	"sevenyard/drills/prose"
)

// Afterwards are errors of a command whose answer is on standard output already: nothing more may be written there.
type Afterwards struct{ errs []error }

func (e *Afterwards) Error() string { return OneLine(errors.Join(e.errs...)) }

func (e *Afterwards) Unwrap() []error { return e.errs }

// After gives what went wrong beside an answer that is out, and that its search was stopped; nil if nothing did.
func After(stopped bool, errs ...error) error {
	var list []error
	for _, err := range errs {
		if err != nil {
			list = append(list, err)
		}
	}
	if stopped {
		list = append(list, ErrBestSoFar)
	}
	if list == nil {
		return nil
	}
	return &Afterwards{list}
}

// What a search says that was ended by hand.
var (
	ErrBestSoFar = errors.New("stopped: shown is the best that was found so far")
)

// Made remembers what a run has made that lasts, to be said where the screen cannot be written.
type Made struct {
	mu   sync.Mutex
	what []string
}

// Did notes one such thing, such as "recorded as entry 3".
func (sio IO) Did(format string, args ...any) {
	if sio.Made == nil {
		return
	}
	sio.Made.mu.Lock()
	defer sio.Made.mu.Unlock()
	sio.Made.what = append(sio.Made.what, fmt.Sprintf(format, args...))
}

// Unwritten says that standard output could not be written, and what was made all the same. Where a reader such as head has had enough,
// and nothing was made, there is nothing to say; the status tells.
func (sio IO) Unwritten(err error) {
	what := sio.Made.what
	switch {
	case len(what) > 0:
		sio.Complain(fmt.Sprintf("sevenyard: %s; only the screen could not be written: %s", prose.And(what), cause(err)))
	case errors.Is(err, syscall.EPIPE):
	default:
		sio.Complain(fmt.Sprintf("sevenyard: standard output could not be written: %s", cause(err)))
	}
}

// cause is an error of the system without the name of the stream.
func cause(err error) string {
	var no syscall.Errno
	if errors.As(err, &no) {
		return no.Error()
	}
	return OneLine(err)
}

// Document writes a page to standard output as it is.
func (sio IO) Document(data []byte) error {
	if w, ok := sio.Out.(*screen.Writer); ok {
		return w.Raw(data)
	}
	_, err := sio.Out.Write(data)
	return err
}

// MeterOut is where a meter moves about: standard error without the check of what is written there.
func (sio IO) MeterOut() io.Writer {
	if sio.RawErr != nil {
		return sio.RawErr
	}
	return sio.Err
}

// ReadInput reads standard input to its end, at most so many bytes and one more, or until the context ends: a person at a keyboard who
// presses Ctrl-C is not to wait for the line to end.
func (sio IO) ReadInput(ctx context.Context, most int64) (string, error) {
	type got struct {
		data []byte
		err  error
	}
	read := make(chan got, 1)
	go func() {
		data, err := io.ReadAll(io.LimitReader(sio.In, most+1))
		read <- got{data, err}
	}()
	select {
	case x := <-read:
		return string(x.data), x.err
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

// Words are the errors, one by one as they are told.
func (e *Afterwards) Words() []string {
	var out []string
	for _, err := range e.errs {
		out = append(out, "sevenyard: "+strings.TrimSpace(OneLine(err)))
	}
	return out
}

// FirstError is the first that is one.
func FirstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
