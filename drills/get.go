package drills

import (
	"math"
	"slices"
	"strings"

	"sevenyard/drills/prose"
)

// section reads the keys of one table and notes what is wrong with them.
type section struct {
	*value
	what  string // for messages: "[rules]", "drill \"ladder\"", ...
	probs *collector
}

// known reports keys that are not among the allowed ones.
func (s section) known(allowed ...string) {
	for _, e := range s.keys {
		if !slices.Contains(allowed, e.key) {
			do := prose.DidYouMean(e.key, allowed, "known keys are "+prose.And(allowed))
			if home := homes[e.key]; home != "" && s.what != home && slices.Contains(allowed, "rules") {
				do = "put it under a line " + home
			}
			s.probs.add(e.line, do,
				"unknown key %s%s", quote(e.key), s.where())
		}
	}
}

// homes are the tables of keys that are easily written outside of them.
var homes = map[string]string{
	"max_on": "[rules]", "max_off": "[rules]", "min_roles": "[rules]", "season_roles": "[rules]", "max_same_role": "[rules]", "min_share": "[rules]", "pay_back": "[rules]",
	"kids": "[[cover]]", "at_least": "[[cover]]",
	"kid": "[[pin]]", "role": "[[pin]]", "must": "[[pin]]",
}

func (s section) where() string {
	if s.what == "" {
		return ""
	}
	return " in " + s.what
}

// typed gives the value of a key if it is there and of the wanted kind.
func (s section) typed(key string, want kind) *value {
	v := s.get(key)
	if v == nil || v.kind == want || want == isFloat && v.kind == isInt {
		return v
	}
	s.probs.add(v.line, "write "+key+" = "+example[want], "%s%s is %s, not %s", key, s.where(), v.kind, want)
	return nil
}

var example = map[kind]string{
	isString: `"text in quotes"`, isInt: "a whole number such as 3", isFloat: "a number such as 0.5",
	isBool: "true or false, without quotes", isList: "[ ... ]", isTable: "{ ... }, or a [section]",
}

// str reads a text that may be shown on a screen.
func (s section) str(key string, to *string) bool {
	v := s.typed(key, isString)
	if v == nil {
		return false
	}
	text := strings.TrimSpace(strings.ReplaceAll(v.text, "\n", " ")) // a text over several lines is one text
	if bad := badText(text, longText); bad != "" {
		s.probs.add(v.line, "take it out", "%s%s %s", key, s.where(), bad)
		return false
	}
	*to = text
	return true
}

// float reads a number from low to high.
func (s section) float(key string, low, high float64, to *float64) bool {
	v := s.typed(key, isFloat)
	if v == nil {
		return false
	}
	return s.floatValue(key, v, low, high, to)
}

func (s section) floatValue(key string, v *value, low, high float64, to *float64) bool {
	if v.kind != isFloat && v.kind != isInt {
		s.probs.add(v.line, "write "+example[isFloat], "%s%s is %s, not %s", key, s.where(), v.kind, isFloat)
		return false
	}
	if math.IsNaN(v.num) || v.num < low || v.num > high {
		s.probs.add(v.line, "write a number from "+number(low)+" to "+number(high), "%s%s is %s", key, s.where(), shown(v))
		return false
	}
	*to = v.num
	return true
}

// shown gives a value as written, cut if long.
func shown(v *value) string {
	if len(v.text) > 40 {
		return v.text[:40] + "..."
	}
	return v.text
}

// integer reads a whole number from low to high.
func (s section) integer(key string, low, high int, to *int) bool {
	v := s.typed(key, isInt)
	if v == nil {
		return false
	}
	if v.whole < int64(low) || v.whole > int64(high) {
		s.probs.add(v.line, "write a whole number from "+number(float64(low))+" to "+number(float64(high)),
			"%s%s is %s", key, s.where(), shown(v))
		return false
	}
	*to = int(v.whole)
	return true
}

func (s section) bool(key string, to *bool) {
	if v := s.typed(key, isBool); v != nil {
		*to = v.yes
	}
}

// id reads a kid's id: text, or a whole number as written.
func (s section) id(key string, v *value) (string, bool) {
	if v.kind != isString && v.kind != isInt {
		s.probs.add(v.line, `write it in quotes, such as "7"`, "%s%s is %s, not a kid's id", key, s.where(), v.kind)
		return "", false
	}
	return strings.TrimSpace(v.text), true
}

// words reads a list of texts.
func (s section) words(key string) ([]*value, bool) {
	v := s.typed(key, isList)
	if v == nil {
		return nil, false
	}
	ok := true
	for _, e := range v.list {
		if e.kind != isString {
			s.probs.add(e.line, "write every entry in quotes", "%s%s holds %s", key, s.where(), e.kind)
			ok = false
		}
	}
	return v.list, ok
}

// tables reads a key written as [[key]]: a list of tables.
func (s section) tables(key string) []*value {
	v := s.get(key)
	if v == nil {
		return nil
	}
	if v.kind == isTable {
		s.probs.add(v.line, "write [["+key+"]], with two brackets", "[%s] stands once; there may be several", key)
		return nil
	}
	if v.kind != isList {
		s.probs.add(v.line, "write [["+key+"]] on a line of its own, its keys below", "%s is %s", key, v.kind)
		return nil
	}
	var out []*value
	for _, e := range v.list {
		if e.kind != isTable {
			s.probs.add(e.line, "write [["+key+"]] on a line of its own, its keys below", "%s holds %s", key, e.kind)
			continue
		}
		out = append(out, e)
	}
	return out
}
