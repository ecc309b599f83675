package sheet

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"sevenyard/cmd/internal/screen"
	"sevenyard/cmd/internal/texttab"
	"sevenyard/drills"
)

// Page is one HTML file, and how many pages it prints on.
type Page struct {
	HTML  []byte
	Pages int
}

// Team is what a page needs beside the numbers of a report.
type Team struct {
	Name      string
	Division  string // in words: "grades 3-4"
	Catalogue *drills.Catalogue
	Roster    []string          // ids, in the roster's order
	Names     map[string]string // by id; empty: names are left out
	Never     map[string][]string
	Cautions  []string
}

func (t Team) title() string {
	if t.Name == "" {
		return "Your team"
	}
	return t.Name
}

// who is a kid on a page.
type who struct{ ID, Name, Short string }

func (t Team) who(id string) who { return who{ID: id, Name: t.Names[id]} }

// text is the kid within a sentence.
func (w who) text() string {
	if w.Name == "" {
		return w.ID
	}
	return w.ID + " " + w.Name
}

//go:embed templates style.css
var files embed.FS

var style = strings.TrimSpace(read("style.css"))

func read(name string) string {
	b, err := files.ReadFile(name)
	if err != nil {
		panic("sheet: " + err.Error())
	}
	return string(b)
}

var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"t0": func(x float64) string { return fixed(x, 0) },
	"t1": func(x float64) string { return fixed(x, 1) },
	"join": func(ids []string) string {
		if len(ids) == 0 {
			return "none"
		}
		return strings.Join(ids, ", ")
	},
	"tone":     tone,
	"long":     long,
	"isolated": isolated,
	"next":     func(i int) int { return i + 1 },
	"plus":     func(a, b float64) float64 { return a + b },
	"minus":    func(a, b float64) float64 { return b - a },
}).ParseFS(files, "templates/*.html"))

// frame is what every page has around its content.
type frame struct {
	Title  string
	Policy string
	Style  template.CSS
	Body   any
}

// render fills a page in. More is style of this page alone. The policy allows the one style, by its hash, and nothing else.
func render(name, title, more string, body any) ([]byte, error) {
	css := "\n" + style + "\n" + more
	sum := sha256.Sum256([]byte(css))
	f := frame{
		Title: title, Body: body, Style: template.CSS(css), //nolint:gosec // the style is this package's own
		Policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'",
	}
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, name, f); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// fixed rounds to n digits as screens do; the minus is the typographer's.
func fixed(x float64, n int) string { return strings.Replace(screen.Figure(x, n), "-", "\u2212", 1) }

// shortID is how many cells a jersey number has; an id with more is a word, and stands smaller.
const shortID = 3

func long(id string) bool { return texttab.Width(id) > shortID }

// tone is the class of the i-th colour; the colours repeat, letters tell them apart.
func tone(i int) string { return "r" + strconv.Itoa(((i%6)+6)%6) }

// short fits a name into so many cells: whole, or its first word, or cut.
func short(name string, cells int) string {
	if texttab.Width(name) <= cells {
		return name
	}
	if first, _, more := strings.Cut(name, " "); more && texttab.Width(first) <= cells && first != "" {
		return first
	}
	return screen.Clip(name, max(2, cells))
}

// chunks splits a list into the fewest runs of at most n, all about as long.
func chunks[T any](list []T, n int) [][]T {
	if len(list) == 0 {
		return nil
	}
	parts := (len(list) + n - 1) / n
	var out [][]T
	for i := range parts {
		out = append(out, list[i*len(list)/parts:(i+1)*len(list)/parts])
	}
	return out
}

// percent is a place along a line, for a picture that is as wide as the page gives it.
func percent(x float64) string { return fmt.Sprintf("%.2f%%", 100*x) }
