package cost

import (
	"cmp"

	"tenoff/bom"
)

// byName sorts by a name in any case, and names that are one then by their spelling.
func byName(a, b string) int { return cmp.Or(cmp.Compare(bom.Fold(a), bom.Fold(b)), cmp.Compare(a, b)) }

const secondsPerHour = 3600
