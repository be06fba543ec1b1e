// Package rulecost tells what the rules of a run cost: its cash with each rule alone ([Extras]),
// and with each thing that is taken for gone, against the cash without any. What several cost
// together need not be their sum.
package rulecost
