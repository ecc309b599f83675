package assess

import (
	"encoding/binary"
	"fmt"
	"math"
	"testing"

	"sevenyard/drills"
)

// FuzzAssess scores whatever trials the bytes spell: kid, drill and attempts in a byte each, then a value, either in
// hundredths or as any float at all. No panic, nothing that is not finite.
func FuzzAssess(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{0, 0, 10, 0, 2, 100, 1, 0, 10, 0, 2, 150, 0, 0, 10, 0, 2, 120})
	f.Add([]byte{0, 2, 10, 0, 0, 0, 1, 2, 10, 0, 3, 232, 2, 2, 20, 0, 3, 232})
	f.Add([]byte{0, 3, 0, 1, 127, 240, 0, 0, 0, 0, 0, 0, 1, 3, 0, 0, 1, 44})
	f.Fuzz(func(t *testing.T, data []byte) {
		folder := folderOf(9)
		for len(data) >= 6 && len(folder.Trials) < 200 {
			tr := drills.Trial{Kid: fmt.Sprintf("k%d", 1+data[0]%10), Attempts: int(int8(data[2])), Number: int(data[2] % 4), Timer: string('A' + rune(data[2]%3))}
			tr.Drill = []string{"shuttle", "sprint", "catch", "footwork", "other"}[data[1]%5]
			if data[3]%2 == 1 && len(data) >= 12 {
				tr.Value = math.Float64frombits(binary.BigEndian.Uint64(data[4:12]))
				data = data[12:]
			} else {
				tr.Value = float64(binary.BigEndian.Uint16(data[4:6])) / 100
				data = data[6:]
			}
			folder.Trials = append(folder.Trials, tr)
		}
		sound(t, folder, Assess(folder))
	})
}
