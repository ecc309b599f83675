package played

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestParseDate(t *testing.T) {
	const today = "2026-12-01" // a Tuesday
	for text, want := range map[string]string{
		"2026-09-12": "2026-09-12", "2026/9/12": "2026-09-12", "2026.9.12": "2026-09-12",
		"9/12/2026": "2026-09-12", // the 9th of December is still to come
		"9/12":      "2026-09-12", "9/25": "2026-09-25", "25/9": "2026-09-25", "9/9": "2026-09-09", "9-25-2026": "2026-09-25",
		"12.9.2026": "2026-09-12", "12.9.": "2026-09-12", "12.9.26": "2026-09-12", "1.12.2026": "2026-12-01",
		"Sep 12": "2026-09-12", "sept 12": "2026-09-12", "12 September": "2026-09-12", "September 12th, 2026": "2026-09-12", "12. Sep. 2026": "2026-09-12",
		"sep 12 26": "2026-09-12", "2026 Sep 12": "2026-09-12", " May 31 ": "2026-05-31", "May 1": "", "Dec 31": "",
		"today": "2026-12-01", "Yesterday": "2026-11-30", "Sat": "2026-11-28", "saturday": "2026-11-28", "tue": "2026-12-01", "Wednesday": "2026-11-25",
		"12/31/2025": "2025-12-31", "Feb 29": "", "Feb 29 2028": "2028-02-29", "2027-01-02": "2027-01-02",
		"": "", "12": "", "9": "", "2026-13-01": "", "2026-02-30": "", "31.9.2026": "", "0026-12-02": "", "12.9.0026": "", "1826-12-02": "",
		"9/12/2026 10:00": "", "tomorrow": "", "9/12/2026/3": "", "12 12 12": "", "x 9/12": "", "Sep": "", "Sep Sep": "", "12th": "", "t": "", "\x00/1": "", "September2026": "",
	} {
		got, what, do := ParseDate(text, today)
		require.Equal(t, want, got, text)
		require.Equal(t, want == "", what != "" && do != "", text)
	}
	// Both may be meant.
	_, what, _ := ParseDate("3/4/2026", today)
	require.Contains(t, what, "2026-03-04 or 2026-04-03")
	// Without a year, and over half a year ago: nothing is guessed.
	_, _, do := ParseDate("Feb 3", today)
	require.Contains(t, do, "the year too")
	// Without knowing what day it is, only what says its year.
	for text, want := range map[string]string{"2026-09-12": "2026-09-12", "Sep 12 2026": "2026-09-12", "Sep 12": "", "today": "", "sat": "", "25/9/2026": "2026-09-25"} {
		got, _, _ := ParseDate(text, "")
		require.Equal(t, want, got, text)
	}
}

// FuzzParseDate: what is read is a date, and reads as itself.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"9/12", "12.9.2026", "Sep 12", "12 sep 26", "sat", "today", "31.4.", "29 Feb 2028", "٣/٤/٢٠٢٦"} {
		f.Add(s, "2026-12-01")
	}
	f.Fuzz(func(t *testing.T, text, today string) {
		date, what, _ := ParseDate(text, today)
		require.NotEqual(t, date == "", what == "")
		if date == "" {
			return
		}
		d, err := time.Parse(time.DateOnly, date)
		require.NoError(t, err)
		require.True(t, d.Year() >= firstYear && d.Year() <= lastYear || date == today || text != date, date)
		again, _, _ := ParseDate(date, today)
		if d.Year() >= firstYear && d.Year() <= lastYear {
			require.Equal(t, date, again)
		}
	})
}
