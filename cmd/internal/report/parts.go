package report

import "sevenyard/drills"

// Cautions picks the catalogue's first caution on each topic, in the topics' order.
func Cautions(c *drills.Catalogue, topics ...string) []string {
	out := []string{}
	for _, t := range topics {
		for _, x := range c.Cautions {
			if x.Topic == t {
				out = append(out, x.Text)
				break
			}
		}
	}
	return out
}

// Places are problems as objects.
func Places(ps drills.Problems) []Problem {
	out := []Problem{}
	for _, p := range ps {
		out = append(out, Problem{File: p.At.File, Line: p.At.Line, What: p.What, Do: p.Do})
	}
	return out
}

// Filled is the list, never null.
func Filled[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
