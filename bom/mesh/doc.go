// Package mesh reads the open mesh formats of printed parts: STL, binary and
// ASCII, and 3MF (3MF Consortium, Core Specification 1.4; ISO/IEC 25422) with its
// Production Extension 1.2.
//
//  1. [Open] tells what pieces a file holds.
//  2. [File.Measure] streams one of them and gives volume, area, bounds and whether
//     it is closed, in constant memory for STL.
//  3. [File.Load] gives the same measures and keeps the triangles as a [bom.Solid]
//     that looks outwards, for slicing; [Load] does both for a file of one piece.
//
// The format is told by the content, never by the name. All lengths are mm.
// Pieces of a 3MF file are the items of its build, with their objects in
// whichever model part of the package. Objects of another type than model are not
// of the part, and items marked not to be printed are not wanted: a note names
// them. The package reads geometry alone: colours, materials and thumbnails are
// passed over, settings of the program that wrote a file are named in a note, and
// a 3MF file whose shape rests on an extension, or that says it cannot be
// understood without one that is not known, is refused.
package mesh
