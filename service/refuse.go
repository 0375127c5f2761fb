package service

import (
	"errors"
	"strconv"
	"strings"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/learn"
)

// codeImpossible marks a field of a joint that cannot be cut.
const codeImpossible = "impossible"

// quantityPointers is where each quantity of the domain stands in a request.
var quantityPointers = map[joint.Quantity]string{
	joint.QuantityDepthPinBoard:  "/setup/depth",
	joint.QuantityDepthTailBoard: "/setup/depth",
	joint.QuantityProvenDepth:    "/setup/template/depth",
	joint.QuantityTailOpening:    "/setup/template/tail_pass/opening",
	joint.QuantityPinOpening:     "/setup/template/pin_pass/opening",
	joint.QuantityPinPassPitch:   "/setup/template/pin_pass",
	joint.QuantityPinRoot:        "/setup/cutter/diameter",
	joint.QuantityTailRoot:       "/setup/cutter/diameter",
}

// refusal turns an error of the domain into a problem. Whatever is not one of
// its typed errors stays as it is and is told as a 500.
func (r *reader) refusal(err error) error {
	var cut *learn.CutError
	var session *learn.SessionError
	var wrong *joint.Impossible
	if !errors.As(err, &wrong) {
		return err
	}
	at := quantityPointers[wrong.Quantity]
	if r.onePiece {
		at = strings.NewReplacer("/tail_pass", "", "/pin_pass", "").Replace(at)
	}
	inSession := errors.As(err, &session)
	if errors.As(err, &cut) {
		at = "/test_cuts/" + strconv.Itoa(cut.Cut) + "/depth"
	}
	if inSession {
		at = "/setup/record/sessions/" + strconv.Itoa(session.Session) + at
	}
	return impossible(r.impossibleField(wrong, at))
}

func (r *reader) impossibleField(e *joint.Impossible, at string) api.FieldError {
	return api.FieldError{Pointer: "#" + at, Code: codeImpossible, Detail: r.impossibleText(e)}
}
