// Package gameday has the commands that plan a game: lineup for one team or many, rebuild, why.
package gameday
