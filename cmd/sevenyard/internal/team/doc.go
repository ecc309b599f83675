// Package team has the commands about a folder as it is: start, drills, check, profile.
package team
