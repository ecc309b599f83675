// Package shelf keeps slices that are no longer needed for whoever needs one of the same length.
package shelf

// Of keeps slices for others of the same length. A nil one keeps nothing.
type Of[T any] map[int][][]T

// Take is a slice of zeros.
func (s Of[T]) Take(n int) []T {
	if kept := s[n]; len(kept) > 0 {
		out := kept[len(kept)-1]
		s[n] = kept[:len(kept)-1]
		clear(out)
		return out
	}
	return make([]T, n)
}

// Give puts a slice on the shelf.
func (s Of[T]) Give(x []T) {
	if s != nil {
		s[len(x)] = append(s[len(x)], x)
	}
}
