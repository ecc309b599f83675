package drills

import (
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

var poolColumns = []string{"kid", "name", "grade", "siblings", "coach_of", "nights", "apart", "carpool", "returning", "hold", "never", "notes"}

// poolSheet is pool.csv as read. The roster's kids are those of the sheet, in the same order.
type poolSheet struct {
	kids []PoolKid
	ros  *roster
}

func readPoolSheet(data []byte, doc *leagueDoc, probs, warn *collector) *poolSheet {
	sheet := &poolSheet{ros: rosterOf(nil)}
	sheet.ros.file = probs.file
	sheet.kids = kidRows(data, poolColumns, "7,Ben,3,,,,,,,,,", probs, warn, sheet.ros.spoilt, func(*table, *collector) {},
		func(t *table) (PoolKid, bool) { return readPoolKid(t, doc, warn) }, func(k PoolKid) string { return k.ID })
	for i := range sheet.kids {
		sheet.ros.index[sheet.kids[i].ID] = i
		sheet.ros.ids = append(sheet.ros.ids, sheet.kids[i].ID)
		sheet.ros.kids = append(sheet.ros.kids, sheet.kids[i].Kid)
	}
	return sheet
}

// readPoolKid reads one row; ok is false if it has a problem. The id is given wherever it can be.
func readPoolKid(t *table, doc *leagueDoc, warn *collector) (PoolKid, bool) {
	base, ok := readKid(t, &doc.game.team.Catalogue, warn)
	k := PoolKid{Kid: base, CoachOf: -1}
	if !ok && len(t.cells) > len(t.header) {
		return k, false // the cells have slipped, so none of them says what it seems to
	}
	who := "kid " + quote(k.ID)
	fail := func(do, format string, args ...any) {
		t.probs.add(t.line, do, who+": "+format, args...)
		ok = false
	}
	label := func(column, s string) string {
		s = strings.Join(strings.Fields(s), " ")
		if bad := badText(s, longName); bad != "" {
			fail("mend the cell", "%s %s", column, bad)
		}
		return s
	}
	k.Siblings = label("siblings", t.cell("siblings"))
	k.Returning = label("returning", t.cell("returning"))
	for _, part := range strings.Split(t.cell("carpool"), ";") {
		if car := label("carpool", part); car != "" && !slices.ContainsFunc(k.Carpools, func(s string) bool { return strings.EqualFold(s, car) }) {
			k.Carpools = append(k.Carpools, car)
		}
	}
	if name := t.cell("coach_of"); name != "" {
		if k.CoachOf = doc.findTeam(name); k.CoachOf < 0 && len(doc.Teams) > 0 {
			fail(prose.DidYouMean(name, doc.teamNames(), "the teams of league.toml are "+prose.And(doc.teamNames())), "coach_of names an unknown team %s", quote(name))
		}
	}
	for _, word := range strings.FieldsFunc(t.cell("nights"), func(r rune) bool { return strings.ContainsRune(";,/| \t", r) }) {
		night, do := parseNight(word)
		switch {
		case night == "":
			fail(do, "nights has %s", quote(word))
		case !slices.Contains(k.Nights, night):
			k.Nights = append(k.Nights, night)
		}
	}
	sortNights(k.Nights)
	for _, id := range strings.FieldsFunc(t.cell("apart"), func(r rune) bool { return strings.ContainsRune(";,/| \t", r) }) {
		switch {
		case id == k.ID:
			fail("name the other kid", "apart names the kid itself")
		case !slices.Contains(k.Apart, id):
			k.Apart = append(k.Apart, strings.Clone(id))
		}
	}
	return k, ok
}
