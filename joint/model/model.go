// Package model gathers the records of all formulas in the order of the model's
// page, joint/model.md. Its test writes the page's tables from them, and says
// which exported function has no record.
package model

import (
	"slices"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/formula"
	"snugtail/joint/hold"
	"snugtail/joint/layout"
	"snugtail/joint/parts"
	"snugtail/joint/recommend"
	"snugtail/joint/run"
	"snugtail/joint/seasons"
	"snugtail/joint/setting"
	"snugtail/joint/wood"
)

// Formulas returns all records. Those of one section follow each other only
// within their package.
func Formulas() []*formula.Record {
	return slices.Concat(
		joint.Formulas(), belief.Formulas(), wood.Formulas(), seasons.Formulas(), hold.Formulas(), recommend.Formulas(),
		setting.Formulas(), run.Formulas(), layout.Formulas(), parts.Formulas(),
	)
}

// Procedures returns what has no closed form.
func Procedures() []*formula.Procedure {
	return slices.Concat(joint.Procedures(), belief.Procedures(), seasons.Procedures(), setting.Procedures())
}
