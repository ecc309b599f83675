package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
)

// unsealed are the keys that a plan's sum leaves out: itself, and words that are told anew whenever the plan is read.
var unsealed = []string{"sum", "warnings", "cautions"}

// Seal gives the plan of an object that is to be saved the sum by which a change in the file is noticed later. It is no lock:
// whatever is shown of a saved plan is worked out again, and the sum only tells a file that was changed from a team that has.
func (l *Lineup) Seal(whole any) error {
	l.Sum = ""
	data, err := json.Marshal(whole)
	if err != nil {
		return err
	}
	l.Sum, err = SumOf(data)
	return err
}

// SumOf is the CRC-32 of an object without its own sum, warnings and cautions, whatever the order of its keys and its spaces: eight hexadecimal digits.
func SumOf(data []byte) (string, error) {
	object := map[string]any{}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber() // to the digit
	if err := dec.Decode(&object); err != nil {
		return "", err
	}
	for _, key := range unsealed {
		delete(object, key)
	}
	plain, err := json.Marshal(object)
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%08x", crc32.ChecksumIEEE(plain)), nil
}
