package cost_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/typed"
)

// input is a run typed as CSV texts.
type input typed.Input

func (in input) read(t testing.TB) cost.Run               { t.Helper(); return typed.Input(in).Read(t) }
func (in input) tryRead() (cost.Run, bom.Problems)        { return typed.Input(in).TryRead() }
func (in input) with(texts ...string) input               { return input(typed.Input(in).With(texts...)) }
func demo(t testing.TB, name string) input                { return input(typed.Demo(t, name)) }
func compute(t testing.TB, run cost.Run) *cost.Estimate   { t.Helper(); return typed.Compute(t, run) }
func one(t testing.TB, run cost.Run, size int) cost.Batch { t.Helper(); return typed.One(t, run, size) }
func d(s string) decimal.Decimal                          { return typed.D(s) }
func said(problems bom.Problems) string                   { return typed.Said(problems) }

func equal(t testing.TB, what string, got decimal.Decimal, want string) {
	t.Helper()
	typed.Equal(t, what, got, want)
}

func same(t testing.TB, what string, a, b cost.Amounts) {
	t.Helper()
	typed.Same(t, what, a, b)
}

var (
	lamp   = input(typed.Lamp)
	steady = input(typed.Steady)
	slow   = input(typed.Slow)
)

func spare() input { return input(typed.Spare()) }
