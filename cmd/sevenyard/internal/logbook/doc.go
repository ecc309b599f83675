// Package logbook has the commands about what was played: record, clear, season.
package logbook
