package played

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Years in which a game can have been.
const (
	firstYear = 1990
	lastYear  = 2999
)

// longAgo is how many days may have passed since a date without its year.
const longAgo = 200

// isoDate is what to do about a date that cannot be read.
const isoDate = "write year, month and day, such as 2026-09-12"

var months = []string{"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december"}

var days = []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

// ParseDate reads a date as people write it: 2026-09-12, 9/12, 12.9.2026, Sep 12, 12 September, today, yesterday, Sat. A day without its year, or a
// weekday, is the last one up to today. Of 9/12 and 12/9 both readings are tried: one that is still to come is not meant where the other one is
// over, and where both are over, what is wrong says so. today is a date as 2026-12-01, "": not known. The date comes back as 2026-09-12.
func ParseDate(text, today string) (date, what, do string) {
	now, err := time.Parse(time.DateOnly, today)
	known := err == nil
	word := strings.ToLower(strings.TrimSpace(text))
	no := fmt.Sprintf("%q is no date", text)
	if known {
		switch word {
		case "today":
			return today, "", ""
		case "yesterday":
			return now.AddDate(0, 0, -1).Format(time.DateOnly), "", ""
		}
		if i := begins(days, word); i >= 0 {
			back := (int(now.Weekday()) - i + 7) % 7
			return now.AddDate(0, 0, -back).Format(time.DateOnly), "", ""
		}
	}
	found := readings(word)
	if !known {
		found = slices.DeleteFunc(found, func(r reading) bool { return r.year == 0 })
	}
	var dates []time.Time
	old := false // but for its year it is a date
	for _, r := range found {
		d, ok := r.on(now)
		old = old || !ok && r.year == 0 && r.valid(now.Year())
		if ok && !slices.Contains(dates, d) {
			dates = append(dates, d)
		}
	}
	if over := func(d time.Time) bool { return !d.After(now) }; known && len(dates) > 1 && slices.ContainsFunc(dates, over) {
		dates = slices.DeleteFunc(dates, func(d time.Time) bool { return !over(d) })
	}
	switch {
	case len(dates) == 1:
		return dates[0].Format(time.DateOnly), "", ""
	case len(dates) > 1:
		return "", fmt.Sprintf("%q may be %s or %s", text, dates[0].Format(time.DateOnly), dates[1].Format(time.DateOnly)), "write one of the two"
	case old:
		return "", fmt.Sprintf("%q was more than %d days ago, or is still to come", text, longAgo), "write the year too, such as 2026-09-12"
	}
	return "", no, isoDate
}

// reading is one way to read a date; year 0: it does not say.
type reading struct{ year, month, day int }

// readings are the ways to read a date in numbers, or with the month as a word.
func readings(word string) []reading {
	sep := rune(0) // what stands between numbers
	parts := strings.FieldsFunc(word, func(r rune) bool {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			if !unicode.IsSpace(r) && r != ',' {
				sep = r
			}
			return true
		}
		return false
	})
	if len(parts) < 2 || len(parts) > 3 || strings.ContainsFunc(word, func(r rune) bool { return strings.ContainsRune("@:;", r) }) {
		return nil
	}
	month := slices.IndexFunc(parts, func(p string) bool { return begins(months, p) >= 0 })
	var numbers []int
	for i, p := range parts {
		if i == month {
			continue
		}
		for _, end := range []string{"st", "nd", "rd", "th"} {
			p = strings.TrimSuffix(p, end)
		}
		n, err := strconv.Atoi(p)
		if err != nil || len(p) > 4 || len(p) == 3 {
			return nil
		}
		if len(p) == 4 {
			n = max(n, 100) // a year, whatever it says
		}
		numbers = append(numbers, n)
	}
	year := func(i int) int {
		switch {
		case i >= len(numbers):
			return 0
		case numbers[i] < 100:
			return 2000 + numbers[i]
		}
		return numbers[i]
	}
	switch {
	case month >= 0 && numbers[0] > 31: // 2026 Sep 12
		if len(numbers) == 2 {
			return []reading{{numbers[0], begins(months, parts[month]) + 1, numbers[1]}}
		}
		return nil
	case month >= 0:
		return []reading{{year(1), begins(months, parts[month]) + 1, numbers[0]}}
	case len(numbers) == 3 && numbers[0] > 31:
		return []reading{{numbers[0], numbers[1], numbers[2]}}
	case sep == '.':
		return []reading{{year(2), numbers[1], numbers[0]}}
	case sep == '/' || sep == '-' && len(numbers) == 3:
		return []reading{{year(2), numbers[0], numbers[1]}, {year(2), numbers[1], numbers[0]}}
	}
	return nil
}

// begins gives the place of the word of a list that is typed, or begun with three letters or more; -1: none.
func begins(list []string, typed string) int {
	return slices.IndexFunc(list, func(w string) bool {
		return w == typed || len(typed) >= 3 && strings.HasPrefix(w, typed) || typed == "sept" && w == "september"
	})
}

func (r reading) valid(year int) bool {
	d := time.Date(year, time.Month(r.month), r.day, 0, 0, 0, 0, time.UTC)
	return r.month >= 1 && r.month <= 12 && r.day >= 1 && d.Day() == r.day
}

// on is the day; without a year, the last one up to now, if that is not too long ago.
func (r reading) on(now time.Time) (time.Time, bool) {
	year := r.year
	if year == 0 {
		year = now.Year()
	}
	d := time.Date(year, time.Month(r.month), r.day, 0, 0, 0, 0, time.UTC)
	if r.year == 0 && d.After(now) {
		year--
		d = time.Date(year, time.Month(r.month), r.day, 0, 0, 0, 0, time.UTC)
	}
	switch {
	case !r.valid(year) || year < firstYear || year > lastYear:
		return d, false
	case r.year == 0 && now.Sub(d) > longAgo*24*time.Hour:
		return d, false
	}
	return d, true
}
