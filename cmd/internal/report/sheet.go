package report

// SheetSchema is the schema of what sheet tells about the page it wrote.
const SheetSchema = "sevenyard.sheet/1"

// Sheet is a page that was written into a file. Pages are printed ones, on Letter or A4.
type Sheet struct {
	Schema   string   `json:"schema"`
	Sheet    string   `json:"sheet"` // game, kid, team or draft
	Team     string   `json:"team"`  // draft: the league
	File     string   `json:"file"`
	Bytes    int      `json:"bytes"`
	Pages    int      `json:"pages"`
	Kids     []string `json:"kids"` // whose names or ids are on it
	Warnings []string `json:"warnings"`
}
