package draft

import (
	"math"
	"math/bits"
)

// dice is SplitMix64 (Steele, Lea and Flood 2014): small, quick, and the same on every machine.
type dice uint64

func (d *dice) next() uint64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below is a number from 0 to n-1, even to within n / 2^64.
func (d *dice) below(n int) int {
	hi, _ := bits.Mul64(d.next(), uint64(n))
	return int(hi)
}

// shuffle puts a list into random order.
func shuffle[T any](d *dice, list []T) {
	for i := len(list) - 1; i > 0; i-- {
		j := d.below(i + 1)
		list[i], list[j] = list[j], list[i]
	}
}

// patience are quantiles of the exponential distribution, times 2^16: how much worse a move may be, in units of the temperature, to be
// taken with the probability of Metropolis et al. 1953. Rounded to whole numbers, so that the last digit of a logarithm cannot matter.
var patience = func() (table [1024]int64) {
	for i := range table {
		table[i] = int64(math.Round(-math.Log((float64(i)+0.5)/1024) * 65536))
	}
	return table
}()
