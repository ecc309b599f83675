// Package games reads and writes games.csv, the record of the games played: who was there, and who
// stood where in every series.
//
// The file is one table, game,date,opponent,series,role,kid,entry,notes, in which a row says one thing:
//
//   - a role: the kid played it in that series of the game;
//   - present: the kid was there, for the whole game (series empty) or for 3 to 8, or 3 to end; one row for each stretch;
//   - hurt: the kid was hurt in that series, and is out for the day;
//   - cleared: the kid may play again, or was not hurt after all; the notes say who says so, and the series, where it is given, when
//     the kid was hurt by a plan that the record knows nothing of;
//   - void: that series, or with no series all of the game so far, does not count;
//   - opened and closed: an entry of this program begins, and is whole.
//
// A person may type rows, and leaves the entry empty. The program writes entries: an opening row, its
// rows with the entry's number, and a closing row that has their count and checksum. Entries count in the order of
// their numbers, and one replaces whole series of its game, and all of the game's attendance where it
// has any. Nothing that is written is changed afterwards; a correction is another entry. Who is hurt is no part of the attendance: a
// mark stays, whatever comes after it, until a row clears it.
//
// What a crash leaves at the end of the file is an entry without its closing row. It does not count; [Read] warns of it,
// and the next [Journal.Update] puts it aside. See the comments of [Journal] for what may be cut off and what never is.
package games
