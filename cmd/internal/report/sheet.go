package report

// SheetSchema is the schema of what sheet tells about the page it wrote.
const SheetSchema = "sevenyard.sheet/1"

// Sheet is a page that was written into a file. Pages are printed ones, on Letter or A4.
type Sheet struct {
	Schema   string   `json:"schema"`   // name and version of this object's schema
	Sheet    string   `json:"sheet"`    // game, kid, team or draft
	Team     string   `json:"team"`     // the team's name; draft: the league's
	File     string   `json:"file"`     // the file it was written into
	Bytes    int      `json:"bytes"`    // size of the file in bytes
	Pages    int      `json:"pages"`    // number of printed pages, on Letter or A4
	Kids     []string `json:"kids"`     // ids of kids whose names or ids are on it
	Warnings []string `json:"warnings"` // sentences for a person: what looks odd and counts all the same
}
