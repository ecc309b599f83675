package drills

import _ "embed" // the reference

//go:embed README.md
var reference string

// Reference is the page about the files that a person keeps, in Markdown.
func Reference() string { return reference }
