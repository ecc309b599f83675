// Package draftday has the command draft and those below it.
package draftday
