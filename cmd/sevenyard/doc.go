// Sevenyard turns a page of drill times into a lineup for every series of a youth flag football game.
//
//	sevenyard start DIR     make a new team folder, with notes in its files
//	sevenyard check DIR     read a folder and tell everything that is wrong with it
//	sevenyard profile DIR   what the drills say about each kid, and how surely
//	sevenyard lineup DIR    who plays which role in every series of a game
//	sevenyard rebuild DIR   a saved plan, changed as little as need be
//	sevenyard season DIR    what every kid has played so far, and what it is owed
//	sevenyard sheet PAGE DIR  pages to print: game, kid, team, draft
//	sevenyard why DIR       why a kid plays here and not there, and what each rule costs
//
// lineup and rebuild write a plan into a new file with --save, and lineup the game as a mixed-integer program with --write-mps.
// Each takes --demo in place of DIR, for an invented team; start takes both and writes that team out.
//
// What people read goes to standard output and fits 80 columns; warnings and errors go to standard
// error. With --format json standard output holds one JSON object and nothing else.
//
// Exit status: 0 done; 1 the files or the rules do not allow it, or it was interrupted; 2 the command line is wrong.
//
// This package is a thin shell: it reads flags, calls drills, assess and optimize/rotation, and lays out
// what they return. It does no arithmetic of the trade. Nothing outside main touches the process: run takes its
// streams and environment as a value.
package main
