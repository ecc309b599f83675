package main

import (
	"bufio"
	_ "embed"
	"fmt"
	"strings"
)

// equivalentText lists mutants that no test can kill, because what they do is the same.
//
//go:embed equivalent.txt
var equivalentText string

// key finds a mutant again when lines have moved: file, function, and the changed lines without the space around them.
type key struct{ file, function, diff string }

// readEquivalents reads blocks that an empty line ends: 'FILE FUNCTION' (the function - for none), the lines before with -, those after
// with +, and the reason. Lines that start with # are for people.
func readEquivalents(text string) (map[key]string, error) {
	out := map[key]string{}
	var k key
	var reason []string
	number := 0
	end := func() error {
		if k == (key{}) {
			return nil
		}
		if k.diff == "" || len(reason) == 0 {
			return fmt.Errorf("before line %d: a block needs changed lines and a reason", number)
		}
		out[k] = strings.Join(reason, " ")
		k, reason = key{}, nil
		return nil
	}
	scanner := bufio.NewScanner(strings.NewReader(text + "\n\n"))
	for scanner.Scan() {
		number++
		line := scanner.Text()
		switch {
		case strings.HasPrefix(line, "#"):
		case line == "":
			if err := end(); err != nil {
				return nil, err
			}
		case k.file == "":
			file, function, ok := strings.Cut(line, " ")
			if !ok {
				return nil, fmt.Errorf("line %d: %q is no file and function", number, line)
			}
			k.file, k.function = file, strings.TrimPrefix(function, "-")
		case line[0] == '-' || line[0] == '+':
			k.diff += line + "\n"
		default:
			reason = append(reason, line)
		}
	}
	return out, scanner.Err()
}
