package drills

import (
	"slices"
	"strings"
	"unicode/utf8"

	"sevenyard/drills/prose"
)

// week holds the nights as files name them. A day may also be written out, or begun: "Tuesday", "tues", "tu".
var week = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

var weekdays = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}

// NightName gives the day of a night: "Tuesday" for "tue".
func NightName(night string) string {
	i := slices.Index(week, night)
	if i < 0 {
		return night
	}
	return strings.ToUpper(weekdays[i][:1]) + weekdays[i][1:]
}

// parseNight reads one night; "" if it is none, and then what to do about it.
func parseNight(s string) (night, do string) {
	word := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(s)), ".")
	if word == "weds" {
		return "wed", ""
	}
	for i, day := range weekdays {
		if utf8.RuneCountInString(word) >= 2 && (strings.HasPrefix(day, word) || strings.HasPrefix(day+"s", word)) {
			return week[i], ""
		}
	}
	const all = "write mon, tue, wed, thu, fri, sat or sun"
	var near []string
	for i, day := range weekdays {
		if word != "" && strings.HasPrefix(day, word) { // a letter alone is taken for no day
			near = append(near, week[i])
		}
	}
	switch {
	case len(near) > 0:
		return "", "did you mean " + strings.Join(near, " or ") + "?"
	case len(word) > 3:
		return "", prose.DidYouMean(word, weekdays, all)
	}
	return "", all
}

func sortNights(nights []string) {
	slices.SortFunc(nights, func(a, b string) int { return slices.Index(week, a) - slices.Index(week, b) })
}
