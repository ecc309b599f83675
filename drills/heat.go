package drills

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"sevenyard/drills/prose"
)

// WBGT is a wet-bulb globe temperature: what the heat does to a body, from humidity, sun and air. It is not
// the temperature of the air.
type WBGT struct {
	F    float64 // degrees Fahrenheit, with which the tables are compared
	Text string  // as written
}

// The degrees Fahrenheit that a reading may have.
const (
	leastWBGT = 20
	mostWBGT  = 130
)

// C is the reading in degrees Celsius.
func (w WBGT) C() float64 { return (w.F - 32) * 5 / 9 }

// ParseWBGT reads a reading with its unit: 88F, 31C, 87.5 °F. Without the unit it is an error: 30 could be either.
func ParseWBGT(text string) (WBGT, error) {
	plain := strings.ToUpper(strings.NewReplacer("°", "", "º", "", " ", "").Replace(text))
	digits := strings.TrimRight(plain, "CF")
	x, ok := parseNumber(digits)
	switch unit := plain[len(digits):]; {
	case !ok:
		return WBGT{}, fmt.Errorf("%s is no reading; write degrees and unit, such as 82F or 28C", quote(text))
	case unit == "":
		return WBGT{}, fmt.Errorf("%s has no unit; write %[2]sF for Fahrenheit or %[2]sC for Celsius", quote(text), digits)
	case unit == "C":
		x = math.Round((x*9/5+32)*1e9) / 1e9
	case unit != "F":
		return WBGT{}, fmt.Errorf("%s has two units; write one", quote(text))
	}
	if x < leastWBGT || x > mostWBGT {
		return WBGT{}, fmt.Errorf("%s is no weather to play in, nor a likely reading; look at the number and its unit", quote(text))
	}
	return WBGT{x, strings.TrimSpace(text)}, nil
}

// HeatRow is one row of a heat table.
type HeatRow struct {
	From         float64 // degrees Fahrenheit; the first row of a table may begin nowhere: -Inf
	Above        bool    // the row begins above From, not at it
	Words        string  // what the table asks for
	Stop         bool    // no activity
	MaxOn        int     // series in a row on the field; 0: as otherwise
	BreakEvery   int     // a water break after so many series; 0: none
	BreakMinutes int     // the least minutes of a break
}

// HeatTable is a published table, its rows from cool to hot.
type HeatTable struct {
	ID                  string // as a team names it in team.toml
	Name, Title, Source string
	Column              string // which of its columns is used, and why
	Superseded          *Superseded
	Rows                []HeatRow
}

// Superseded says what took the place of a table; a current table has none.
type Superseded struct {
	By     string
	Year   int
	Source string
}

// Row gives the row that a reading falls in; ok is false below the first.
func (t *HeatTable) Row(w WBGT) (row HeatRow, ok bool) {
	for _, r := range t.Rows {
		if w.F > r.From || w.F == r.From && !r.Above {
			row, ok = r, true
		}
	}
	return row, ok
}

// HeatRule is what one table says to a reading.
type HeatRule struct {
	Table  HeatTable
	Row    HeatRow
	Counts bool // its demands are among those that count; false: it asks for more than the league's table, and is only told
}

// Off tells whether the rule calls the game off. A superseded table does so only where the league has named it.
func (r HeatRule) Off(league string) bool {
	return r.Counts && r.Row.Stop && (r.Table.Superseded == nil || r.Table.ID == league)
}

// Heat is what the league's table says to a reading, where the league has named one; else what all tables together say, of each demand the
// most cautious one. Only a current table calls a game off then: a superseded one that would makes turns short instead.
type Heat struct {
	Reading      WBGT
	League       *HeatTable // the table that the league has named; nil: none
	Rules        []HeatRule // of the tables that say something, the league's first, then in the catalogue's order
	Stop         bool
	MaxOn        int // series in a row on the field; 0: as otherwise
	BreakEvery   int // a water break after so many series; 0: none
	BreakMinutes int
}

// HeatAt looks a reading up in the published tables. league is the id of the table that the league has named, "" without one.
func HeatAt(w WBGT, league string) Heat {
	h := Heat{Reading: w}
	tables := HeatTables()
	slices.SortStableFunc(tables, func(a, b HeatTable) int { // the league's first: the others are measured by it
		switch {
		case a.ID == b.ID || a.ID != league && b.ID != league:
			return 0
		case a.ID == league:
			return -1
		}
		return 1
	})
	if league != "" && tables[0].ID == league {
		h.League = &tables[0]
	}
	for _, t := range tables {
		row, ok := t.Row(w)
		rule := HeatRule{t, row, h.League == nil || t.ID == league}
		if !ok || !rule.Counts && !h.asksForMore(row) {
			continue
		}
		h.Rules = append(h.Rules, rule)
		if !rule.Counts {
			continue
		}
		h.Stop = h.Stop || rule.Off(league)
		h.MaxOn, h.BreakEvery = lesser(h.MaxOn, row.MaxOn), lesser(h.BreakEvery, row.BreakEvery)
		h.BreakMinutes = max(h.BreakMinutes, row.BreakMinutes)
	}
	return h
}

// lesser is the smaller of two limits, of which 0 is none.
func lesser(a, b int) int {
	if a == 0 || b == 0 {
		return max(a, b)
	}
	return min(a, b)
}

// asksForMore tells whether a row is more cautious than what counts so far.
func (h *Heat) asksForMore(row HeatRow) bool {
	return !h.Stop && row.Stop || lesser(h.MaxOn, row.MaxOn) != h.MaxOn || lesser(h.BreakEvery, row.BreakEvery) != h.BreakEvery || row.BreakMinutes > h.BreakMinutes
}

// heatIDs are the names that team.toml may give a table.
func heatIDs() []string { return names(heatTables(), func(t *HeatTable) string { return t.ID }) }

// Limit is the limit of series in a row on the field: the coach's own (nil or 0: none), or the heat's where that is the shorter one.
func (h Heat) Limit(own *int) *int {
	if h.MaxOn == 0 || own != nil && 0 < *own && *own <= h.MaxOn {
		return own
	}
	return &h.MaxOn
}

// Breaks are the series after which there is a water break, in a game of so many series.
func (h Heat) Breaks(series int) []int {
	var out []int
	if h.BreakEvery > 0 {
		for s := h.BreakEvery; s < series; s += h.BreakEvery {
			out = append(out, s)
		}
	}
	return out
}

var heatTables = sync.OnceValue(func() []HeatTable {
	data, err := catalogueFiles.ReadFile("catalogue/heat.toml")
	if err != nil {
		panic("drills: embedded catalogue: " + err.Error())
	}
	tables, err := readHeat(data)
	if err != nil {
		panic("drills: embedded catalogue: " + err.Error())
	}
	return tables
})

// HeatTables are the published tables. Each call gives a copy that the caller may change.
func HeatTables() []HeatTable {
	out := slices.Clone(heatTables())
	for i := range out {
		out[i].Rows = slices.Clone(out[i].Rows)
	}
	return out
}

func readHeat(data []byte) ([]HeatTable, error) {
	probs := &collector{file: "heat.toml"}
	var out []HeatTable
	if doc := parseTOML(data, probs); doc != nil {
		s := section{doc, "", probs}
		s.known("heat")
		for _, v := range s.tables("heat") {
			out = append(out, readHeatTable(section{v, "[[heat]]", probs}))
		}
	}
	return out, probs.finish().err()
}

func readHeatTable(s section) HeatTable {
	var t HeatTable
	s.known("id", "name", "title", "source", "column", "superseded", "rows")
	s.str("id", &t.ID)
	s.str("name", &t.Name)
	s.str("title", &t.Title)
	s.str("source", &t.Source)
	s.str("column", &t.Column)
	if v := s.typed("superseded", isTable); v != nil {
		t.Superseded = &Superseded{}
		x := section{v, "superseded", s.probs}
		x.known("by", "year", "source")
		x.str("by", &t.Superseded.By)
		x.integer("year", 1900, 2100, &t.Superseded.Year)
		x.str("source", &t.Superseded.Source)
	}
	for _, v := range s.tables("rows") {
		r := section{v, "[[heat.rows]]", s.probs}
		r.known("from", "above", "words", "stop", "max_on", "break_every", "break_minutes")
		row := HeatRow{From: math.Inf(-1)}
		at := r.float("from", leastWBGT, mostWBGT, &row.From)
		if row.Above = r.float("above", leastWBGT, mostWBGT, &row.From); row.Above && at || !at && !row.Above && len(t.Rows) > 0 {
			r.probs.add(r.line, "", "a row has either from or above")
		}
		r.str("words", &row.Words)
		r.bool("stop", &row.Stop)
		r.integer("max_on", 1, 9, &row.MaxOn)
		r.integer("break_every", 1, 9, &row.BreakEvery)
		r.integer("break_minutes", 1, 60, &row.BreakMinutes)
		if n := len(t.Rows); n > 0 && row.From <= t.Rows[n-1].From {
			r.probs.add(r.line, "", "rows stand from cool to hot")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// readHeatName reads which published table is the league's word on heat.
func readHeatName(s section, t *Team) {
	var name string
	if !s.str("heat", &name) {
		return
	}
	if t.Heat = strings.ToLower(name); !slices.Contains(heatIDs(), t.Heat) {
		t.Heat = ""
		s.probs.add(s.get("heat").line, prose.DidYouMean(name, heatIDs(), "the tables are "+prose.And(heatIDs())+"; left out, the most cautious of them counts"),
			"heat is %s, which names no table", quote(name))
	}
}
