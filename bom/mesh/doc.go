// Package mesh reads the open mesh formats of printed parts: STL, binary and
// ASCII, and 3MF (3MF Consortium, Core Specification 1.3; ISO/IEC 25422).
//
// 1. [Measure] streams a file and gives volume, area, bounds and whether it is
// closed, in constant memory.
// 2. [Load] gives the same measures and keeps the triangles as a [bom.Solid]
// that looks outwards, for slicing.
//
// The format is told by the content, never by the name. All lengths are mm.
// The package reads geometry alone: colours, materials, thumbnails, settings
// and extensions of 3MF are passed over, and a 3MF file that says it cannot be
// understood without an extension is refused.
package mesh
