// Package jsonlines tells where in a JSON text a value stands, so that messages about a saved file can name its line.
package jsonlines

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
)

// Decode reads an object from a text, which may begin with a byte order mark. What is wrong with the text comes back in words, with
// its line where it is known, else 0; no words: all is well.
func Decode(data []byte, into any) (line int, wrong string) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	err := json.Unmarshal(data, into)
	var syntax *json.SyntaxError
	var typ *json.UnmarshalTypeError
	switch {
	case err == nil:
		return 0, ""
	case errors.As(err, &syntax):
		return At(data, syntax.Offset), "this is not whole JSON: " + syntax.Error()
	case errors.As(err, &typ):
		return At(data, typ.Offset), fmt.Sprintf("%q is a %s, which does not belong there", typ.Field, typ.Value)
	}
	return 0, err.Error()
}

// At is the line of a byte, from 1.
func At(data []byte, offset int64) int {
	return 1 + bytes.Count(data[:max(0, min(offset, int64(len(data))))], []byte("\n"))
}

// Places gives the line of every value of an object by its place, such as .series.2.slots.0.kid; text that is no JSON ends it.
func Places(data []byte) map[string]int {
	out := map[string]int{}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	dec := json.NewDecoder(bytes.NewReader(data))
	at, line := int64(0), 1
	var walk func(path string) bool
	walk = func(path string) bool {
		token, err := dec.Token()
		if err != nil {
			return false
		}
		end := dec.InputOffset()
		line += bytes.Count(data[at:end], []byte("\n"))
		at = end
		out[path] = line
		switch token {
		case json.Delim('['):
			for i := 0; dec.More(); i++ {
				if !walk(fmt.Sprintf("%s.%d", path, i)) {
					return false
				}
			}
		case json.Delim('{'):
			for dec.More() {
				key, err := dec.Token()
				if name, ok := key.(string); err != nil || !ok || !walk(path+"."+name) {
					return false
				}
			}
		default:
			return true
		}
		_, err = dec.Token()
		return err == nil
	}
	walk("")
	return out
}
