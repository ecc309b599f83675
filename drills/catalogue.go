package drills

import (
	"embed"
	"sync"
)

//go:embed catalogue/*.toml
var catalogueFiles embed.FS

var embedded = sync.OnceValue(func() Catalogue {
	cat, err := loadCatalogue()
	if err != nil {
		panic("drills: embedded catalogue: " + err.Error())
	}
	return cat
})

// Default is the embedded catalogue. Each call gives a copy that the caller may change.
func Default() Catalogue {
	cat := embedded()
	return cat.clone()
}

func loadCatalogue() (Catalogue, error) {
	var cat Catalogue
	for _, name := range []string{"drills.toml", "roles.toml", "formations.toml", "field.toml"} {
		data, err := catalogueFiles.ReadFile("catalogue/" + name)
		if err != nil {
			return cat, err
		}
		probs := &collector{file: name}
		doc := parseTOML(data, probs)
		if doc != nil {
			s := section{doc, "", probs}
			s.known("traits", "drills", "roles", "run_shares", "formations", "field", "cautions")
			readCatalogueKeys(s, &cat)
			readFixedKeys(s, &cat)
		}
		if err := probs.finish().err(); err != nil {
			return cat, err
		}
	}
	probs := &collector{file: "catalogue"}
	finishCatalogue(&cat, probs, map[string]int{})
	return cat, probs.finish().err()
}

// readFixedKeys reads what only the embedded catalogue holds.
func readFixedKeys(s section, cat *Catalogue) {
	for _, v := range s.tables("run_shares") {
		t := section{v, "[[run_shares]]", s.probs}
		t.known("grades", "share", "source")
		var r RunShare
		t.grades("grades", &r.Grades)
		t.float("share", 0, 1, &r.Share)
		t.str("source", &r.Source)
		cat.RunShares = append(cat.RunShares, r)
	}
	for _, v := range s.tables("field") {
		t := section{v, "[[field]]", s.probs}
		t.known("name", "title", "value", "unit", "source")
		var r Rule
		t.str("name", &r.Name)
		t.str("title", &r.Title)
		t.float("value", 0, 1000, &r.Value)
		t.str("unit", &r.Unit)
		t.str("source", &r.Source)
		cat.Field = append(cat.Field, r)
	}
	for _, v := range s.tables("cautions") {
		t := section{v, "[[cautions]]", s.probs}
		t.known("topic", "text", "source")
		var c Caution
		t.str("topic", &c.Topic)
		t.str("text", &c.Text)
		t.str("source", &c.Source)
		cat.Cautions = append(cat.Cautions, c)
	}
}
