// Package planning takes a team's game from its folder to a report: what every front end does that plans a game, rebuilds one, asks why or shows a
// saved plan again. It reads the record, settles who may not be on the field, heeds the heat, puts together what is owed, searches, and fills the
// report with its warnings and cautions. It knows no terminal and no flags: what people are told to do next comes from the front end's Words.
package planning
