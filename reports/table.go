package reports

import (
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// Table is one sheet of a report, free of any layout.
type Table struct {
	Name    string // sheet name, short; FileName makes a file name of it
	Title   string // what the table tells, one line
	Notes   []string
	Lead    int // leading columns that say what a row is about
	Columns []Column
	Rows    []Row
}

// Column is one column of a table. A column that stands once for each batch
// size carries it in Batch; Key is then the same in all of them.
type Column struct {
	Key     string
	Heading string
	Unit    string       // empty where the heading says it, or the figures have none
	Batch   cost.BatchID // empty for none
	Format  Format
	Sum     bool // a batch's total adds its rows up
}

// batchWord opens the heading of a column that belongs to one batch size.
const batchWord = "Batch "

// Label is the heading as one line, as a reader sees it: batch, heading and unit.
func (c Column) Label() string { return c.label(c.Batch.Shown()) }

// label is the heading with the batch written so.
func (c Column) label(batch string) string {
	parts := make([]string, 0, 3)
	switch _, sized := c.Batch.Size(); {
	case sized:
		parts = append(parts, batchWord+batch)
	case c.Batch != "" && c.Heading+c.Unit == "":
		return string(c.Batch)
	case c.Batch != "":
		parts = append(parts, string(c.Batch)+":")
	}
	for _, s := range []string{c.Heading, c.Unit} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, " ")
}

// Role is what a row is in its table.
type Role int

// The roles of rows: Body rows are lines of data, Total rows sum the lines
// above, Figure rows tell something else about the same columns.
const (
	Body Role = iota
	Total
	Figure
)

// Row is one row of a table; it has a value for each column.
type Row struct {
	Key    string // unique in its table where it is not empty
	Role   Role
	Values []Value
}

// Only is the table with some of its columns, in the order in which they are named.
func (t Table) Only(keys ...string) Table {
	out := t
	out.Columns, out.Rows, out.Lead = nil, nil, 0
	var at []int
	for _, key := range keys {
		for i, c := range t.Columns {
			if c.Key == key {
				at = append(at, i)
				out.column(c)
				if i < t.Lead {
					out.Lead = len(at)
				}
			}
		}
	}
	for _, r := range t.Rows {
		out.addRow(Row{Key: r.Key, Role: r.Role, Values: bom.Each(at, func(i *int) Value { return r.Values[*i] })})
	}
	return out
}

// columns are columns that differ in their names alone, each "key: Heading"; where the
// heading is the key with a capital letter, "key".
func columns(like Column, names ...string) []Column {
	return bom.Each(names, func(name *string) Column {
		key, heading, own := strings.Cut(*name, ": ")
		if !own {
			heading = strings.ToUpper(key[:1]) + key[1:]
		}
		like.Key, like.Heading = key, heading
		return like
	})
}

// plain are columns of text.
func plain(names ...string) []Column { return columns(Column{}, names...) }

// FileName is the table's name as a file name without an ending: "to buy"
// gives "to-buy".
func (t *Table) FileName() string {
	return strings.ReplaceAll(strings.ToLower(t.Name), " ", "-")
}

// Find gives the first row with the key, or nil.
func (t *Table) Find(key string) *Row {
	return bom.First(t.Rows, func(r *Row) bool { return r.Key == key })
}

// Body counts the rows of data, which stand before all others.
func (t *Table) Body() int {
	for i, r := range t.Rows {
		if r.Role != Body {
			return i
		}
	}
	return len(t.Rows)
}

func (t *Table) addAs(key string, values ...Value) { t.addRow(Row{Key: key, Values: values}) }

func (t *Table) add(values ...Value)  { t.Rows = append(t.Rows, Row{Values: values}) }
func (t *Table) addRow(r Row)         { t.Rows = append(t.Rows, r) }
func (t *Table) column(cs ...Column)  { t.Columns = append(t.Columns, cs...) }
func (t *Table) note(notes ...string) { t.Notes = append(t.Notes, notes...) }
