package say

// Bearing is the variant of sentences where a bearing on the cutter's shank runs
// along the template instead of a guide bushing.
const Bearing = "bearing"
