// Package drills holds the facts of the trade and reads the files a person keeps.
//
// The facts are data (the TOML files in catalogue, embedded): traits, drills, roles, formations,
// the run share of a division, facts of the rule books and cautions, each with its source. The
// files are those of a team folder: team.toml, roster.csv, results.csv and, optionally, fits.csv; and those of a
// pool folder, from which a league drafts its teams: league.toml, pool.csv and results.csv.
//
// Readers report every problem of a file at once, each with file, line, the value and what to do
// about it, up to MaxProblems of a file; nothing is dropped or guessed silently. What looks odd but
// counts is a warning. Tables may be separated by commas, semicolons or tabs, with decimal points or
// commas, a byte order mark and any line ends. Kids stand in natural order of their ids, trials in
// the order of kids, drills and trial numbers, so that the order of rows never matters.
//
// games.csv, the record of games played, has a package of its own (games), built on Sheet; heat tables are in heat.go.
//
// The package knows no statistics: it hands on trials as they were written down.
package drills
