// Package tty is what all commands share of the terminal: the flags that every one has, streams and exit statuses, words and columns of a screen,
// which file may be written, and the names left out where they are to be.
package tty
