package drills

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

type kind string

const (
	isString kind = "text"
	isInt    kind = "a whole number"
	isFloat  kind = "a number"
	isBool   kind = "true or false"
	isList   kind = "a list"
	isTable  kind = "a table"
	isDate   kind = "a date"
)

// value is a TOML value that knows its line.
type value struct {
	kind  kind
	line  int
	text  string
	num   float64
	whole int64
	yes   bool
	list  []*value
	keys  []entry
}

// entry is a key of a table, in the order of the file.
type entry struct {
	key  string
	line int
	val  *value
}

// add appends a key to a table; our files need no more than a few dozen in one.
func (v *value) add(key string, line int, val *value) error {
	const most = 2000
	if len(v.keys) == most {
		return fmt.Errorf("more than %d keys in one table", most)
	}
	v.keys = append(v.keys, entry{key, line, val})
	return nil
}

func (v *value) get(key string) *value {
	for i := range v.keys {
		if v.keys[i].key == key {
			return v.keys[i].val
		}
	}
	return nil
}

var (
	decimalComma = regexp.MustCompile(`=\s*([+-]?\d+),(\d+)\s*(#.*)?$`)
	bareText     = regexp.MustCompile(`=\s*([A-Za-z0-9][^"'\[{#]*?)\s*(#.*)?$`)
)

// slip names the likeliest slip of a line that cannot be read, and ends so that more can follow; "" if none is likely.
func slip(data []byte, line int) string {
	lines := strings.Split(string(data), "\n")
	if line < 1 || line > len(lines) {
		return ""
	}
	text := lines[line-1]
	if m := decimalComma.FindStringSubmatch(text); m != nil {
		return "write the number with a point, " + m[1] + "." + m[2] + "; "
	}
	if m := bareText.FindStringSubmatch(text); m != nil && len(m[1]) <= longName {
		if _, number := parseNumber(m[1]); !number && m[1] != "true" && m[1] != "false" {
			return "write text in quotes, " + strconv.Quote(m[1]) + "; "
		}
	}
	return ""
}

// parseTOML reads a document into values with lines. A document that is no TOML has one problem,
// at the place where the parser gave up.
func parseTOML(data []byte, probs *collector) *value {
	var discard map[string]any
	if err := toml.Unmarshal(data, &discard); err != nil {
		line, what := 0, err.Error()
		var de *toml.DecodeError
		if errors.As(err, &de) {
			line, _ = de.Position()
		}
		probs.add(line, slip(data, line)+"mend this line first; the lines after it were not read",
			"not readable as TOML: %s", strings.TrimPrefix(what, "toml: "))
		return nil
	}
	b := treeBuilder{root: &value{kind: isTable, line: 1}}
	for i := bytes.IndexByte(data, '\n'); i >= 0; {
		b.breaks = append(b.breaks, i)
		next := bytes.IndexByte(data[i+1:], '\n')
		if next < 0 {
			break
		}
		i += 1 + next
	}
	b.parser.Reset(data)
	table := b.root
	for b.parser.NextExpression() {
		e := b.parser.Expression()
		var err error
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			table, err = b.openTable(e)
		case unstable.KeyValue:
			err = b.keyValue(table, e, 0)
		}
		if err != nil {
			probs.add(b.line(e.Key()), "mend this line first", "not readable as TOML: %s", err)
			return nil
		}
	}
	if err := b.parser.Error(); err != nil {
		probs.add(0, "mend the file first", "not readable as TOML: %s", err)
		return nil
	}
	return b.root
}

type treeBuilder struct {
	parser unstable.Parser
	breaks []int
	root   *value
}

func (b *treeBuilder) lineAt(offset uint32) int {
	return 1 + sort.SearchInts(b.breaks, int(offset))
}

func (b *treeBuilder) line(keys unstable.Iterator) int {
	if keys.Next() {
		return b.lineAt(keys.Node().Raw.Offset)
	}
	return 0
}

// openTable goes to the table that a [header] or [[header]] names and makes it if need be.
func (b *treeBuilder) openTable(e *unstable.Node) (*value, error) {
	at := b.root
	for it := e.Key(); it.Next(); {
		key, line := string(it.Node().Data), b.lineAt(it.Node().Raw.Offset)
		next := at.get(key)
		if next == nil {
			next = &value{kind: isTable, line: line}
			if it.IsLast() && e.Kind == unstable.ArrayTable {
				next = &value{kind: isList, line: line}
			}
			if err := at.add(key, line, next); err != nil {
				return nil, err
			}
		}
		if next.kind == isList {
			if it.IsLast() && e.Kind == unstable.ArrayTable {
				next.list = append(next.list, &value{kind: isTable, line: line})
			}
			if len(next.list) == 0 {
				return nil, fmt.Errorf("%s is a list without tables", quote(key))
			}
			next = next.list[len(next.list)-1]
		}
		if next.kind != isTable {
			return nil, fmt.Errorf("%s is no table", quote(key))
		}
		at = next
	}
	return at, nil
}

// deepest bounds the nesting of values: our files need three levels.
const deepest = 50

func (b *treeBuilder) keyValue(table *value, e *unstable.Node, depth int) error {
	for it := e.Key(); it.Next(); {
		key, line := string(it.Node().Data), b.lineAt(it.Node().Raw.Offset)
		if it.IsLast() {
			v, err := b.value(e.Value(), line, depth)
			if err == nil {
				err = table.add(key, line, v)
			}
			return err
		}
		next := table.get(key)
		if next == nil {
			next = &value{kind: isTable, line: line}
			if err := table.add(key, line, next); err != nil {
				return err
			}
		}
		if next.kind != isTable {
			return fmt.Errorf("%s is no table", quote(key))
		}
		table = next
	}
	return nil
}

func (b *treeBuilder) value(n *unstable.Node, line, depth int) (*value, error) {
	if n.Raw.Length > 0 {
		line = b.lineAt(n.Raw.Offset)
	}
	v := &value{line: line, text: string(n.Data)}
	if depth > deepest {
		return v, errors.New("values are nested too deep")
	}
	var err error
	switch n.Kind {
	case unstable.String:
		v.kind = isString
	case unstable.Bool:
		v.kind, v.yes = isBool, v.text == "true"
	case unstable.Integer:
		v.kind = isInt
		v.whole, err = strconv.ParseInt(strings.ReplaceAll(v.text, "_", ""), 0, 64)
		if err != nil { // decimal digits with a sign; base 0 would take a leading 0 as octal
			v.whole, err = strconv.ParseInt(strings.ReplaceAll(v.text, "_", ""), 10, 64)
		}
		v.num = float64(v.whole)
	case unstable.Float:
		v.kind = isFloat
		v.num, err = strconv.ParseFloat(strings.ReplaceAll(v.text, "_", ""), 64)
		if math.IsInf(v.num, 0) { // too large a number is read as infinite, and refused as such
			err = nil
		}
	case unstable.Array:
		v.kind = isList
		for it := n.Children(); it.Next(); {
			var element *value
			if element, err = b.value(it.Node(), line, depth+1); err != nil {
				return v, err
			}
			v.list = append(v.list, element)
		}
		if depth > 0 && len(v.list) > 0 { // the parser keeps no place for the bracket itself
			v.line = v.list[0].line
		}
	case unstable.InlineTable:
		v.kind = isTable
		for it := n.Children(); it.Next(); {
			if err = b.keyValue(v, it.Node(), depth+1); err != nil {
				return v, err
			}
		}
	default:
		v.kind = isDate
	}
	return v, err
}
