package draft

import _ "embed" // the reference

//go:embed README.md
var reference string

// Reference is the page about the draft, in Markdown.
func Reference() string { return reference }
