package cost

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// byName sorts by a name in any case, and names that are one then by their spelling.
func byName(a, b string) int { return cmp.Or(cmp.Compare(bom.Fold(a), bom.Fold(b)), cmp.Compare(a, b)) }

// hasName tells whether a name is among others, without regard to case.
func hasName(list []string, name string) bool {
	return slices.ContainsFunc(list, func(n string) bool { return bom.Fold(n) == bom.Fold(name) })
}

// addNames appends the names that are not among others yet, without regard to case.
func addNames(list, names []string) []string {
	for _, n := range names {
		if !hasName(list, n) {
			list = append(list, n)
		}
	}
	return list
}

// didYouMean asks whether the one of those known was meant that a name is nearest to.
func didYouMean(name string, known []string) string {
	if near, ok := bom.Nearest(name, known); ok {
		return "did you mean " + near
	}
	return ""
}

// suggest names the one of those known that a name is nearest to.
func suggest(word string, known []string) string {
	if near, ok := bom.Nearest(word, known); ok {
		return fmt.Sprintf("there is one for %q", bom.Printable(strings.TrimSpace(near)))
	}
	return ""
}

// unmet warns of a name that meets nothing, with the nearest that would.
func unmet(problems *bom.Problems, at bom.Place, name, what, want string, known []string) {
	problems.Add(bom.Problem{Place: at, Severity: bom.Warning, Found: name, What: what, Want: want, Each: bom.Shown(name), Hint: didYouMean(name, known)})
}

// addNew appends to a short list what is not in it yet.
func addNew[T comparable](list []T, x T) []T {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}
