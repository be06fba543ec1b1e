package bom

// Each is what becomes of every item of a list.
func Each[T, U any](list []T, of func(*T) U) []U {
	out := make([]U, len(list))
	for i := range list {
		out[i] = of(&list[i])
	}
	return out
}

// TrueFirst compares so that what is so stands before what is not.
func TrueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}
