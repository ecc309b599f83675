package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"syscall"

	"sevenyard/cmd/internal/gameplan"
	"sevenyard/cmd/internal/screen"
)

// afterwards are errors of a command whose answer is on standard output already: nothing more may be written there.
type afterwards struct{ errs []error }

func (e *afterwards) Error() string { return oneLine(errors.Join(e.errs...)) }

func (e *afterwards) Unwrap() []error { return e.errs }

// after gives what went wrong beside an answer that is out, and that its search was stopped; nil if nothing did.
func after(stopped bool, errs ...error) error {
	var list []error
	for _, err := range errs {
		if err != nil {
			list = append(list, err)
		}
	}
	if stopped {
		list = append(list, errBestSoFar)
	}
	if list == nil {
		return nil
	}
	return &afterwards{list}
}

// What a search says that was ended by hand.
var (
	errBestSoFar = errors.New("stopped: shown is the best that was found so far")
	errNoPlanYet = errors.New("stopped: no plan was found yet")
)

// made remembers what a run has made that lasts, to be said where the screen cannot be written.
type made struct {
	mu   sync.Mutex
	what []string
}

// did notes one such thing, such as "recorded as entry 3".
func (sio stdio) did(format string, args ...any) {
	if sio.made == nil {
		return
	}
	sio.made.mu.Lock()
	defer sio.made.mu.Unlock()
	sio.made.what = append(sio.made.what, fmt.Sprintf(format, args...))
}

// unwritten says that standard output could not be written, and what was made all the same. Where a reader such as head has had enough,
// and nothing was made, there is nothing to say; the status tells.
func (sio stdio) unwritten(err error) {
	what := sio.made.what
	switch {
	case len(what) > 0:
		sio.complain(fmt.Sprintf("sevenyard: %s; only the screen could not be written: %s", gameplan.And(what), cause(err)))
	case errors.Is(err, syscall.EPIPE):
	default:
		sio.complain(fmt.Sprintf("sevenyard: standard output could not be written: %s", cause(err)))
	}
}

// cause is an error of the system without the name of the stream.
func cause(err error) string {
	var no syscall.Errno
	if errors.As(err, &no) {
		return no.Error()
	}
	return oneLine(err)
}

// document writes a page to standard output as it is.
func (sio stdio) document(data []byte) error {
	if w, ok := sio.Out.(*screen.Writer); ok {
		return w.Raw(data)
	}
	_, err := sio.Out.Write(data)
	return err
}

// meterOut is where a meter moves about: standard error without the check of what is written there.
func (sio stdio) meterOut() io.Writer {
	if sio.rawErr != nil {
		return sio.rawErr
	}
	return sio.Err
}

// readInput reads standard input to its end, at most so many bytes and one more, or until the context ends: a person at a keyboard who
// presses Ctrl-C is not to wait for the line to end.
func (sio stdio) readInput(ctx context.Context, most int64) (string, error) {
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

// words are the errors, one by one as they are told.
func (e *afterwards) words() []string {
	var out []string
	for _, err := range e.errs {
		out = append(out, "sevenyard: "+strings.TrimSpace(oneLine(err)))
	}
	return out
}
