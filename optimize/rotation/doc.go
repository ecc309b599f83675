// Package rotation plans the series of a game: who plays which role when.
package rotation
