package bom

import (
	"fmt"
	"iter"
	"reflect"
	"strings"
)

// Each is what becomes of every item of a list.
func Each[T, U any](list []T, of func(*T) U) []U {
	out := make([]U, len(list))
	for i := range list {
		out[i] = of(&list[i])
	}
	return out
}

// Refs goes through the items of a list by their addresses.
func Refs[T any](list []T) iter.Seq2[int, *T] {
	return func(yield func(int, *T) bool) {
		for i := range list {
			if !yield(i, &list[i]) {
				return
			}
		}
	}
}

// First gives the first item of a list that is so, nil where none is.
func First[T any](list []T, is func(*T) bool) *T {
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// TrueFirst compares so that what is so stands before what is not.
func TrueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// OrDefaults puts the defaults in the fields of a struct that are zero.
func OrDefaults[T any](have, defaults T) T {
	fields, d := reflect.ValueOf(&have).Elem(), reflect.ValueOf(defaults)
	for i := range fields.NumField() {
		if fields.Field(i).IsZero() {
			fields.Field(i).Set(d.Field(i))
		}
	}
	return have
}

// Some names the first so many of a list, with commas between, and how many more there are.
func Some(names []string, most int) string { return firstOf(names[:min(len(names), most)], len(names)) }

// firstOf does the same for the first of so many.
func firstOf(names []string, all int) string {
	if n := all - len(names); n > 0 {
		names = append(names[:len(names):len(names)], fmt.Sprintf("%d more", n))
	}
	return strings.Join(names, ", ")
}
