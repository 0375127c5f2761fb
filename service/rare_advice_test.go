package service

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/service/codes"
)

// Sentences on advice that requests seldom lead to: each row asks for one, and
// says by which of its words it is known in the answer, a JSON.
func TestRareAdvice(t *testing.T) {
	c := newCaller(t)
	for _, row := range slices.Concat(rareChecks(), rareCuts(), rareSetups(), rareDrawers(), rarePairs()) {
		t.Run(row.key, func(t *testing.T) {
			status, raw := c.post(t, row.path, row.body)
			require.Equal(t, http.StatusOK, status, "%s", raw)
			assert.Contains(t, string(raw), row.says)
			assertPlain(t, c, row.path, row.body)
		})
	}
}

// rareSaying is a sentence's key, what is asked where, and words of the sentence.
type rareSaying struct{ key, path, body, says string }

// seenOf is a call about test joints of one usual set-up, cut 10.9 mm deep.
func seenOf(cuts, more string) string {
	return diagnosisBody("7/16 in", "1/2 in", "10.9 mm", cuts, more)
}

// seenWithSides is the same where the sides' thickness is known.
func seenWithSides(cuts string) string {
	return strings.Replace(seenOf(cuts, ""), `"pin_board"`, `"tail_board":{"thickness":12},"pin_board"`, 1)
}

// rareChecks are checks that others outdo: they are asked for where no other can
// be made, of a joint that closes at one end and ends inside.
func rareChecks() []rareSaying {
	only := func(check string) string {
		var others []string
		for _, other := range codes.Checks {
			if other != check {
				others = append(others, other)
			}
		}
		raw, _ := json.Marshal(others) // of texts can't fail
		return seenOf(`"feel":"closes_one_end","seat":0.4`, `,"minutes":{"test_joint":60},"unavailable":`+string(raw))
	}
	rows := []rareSaying{
		{"check_short.moisture_meter", diagnosisPath, strings.Replace(only("moisture_meter"), `"seat":0.4`, `"pulled_gap":0.5`, 1), "Read both boards' moisture, before more wood is cut"},
		{"check_post.measure_template", diagnosisPath, only("measure_template"), "Post the opening with its tolerance in setup.template."},
	}
	for check, asked := range map[string]string{
		"ask_cut_weeks_ago":    "Ask when the boards were cut",
		"ask_one_setting":      "Ask whether both boards were cut at one setting",
		"ask_second_pass":      "Ask whether a second pass was made",
		"ask_tear_out":         "Ask for fuzz or tear-out",
		"measure_boards":       "Measure how thick the boards are",
		"measure_cutter_angle": "Measure the cutter's angle",
		"measure_template":     "Measure the template's openings",
		"rock_template":        "Try whether the template rocks",
		"scrap_slot":           "Cut a slot in scrap",
		"straightedge":         "Lay a straight-edge on the boards",
	} {
		rows = append(rows, rareSaying{"check_short." + check, diagnosisPath, only(check), asked + ", before more wood is cut"})
	}
	return rows
}

// rareCuts are sentences on what was seen of test joints.
func rareCuts() []rareSaying {
	const fits = `"depth":10.9,"feel":"hand_pressure","pulled_gap":0.3,"seat":0,`
	edges := seenOf(fits+`"edge_step":0.6`, "")
	depths := seenOf(fits+`"shoulder_gap":0.3,"measured":{"depth_pin_board":10.9,"depth_tail_board":11.2}`, "")
	half := seenOf(fits+`"edge_step":11`, "")
	gaps := seenOf(fourCorners("pulled_gap", "BL", "BR"), "")
	seats, steps := seenOf(fourCorners("seat", "FL", "BR"), ""), seenOf(fourCorners("edge_step", "FL", "BL"), "")
	return []rareSaying{
		{"heard_feel.tight", diagnosisPath, seenOf(`"feel":"tight"`, ""), "test joint 1, is tight."},
		{"joint_now_by_hand.too_tight", correctionPath, seenOf(`"depth":13.6,"feel":"rattles"},{"depth":13.6,"feel":"hard_blows"`, ""), "By the hand it is too tight now; all else says play of about "},
		{"joint_now_by_hand.too_loose", correctionPath, seenOf(`"depth":9.6,"feel":"will_not_start"},{"depth":9.6,"feel":"rattles"`, ""), "By the hand it is too loose now; all else says play of about "},
		{"joint_now.edges_off", correctionPath, edges, "Tightness is right, the edges are out of line."},
		{"decided_by.edges_off", correctionPath, edges, "Tightness is right; the edges are what is off."},
		{"joint_now.depths_unequal", correctionPath, depths, "Tightness is right, but the boards were cut to different depths."},
		{"decided_by.depths_unequal", correctionPath, depths, "Tightness is right; the boards were cut to different depths."},
		{"step.stop_and_fix.half_pitch", correctionPath, half, "The edges are off by about half a pitch: a board was at the wrong stop or turned round."},
		{"step_then.half_pitch", correctionPath, half, "Cut again with face and edge as marked."},
		{"step_why.half_pitch", correctionPath, half, "Edges out of line come from the stop, not from the fit."},
		{"corners_differ.stops", correctionPath, seats, "between the corners cut at one stop and those at the other. It points to a stop"},
		{"corners_differ_of.seat", correctionPath, seats, "The seat differs by 0.8 mm +/- 0.12 mm"},
		{"corners_differ.left_and_right", correctionPath, steps, "between left and right corners. It points to the side"},
		{"corners_differ_of.edge_step", correctionPath, steps, "The edge step differs by 0.8 mm +/- 0.15 mm"},
		{"corners_differ.fronts_and_backs", correctionPath, gaps, "between front and back corners. It points to another board or another set-up at the back"},
		{"corners_differ_of.pulled_gap", correctionPath, gaps, "The pulled gap differs by 0.8 mm +/- "},
		{"evidence.went_in", diagnosisPath, seenOf(`"feel":"sticks_part_way","went_in":3,"measured":{"tail_widest":13.9,"tail_socket_widest":14.4}`, ""), "how far test joint 1 went in"},
		{"cause_size.thickness.thinner", diagnosisPath, seenWithSides(`"pulled_gap":0.3,"seat":0.5`), "It would be about 4 mm thinner."},
		{"step.level_boards.too_low", diagnosisPath, seenOf(`"feel":"hand_pressure","seat":0,"shoulder_gap":0,"measured":{"depth_pin_board":10.9,"depth_tail_board":10.4}`, ""), "too low, which leaves a hidden gap at the socket's floor."},
		{"decided_by.against_feel", diagnosisPath, seenOf(`"feel":"hard_blows","depth":10.1,"pulled_gap":1.0`, ""), "What was read contradicts what the hand felt: look again before wood is cut."},
		{"unexplained.taken_together", diagnosisPath, seenOf(`"along":[`+scatteredSeats()+`]`, ""), "No single cause fits all the readings."},
	}
}

// Boards are said to fit only where the joint does, by all that was seen of it.
func TestNothingToSave(t *testing.T) {
	c := newCaller(t)
	for cut, fits := range map[string]bool{
		`"pulled_gap":0.44`:                                             true,
		`"feel":"rattles","pulled_gap":0.05`:                            false, // by the hand it is too loose
		`"feel":"hand_pressure","edge_step":11`:                         false,
		`"feel":"hand_pressure","shoulder_gap":0.57`:                    false,
		`"feel":"hand_pressure","seat":0.5`:                             false,
		`"feel":"closes_one_end","pulled_gap":0.44`:                     false,
		`"measured":{"depth_pin_board":11.23,"depth_tail_board":11.23}`: false, // too deep, and so too tight
	} {
		saved := slices.ContainsFunc(corrected(t, c, seenOf(`"depth":10.9,`+cut, "")).Salvage, func(s api.Salvage) bool { return s.Code == "none_needed" })
		assert.Equal(t, fits, saved, cut)
	}
}

// fourCorners are a drawer's joints, two of which are off by 0.8 mm more.
func fourCorners(seen string, off ...string) string {
	var cuts []string
	for _, corner := range []string{"FL", "FR", "BL", "BR"} {
		read := 0.1
		if slices.Contains(off, corner) {
			read = 0.9
		}
		cuts = append(cuts, fmt.Sprintf(`"depth":10.9,"feel":"hand_pressure","corner":%q,%q:%g`, corner, seen, read))
	}
	return strings.Join(cuts, "},{")
}

// scatteredSeats are 14 seats along a joint that jump between two values, none of
// which alone is far off.
func scatteredSeats() string {
	var places []string
	for i, inside := range []bool{true, false, false, true, true, false, false, true, true, false, true, false, false, true} {
		seat := -0.17
		if inside {
			seat = 0.37
		}
		places = append(places, fmt.Sprintf(`{"position":%d,"seat":%g}`, 5+10*i, seat))
	}
	return strings.Join(places, ",")
}

// rareSetups are sentences on guides, cutters and wood.
func rareSetups() []rareSaying {
	const noBearing = `{"setup":{"bushing":{"kind":"bearing"},"depth":17,"pin_board":{"thickness":19}},`
	bearing := func(old, now string) string {
		return strings.Replace(guidedBy(`"kind":"bearing",`, 12.7, 10.9), old, now, 1)
	}
	oak := func(pin, tail int) string {
		const board = `"width":300,"species":"white_oak","moisture":`
		return bearing(`"pin_board":{`, fmt.Sprintf(`"tail_board":{"thickness":12,%s%d},"pin_board":{%s%d,`, board, tail, board, pin))
	}
	varying := rareSetup(strings.Replace(rareTemplate, `}`, `,"opening_reach":14.2,"finger_reach":13.5}`, 1) + `,` + rareTools +
		`,"depth":10.9,"pin_board":{"thickness":"14.2 +/- 0.8 mm"},"tail_board":{"thickness":"22 +/- 2 mm"}`)
	const eight = `"species":"white_oak","width":155,"moisture":8`
	oakAtEight := rareSetup(rareTemplate + `,` + rareTools + `,"depth":10.9,"pin_board":{"thickness":18.6,` + eight + `},"tail_board":{"thickness":12.7,` + eight + `}`)
	proud := rareSetup(`"template":{"kind":"two_position","tail_pass":{"opening":12.3,"finger":9.925,"finger_reach":4.5},"pin_pass":{"opening":12.3,"finger":9.925,"opening_reach":1.4}},` +
		rareTools + `,"depth":9,"pin_board":{"thickness":18.6},"tail_board":{"thickness":9}`)
	wobbles := strings.Replace(diagnosisBody("7/16 in", "1/2 in", "17 mm", `"feel":"hand_pressure"},{"pulled_gap":0.74,"measured":{"depth_pin_board":11.11,"depth_tail_board":11.47}},{"seat":0.48`,
		`,"findings":{"cutter_changed":true,"bushing_wobbles":true}`), `"bushing":{`, `"bushing":{"kind":"bearing",`, 1)
	return []rareSaying{
		{"measured_first.bushing_diameter", predictPath, strings.Replace(rareDepth("10.9"), `11.11`, `"11.1 +/- 0.3 mm"`, 1), "Measure the guide bushing's (guide bush's) outside diameter with a caliper"},
		{"measured_first.bushing_diameter@bearing", predictPath, bearing(`"7/16 in"`, `"11.1 +/- 0.3 mm"`), "Measure the bearing's outside diameter with a caliper"},
		{
			"part_off.sockets@bearing", correctionPath, strings.TrimSuffix(rareSetup(rareTemplate+`,`+rareBearing+`,`+rareCutter+`,"depth":10.9`), "}") +
				`,"test_cuts":[{"depth":12.8,"feel":"sticks_part_way","pulled_gap":0.8,"seat":0,"measured":{"pin_socket_widest":12.4}}]}`,
			"sockets do not depend on depth, so cutter, bearing or template are not as stated.",
		},
		{"step.change_bushing.as_meant@bearing", diagnosisPath, noBearing + `"test_cuts":[{"feel":"will_not_start"},{"feel":"hand_pressure"}]}`, "Fit the bearing that the set-up is meant for."},
		{"step.stop_and_fix.centre@bearing", diagnosisPath, wobbles, "see that the bearing sits tight on the shank and runs true; fit a new one if it doesn't."},
		{
			"change.shallower_angle", pairsPath, `{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":12.3},"bushing":{"diameter":"7/16 in"},` +
				`"pin_board":{"thickness":19,"groove_depth":9}},"cutters":[{"diameter":12,"angle":14}]}`, "A 12 mm cutter of at most 13.1 deg cuts deep enough.",
		},
		{
			"choice_others.two_work", pairsPath, `{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":12.3},"bushing":{"diameter":"7/16 in"},` +
				`"pin_board":{"thickness":19}},"cutters":[{"diameter":12.6,"angle":14},{"diameter":12.7,"angle":14},{"diameter":12.8,"angle":14}]}`, "Both other pairs work too.",
		},
		{"caution.boards_vary.lap_and_ridge", predictPath, varying, "mm deep or less with a cutter that fits there. One pass leaves a ridge on sides of 22 mm +/- 2 mm in "},
		{"closing_words.mallet", predictPath, strings.Replace(oakAtEight, `"opening":12.3`, `"opening":12.22`, 1), "closes with a mallet"},
		{"no_joint_limit.tail_enters", predictPath, proud, "the tails stand on the pin board's end and do not go in"},
		{"caution.wood_moves.now", predictPath, oak(8, 6), "once they have settled in a heated home, play at the outermost tails drops to -"},
		{"caution.wood_moves.damp", predictPath, oak(8, 16), "in a heated home's dampest month, play at the outermost tails drops to -"},
	}
}

// rareDrawers are sentences on drawers.
func rareDrawers() []rareSaying {
	return []rareSaying{
		{"drawer_depth.two", partsPath, replaced(`"setup":{`, `"setup":{"depth":{"pin_board":10.9,"tail_board":11},`), "10.9 mm deep in fronts and backs, 11 mm in sides"},
		{
			"drawer_refused.no_half_pins", partsPath, strings.Replace(smallJob(`"id":"d","height_rule":"half_pins_down"`), `88.9`, `20`, 1),
			"20 mm is less than one pitch of 22.23 mm: no height below it ends in half pins.",
		},
		{
			"drawer_cure.width", partsPath, strings.NewReplacer(`"width":903`, `"width":900.05`, `"width":3`, `"width":0.05`).Replace(oakJob(133.5, 3, `"count":1`)),
			"mm wide",
		},
		{"drawer_cure.sides_height", partsPath, smallJob(`"id":"d","sides_height":62`), "Instead: sides 64.4 mm high, sides 58.2 mm high"},
		{"drawer_cure.back_height", partsPath, smallJob(`"id":"d","back_height":62`), "Instead: a back 64.4 mm high, a back 58.2 mm high"},
	}
}

const pairsPath = "/v1/cutter-recommendations"

// rarePairs are sentences on pairs that count as alike, or can't be set.
func rarePairs() []rareSaying {
	of := func(thickness int, cutters string) string {
		return fmt.Sprintf(`{"setup":{%s,%s,"pin_board":{"thickness":%d}},"cutters":[%s]}`, rareTemplate, rareBushing, thickness, cutters)
	}
	blocks := strings.Replace(of(16, `{"diameter":12.89,"angle":14}`), `"setup":{`+rareTemplate+`,`+rareBushing,
		`"setup":{"template":{"kind":"one_piece","pitch":22.225,"opening":12.3,"thickness":8},"bushing":{"diameter":11.11,"barrel":5},"router":{"gauge_blocks":[25]}`, 1)
	return []rareSaying{
		{"why_not.no_setting", pairsPath, blocks, "but no depth within the limits can be set with this router."},
		{"tie_breaker.cautions", pairsPath, of(18, `{"diameter":12.51,"angle":15},{"diameter":12.82,"angle":12}`), "fewer cautions"},
		{"tie_breaker.first", pairsPath, of(15, `{"diameter":12.85,"angle":15},{"diameter":12.61,"angle":14}`), "the better chance at once"},
	}
}
