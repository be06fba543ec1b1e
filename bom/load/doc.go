// Package load reads a whole run from files: the bill of materials of a unit with
// those of its boards and assemblies, the price sheet, and the meshes and toolpaths
// of printed parts.
//
//  1. A [Source] names the files and says how they are read.
//  2. [Source.Run] reads them all. What comes back can be handed to package cost;
//     all that was wrong, assumed or of note is in the problems, each with its place.
//
// Files that a list names must lie in its folder, through links too, unless
// Options.AllowOutside is set.
package load
