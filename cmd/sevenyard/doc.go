// Sevenyard turns a page of drill times into a lineup for every series of a youth flag football game.
//
//	sevenyard start DIR      make a new team folder, with notes in its files
//	sevenyard drills         how each drill is set up and run
//	sevenyard formations     the formations there are, each with a small drawing
//	sevenyard check DIR      read a folder and tell everything that is wrong with it
//	sevenyard profile DIR    what the drills say about each kid, and how surely
//	sevenyard lineup DIR     who plays which role in every series of a game
//	sevenyard rebuild DIR    a saved plan, changed as little as need be
//	sevenyard record DIR     what was played, put on record
//	sevenyard clear DIR      a kid who was hurt may play again, with the name of who says so
//	sevenyard season DIR     what every kid has played so far, and what it is owed
//	sevenyard why DIR        why a kid plays here and not there, and what each rule costs
//	sevenyard sheet PAGE DIR pages to print: game, kid, team, draft
//	sevenyard draft DIR      a pool of kids split into even teams, and what is done with them
//	sevenyard completion     what a shell needs to complete all of this
//	sevenyard help           a command, or a topic: files, commands, json, draft
//
// lineup and rebuild write a plan into a new file with --save, and lineup the game as a mixed-integer program with --write-mps.
// Each takes --demo in place of DIR, for an invented team; start takes both and writes that team out.
//
// What people read goes to standard output and fits 80 columns; warnings and errors go to standard
// error. With --format json standard output holds one JSON object and nothing else.
//
// Exit status: 0 done; 1 the files or the rules do not allow it, or it was interrupted; 2 the command line is wrong.
//
// This package has the commands and their exit statuses; what each does stands in the packages below internal, over the rooms of cmd/internal that every
// front end shares. It does no arithmetic of the trade. Nothing outside main touches the process: run takes its streams and environment as a value.
package main
