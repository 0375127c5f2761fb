package wood

import (
	"iter"
	"slices"
)

// Inch-pound units. The pound-force is exact by definition (pound 1959,
// standard gravity 1901), and so is what follows from it and the inch.
const (
	NewtonsPerPoundForce         = 0.45359237 * 9.80665
	MegapascalsPerPoundForceInch = NewtonsPerPoundForce / (25.4 * 25.4) // per lbf/in2
)

// Group is the handbook's grouping of the species.
type Group string

// Groups.
const (
	Hardwood Group = "hardwood"
	Softwood Group = "softwood"
	Imported Group = "imported"
)

// Figure is a published number: where it stands, and whether it was read there
// or is from memory. The zero Figure was not found.
type Figure struct {
	Value         float64
	Unit          string
	Source, Table string
	Memory        bool
	Known         bool
}

// Property is a figure in the unit that the package computes with.
type Property struct {
	Figure
	// Row is the row of Table, where that lists species under names of its own.
	Row string
	// notes say how the number was read, what it stands for, and where sources
	// disagree.
	notes []Note
	// InchPound is the same property as printed in inch-pound units.
	InchPound Figure
}

// Notes are what is to be said of the figure: how it was read, then what it stands
// for and where sources disagree.
func (p *Property) Notes() []Note { return slices.Clone(p.notes) }

// PropertyName is a property's name as a code.
type PropertyName string

// Names of the properties, each with the unit it is held in.
const (
	// Dimensional change coefficients C_R and C_T: strain per 1 % of moisture
	// content, 6 to 14 %, relative to the size at 10 %.
	RadialCoefficient     PropertyName = "radial_coefficient"
	TangentialCoefficient PropertyName = "tangential_coefficient"
	// Shrinkage from green to oven-dry, % of the green size (volume).
	RadialShrinkage     PropertyName = "radial_shrinkage"
	TangentialShrinkage PropertyName = "tangential_shrinkage"
	VolumetricShrinkage PropertyName = "volumetric_shrinkage"
	// Specific gravity: oven-dry weight over volume at 12 %; basic: over
	// green volume. One is not the other.
	SpecificGravity      PropertyName = "specific_gravity"
	BasicSpecificGravity PropertyName = "basic_specific_gravity"
	// Mechanical properties at 12 %: modulus of elasticity in bending, MPa;
	// stress at the proportional limit in compression across the grain, MPa;
	// side hardness, N.
	ModulusOfElasticity      PropertyName = "modulus_of_elasticity"
	CompressionPerpendicular PropertyName = "compression_perpendicular"
	SideHardness             PropertyName = "side_hardness"
	// Elastic ratios E_R/E_L and E_T/E_L.
	RadialRatio     PropertyName = "radial_ratio"
	TangentialRatio PropertyName = "tangential_ratio"
	// Strengths at 12 %, MPa: shear along the grain, tension across it.
	ShearParallel        PropertyName = "shear_parallel"
	TensionPerpendicular PropertyName = "tension_perpendicular"
)

// Wood is a species: an average of clear wood. The zero Wood is a species that
// is not known.
type Wood struct {
	ID        string // plain trade name in snake_case
	Name      string // as the handbook lists it: "Maple, sugar (hard maple)"
	Group     Group
	Botanical Botanical

	RadialCoefficient, TangentialCoefficient                  Property
	RadialShrinkage, TangentialShrinkage, VolumetricShrinkage Property
	SpecificGravity, BasicSpecificGravity                     Property
	ModulusOfElasticity                                       Property
	CompressionPerpendicular                                  Property
	SideHardness                                              Property
	RadialRatio, TangentialRatio                              Property
	ShearParallel, TensionPerpendicular                       Property
}

// Botanical is a botanical name and where it stands.
type Botanical struct {
	Name          string
	Source, Table string // empty where the name is from memory
	Memory        bool
	Note          NoteCode // one that names nothing
}

// definition says what a property is held in and where a Wood keeps it.
type definition struct {
	name      PropertyName
	unit      string
	inchPound string // unit of the inch-pound table, "" if there is none
	of        func(*Wood) *Property
}

// definitions lists the properties in the order in which they are told.
var definitions = [...]definition{
	{RadialCoefficient, "1/%", "", func(w *Wood) *Property { return &w.RadialCoefficient }},
	{TangentialCoefficient, "1/%", "", func(w *Wood) *Property { return &w.TangentialCoefficient }},
	{RadialShrinkage, "%", "", func(w *Wood) *Property { return &w.RadialShrinkage }},
	{TangentialShrinkage, "%", "", func(w *Wood) *Property { return &w.TangentialShrinkage }},
	{VolumetricShrinkage, "%", "", func(w *Wood) *Property { return &w.VolumetricShrinkage }},
	{SpecificGravity, "1", "", func(w *Wood) *Property { return &w.SpecificGravity }},
	{BasicSpecificGravity, "1", "", func(w *Wood) *Property { return &w.BasicSpecificGravity }},
	{ModulusOfElasticity, "MPa", "10^6 lbf/in2", func(w *Wood) *Property { return &w.ModulusOfElasticity }},
	{CompressionPerpendicular, "MPa", "lbf/in2", func(w *Wood) *Property { return &w.CompressionPerpendicular }},
	{SideHardness, "N", "lbf", func(w *Wood) *Property { return &w.SideHardness }},
	{RadialRatio, "1", "", func(w *Wood) *Property { return &w.RadialRatio }},
	{TangentialRatio, "1", "", func(w *Wood) *Property { return &w.TangentialRatio }},
}

// strengths lists the properties that only holding needs. They are told apart
// from the rest.
var strengths = [...]definition{
	{ShearParallel, "MPa", "", func(w *Wood) *Property { return &w.ShearParallel }},
	{TensionPerpendicular, "MPa", "", func(w *Wood) *Property { return &w.TensionPerpendicular }},
}

// Known reports whether w is a species of the table.
func (w *Wood) Known() bool { return w.ID != "" }

// Properties yields the properties that are known, always in the same order, but
// for the strengths.
func (w *Wood) Properties() iter.Seq2[PropertyName, Property] { return w.known(definitions[:]) }

// Strengths yields ShearParallel and TensionPerpendicular where they are known.
func (w *Wood) Strengths() iter.Seq2[PropertyName, Property] { return w.known(strengths[:]) }

func (w *Wood) known(of []definition) iter.Seq2[PropertyName, Property] {
	return func(yield func(PropertyName, Property) bool) {
		for i := range of {
			d := &of[i]
			if p := d.of(w); p.Known && !yield(d.name, *p) {
				return
			}
		}
	}
}

// Species returns all species, sorted by id.
func Species() []Wood { return slices.Clone(species()) }

// ByID returns the species of that id.
func ByID(id string) (Wood, bool) {
	i, found := slices.BinarySearchFunc(species(), id, compareID)
	if !found {
		return Wood{}, false
	}
	return species()[i], true
}
