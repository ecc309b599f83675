package asked_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"sevenyard/cmd/internal/asked"
	"sevenyard/drills"
)

func upper(f asked.Field, value string) string { return strings.ToUpper(string(f)) + "(" + value + ")" }

func TestRender(t *testing.T) {
	for text, want := range map[string]string{
		"":                        "",
		"bring it in with ⟦late⟧": "bring it in with LATE()",
		"⟦late 9@3⟧ and ⟦swap 2:7@4⟧; ⟦undo⟧.": "LATE(9@3) and SWAP(2:7@4); UNDO().",
		"⟦line \"4: F 2\"⟧":                    `LINE("4: F 2")`,
		"⟦nosuch⟧ ⟦⟧ ⟦late":                    "⟦nosuch⟧ ⟦⟧ ⟦late",
		"⟦clear-kid 2 3⟧":                      "CLEAR-KID(2 3)",
	} {
		require.Equal(t, want, asked.Render(text, upper))
	}
	for _, f := range asked.Fields {
		require.Equal(t, upper(f, ""), asked.Render(f.String(), upper))
		require.Equal(t, upper(f, "9@3"), asked.Render(f.With("9@3"), upper))
	}
}

func TestProblem(t *testing.T) {
	require.EqualError(t, asked.Wrong(asked.Late, "it is", ""), "⟦late⟧: it is")
	require.EqualError(t, asked.WrongValue(asked.Swap, "2:7@4", "it is", "mend it"), "⟦swap 2:7@4⟧: it is; mend it")
	p := asked.Problem{Where: asked.Where{At: drills.Place{File: "a.csv", Line: 3}}, What: "it is"}
	require.EqualError(t, &p, "a.csv:3: it is")
	require.EqualError(t, asked.Problems{p, *asked.Wrong(asked.Kid, "b", "c")}, "a.csv:3: it is\n⟦kid⟧: b; c")
}

// commandLine is how a terminal would speak of a flag or a command of the program.
var commandLine = regexp.MustCompile(`--[a-z]|\bsevenyard [a-z]`)

// allowed are literals that say so all the same.
var allowed = []string{
	"%s is there and is no %s that sevenyard wrote; nothing else is ever written over, so choose another name, or take the file away yourself", // the program's name
}

// literals walks the string literals of the rooms that front ends share.
func literals(t *testing.T, see func(where, text string)) {
	t.Helper()
	require.NoError(t, filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				text, err := strconv.Unquote(lit.Value)
				require.NoError(t, err)
				see(set.Position(lit.Pos()).String(), text)
			}
			return true
		})
		return nil
	}))
}

// TestRoomsKnowNoCommandLine: what the rooms say names fields, each of which there is, and neither flags nor commands.
func TestRoomsKnowNoCommandLine(t *testing.T) {
	reference := regexp.MustCompile(`⟦([^⟧ ]*)`)
	seen := 0
	literals(t, func(where, text string) {
		if !slices.Contains(allowed, text) {
			require.NotRegexp(t, commandLine, text, where)
		}
		if strings.Contains(where, "asked/asked.go") {
			return
		}
		for _, m := range reference.FindAllStringSubmatch(text, -1) {
			seen++
			require.Contains(t, asked.Fields, asked.Field(m[1]), where)
		}
	})
	require.Greater(t, seen, 50)
}
