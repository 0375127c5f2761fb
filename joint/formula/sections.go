package formula

// Sections of the model's page (joint/model.md).
const (
	SectionWidths   = 3 // and what the cutter sweeps
	SectionFit      = 4
	SectionSeat     = 5
	SectionMoves    = 6 // what else moves the fit
	SectionLimits   = 7
	SectionSure     = 8
	SectionLearning = 9
	SectionWrong    = 10
	SectionWood     = 11
	SectionLayout   = 12
	SectionParts    = 12
	SectionJoint    = 13 // is there a joint at all
	SectionHold     = 14
	SectionSetting  = 15
	SectionRun      = 16
	SectionVary     = 17
)
