// Package stock holds the built-in sets of standard sizes: dovetail cutters
// and guide bushings as they are commonly to be had, in inch and metric.
//
// Sizes are common practice, no source. Cutting length (as long as the cutter
// is wide) and bore (1/16 in or 1.6 mm less than the barrel) are judgement:
// measure the cutter and the bushing at hand.
package stock

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"snugtail/joint"
	"snugtail/joint/length"
)

//go:embed cutters.csv
var cutterTable string

//go:embed bushings.csv
var bushingTable string

// The tables are part of the binary, so a fault in them is a fault of the
// build; a test reads both.
var (
	cutters = sync.OnceValue(func() []joint.Cutter {
		all := mustRead(cutterTable, readCutter)
		slices.SortStableFunc(all, func(a, b joint.Cutter) int {
			return cmp.Or(cmp.Compare(a.Diameter.Length, b.Diameter.Length), cmp.Compare(a.Angle, b.Angle))
		})
		return all
	})
	bushings = sync.OnceValue(func() []joint.Bushing {
		all := mustRead(bushingTable, readBushing)
		slices.SortStableFunc(all, func(a, b joint.Bushing) int {
			return cmp.Compare(a.Diameter.Length, b.Diameter.Length)
		})
		return all
	})
)

// Cutters returns the built-in cutters, narrow ones first.
func Cutters() []joint.Cutter { return slices.Clone(cutters()) }

// Bushings returns the built-in bushings, narrow ones first.
func Bushings() []joint.Bushing { return slices.Clone(bushings()) }

// BushingByID returns a built-in bushing.
func BushingByID(id string) (joint.Bushing, bool) {
	all := bushings()
	i := slices.IndexFunc(all, func(b joint.Bushing) bool { return b.ID == id })
	if i < 0 {
		return joint.Bushing{}, false
	}
	return all[i], true
}

// CutterByID returns a built-in cutter.
func CutterByID(id string) (joint.Cutter, bool) {
	all := cutters()
	i := slices.IndexFunc(all, func(c joint.Cutter) bool { return c.ID == id })
	if i < 0 {
		return joint.Cutter{}, false
	}
	return all[i], true
}

func mustRead[T any](table string, read func([]string) (T, error)) []T {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("reading a built-in table: %v", err))
	}
	all := make([]T, 0, len(rows))
	for _, row := range rows[1:] {
		one, err := read(row)
		if err != nil {
			panic(fmt.Sprintf("reading built-in row %q: %v", row, err))
		}
		all = append(all, one)
	}
	return all
}

func readCutter(row []string) (joint.Cutter, error) {
	angle, err := strconv.ParseFloat(row[2], 64)
	if err != nil {
		return joint.Cutter{}, fmt.Errorf("reading an angle: %w", err)
	}
	sizes, err := parseAll(row[1], row[3], row[4])
	if err != nil {
		return joint.Cutter{}, err
	}
	return joint.Cutter{
		ID: row[0], Diameter: sizes[0], Angle: joint.Angle(angle),
		CuttingLength: sizes[1], Shank: sizes[2],
	}, nil
}

func readBushing(row []string) (joint.Bushing, error) {
	sizes, err := parseAll(row[1], row[2])
	if err != nil {
		return joint.Bushing{}, err
	}
	return joint.Bushing{ID: row[0], Diameter: sizes[0], Bore: sizes[1]}, nil
}

func parseAll(texts ...string) ([]length.Size, error) {
	sizes := make([]length.Size, len(texts))
	for i, text := range texts {
		size, err := length.Parse(text, length.UnitMillimetre)
		if err != nil {
			return nil, fmt.Errorf("reading a size: %w", err)
		}
		sizes[i] = size
	}
	return sizes, nil
}
