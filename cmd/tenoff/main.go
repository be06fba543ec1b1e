// Command tenoff answers what one unit of a small electronic device costs when
// ten, forty or two hundred are made, and what has to be bought, printed, fitted
// and posted to make them.
//
//	tenoff estimate --bom unit.csv --prices prices.xlsx --batch 10,40,100 --out estimate.xlsx
//
// Results go to standard output, complaints to standard error. Exit codes:
// 0 done; 1 the input is wrong; 2 the command line is wrong; 3 done, but
// something has no price.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
