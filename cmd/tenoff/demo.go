package main

import (
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/cost/buy"
	"tenoff/fixtures"
)

// demoDir is where the demo goes unless a folder is named.
const demoDir = "tenoff-demo"

func newDemo() *cobra.Command {
	var force bool
	var date string
	cmd := &cobra.Command{
		Use:   "demo [DIR]",
		Short: "write two demo runs and estimate them",
		Long: `demo writes two invented runs into DIR (` + demoDir + ` by default), each as CSV and
as workbooks, and estimates them: forty frost alarms that an allotment society
gives away, and twenty-five Morse practice kits that a radio club sells at cost.`,
		Args: between(0, 1, "a folder to write into"),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := demoDir
			if len(args) > 0 {
				dir = args[0]
			}
			o := &outputs{force: force}
			for _, d := range fixtures.Demos() {
				if err := addDemo(o, d, filepath.Join(dir, d.Name)); err != nil {
					return err
				}
			}
			if err := o.write(cmd.Context()); err != nil {
				return err
			}
			for i, d := range fixtures.Demos() {
				if i > 0 {
					fmt.Fprintln(cmd.OutOrStdout())
				}
				if err := runDemo(cmd, d, filepath.Join(dir, d.Name), date, force); err != nil {
					return err
				}
			}
			fmt.Fprintf(cmd.OutOrStdout(), "\nhow each is run again: README.txt in its folder\n")
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "overwrites files that are there and were changed")
	cmd.Flags().StringVar(&date, "date", "", dateUsage)
	return cmd
}

// addDemo writes the run as it would have been typed, and as workbooks.
func addDemo(o *outputs, d fixtures.Demo, dir string) error {
	err := fs.WalkDir(d.Files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() {
			o.dirs = append(o.dirs, filepath.Join(dir, filepath.FromSlash(name)))
			return nil
		}
		data, err := fs.ReadFile(d.Files, name)
		if err == nil {
			o.add(filepath.Join(dir, filepath.FromSlash(name)), same(data), writeBytes(data))
		}
		return err
	})
	if err != nil {
		return err
	}
	return addWorkbooks(o, d.Files, dir, d.Title, false, "")
}

// runDemo estimates the run as a user would.
func runDemo(cmd *cobra.Command, d fixtures.Demo, dir, date string, force bool) error {
	batches := bom.Each(d.Batches, func(n *int) string { return strconv.Itoa(*n) })
	j := &job{
		source: source{Source: load.Source{BOM: []string{filepath.Join(dir, d.BOM)}, Prices: filepath.Join(dir, d.Prices)}, batches: strings.Join(batches, ",")},
		name:   d.Unit, ordering: ordering{effort: buy.DefaultEffort},
		level: d.Level, date: date,
		out: filepath.Join(dir, "estimate.xlsx"), force: force,
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s (invented)\n\n", d.Title)
	return j.run(cmd, nil)
}
