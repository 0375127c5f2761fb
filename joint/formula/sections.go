package formula

// Sections of the model's page (joint/model.md).
const (
	SectionWidths   = 3 // and what the cutter sweeps
	SectionFit      = 4
	SectionSeat     = 5
	SectionJoint    = 6 // is there a joint at all
	SectionLimits   = 7
	SectionSure     = 8
	SectionLearning = 9
	SectionWood     = 10
	SectionHold     = 11
	SectionSetting  = 12
	SectionRun      = 13
	SectionVary     = 14
	SectionLayout   = 15
	SectionParts    = 16
)
