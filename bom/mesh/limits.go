package mesh

import (
	"fmt"
	"math"

	"tenoff/bom"
)

// Limits bound what a file may ask for.
type Limits struct {
	Bytes     int64 // size of the file
	Triangles int64 // after components are put in place
	Kept      int64 // triangles that Load keeps, 72 bytes each
	Expanded  int64 // size of a part of a 3MF file after decompression
	Expansion int64 // how many times its packed size such a part may be, where it is over 10 MiB
	Instances int64 // objects put in place in a 3MF file
}

const mebi = 1 << 20

// DefaultLimits hold any printed part: 4 GiB of file, 80 million triangles, of
// which 4 million may be kept in memory.
func DefaultLimits() Limits {
	return Limits{Bytes: 4096 * mebi, Triangles: 80_000_000, Kept: 4_000_000, Expanded: 512 * mebi, Expansion: 20, Instances: 100_000}
}

func (l Limits) filled() Limits { return bom.OrDefaults(l, DefaultLimits()) }

// LimitKeys lists the keys that Set knows, in the order in which they are
// documented.
var LimitKeys = []string{"print-mb", "unzip-mb", "triangles", "instances"}

// Set changes the limit of one key. Raising unzip-mb lifts the bound on the
// expansion; triangles is how many are kept, and measured if it is more than may
// be by default. A key that is not known and a value that is not positive are
// errors.
func (l *Limits) Set(key string, value int64) error {
	if value < 1 || value > math.MaxInt32 {
		return fmt.Errorf("limit %s is %d; a whole number from 1 to %d would be right", key, value, math.MaxInt32)
	}
	switch key {
	case "print-mb":
		l.Bytes = value * mebi
	case "unzip-mb":
		l.Expanded, l.Expansion = value*mebi, math.MaxInt32
	case "triangles":
		l.Kept, l.Triangles = value, max(value, l.Triangles)
	case "instances":
		l.Instances = value
	default:
		return fmt.Errorf("there is no limit %q of a mesh", key)
	}
	return nil
}

// raise words the hint that names the flag behind a limit.
func raise(limit any, key string) string {
	return fmt.Sprintf("at most %v, or --limit %s=… if the file is right", limit, key)
}
