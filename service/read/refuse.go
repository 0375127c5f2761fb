package read

import (
	"errors"
	"strconv"
	"strings"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/service/problem"
	"snugtail/service/say"
)

// quantityPointers is where each quantity of the domain stands in a request.
var quantityPointers = map[joint.Quantity]string{
	joint.QuantityDepthPinBoard:  "/setup/depth",
	joint.QuantityDepthTailBoard: "/setup/depth",
	joint.QuantityProvenDepth:    "/setup/template/depth",
	joint.QuantityTailOpening:    "/setup/template/tail_pass/opening",
	joint.QuantityPinOpening:     "/setup/template/pin_pass/opening",
	joint.QuantityPitch:          "/setup/template/pitch",
	joint.QuantityPinPassPitch:   "/setup/template/pin_pass",
	joint.QuantityPinRoot:        "/setup/cutter/diameter",
	joint.QuantityTailRoot:       "/setup/cutter/diameter",
}

// Refusal turns an error of the domain into a problem. Whatever is not one of
// its typed errors stays as it is and is told as a 500.
func (r *Reader) Refusal(err error) error {
	var cut *belief.CutError
	var session *belief.SessionError
	reasons := impossibles(err)
	if len(reasons) == 0 {
		return err
	}
	inCut, inSession := errors.As(err, &cut), errors.As(err, &session)
	fields := make([]problem.Field, len(reasons))
	for i, reason := range reasons {
		at := quantityPointers[reason.Quantity]
		if r.onePiece {
			at = strings.NewReplacer("/tail_pass", "", "/pin_pass", "").Replace(at)
		}
		if inCut {
			at = "/test_cuts/" + strconv.Itoa(cut.Cut) + "/depth"
		}
		if inSession {
			at = "/setup/record/sessions/" + strconv.Itoa(session.Session) + at
		}
		fields[i] = impossibleField(reason, at)
	}
	return problem.Impossible(fields...).InUnit(r.Unit)
}

// impossibles are all reasons in an error, which may be several joined.
func impossibles(err error) []*joint.Impossible {
	switch e := err.(type) { // the walk looks at each error itself
	case *joint.Impossible:
		return []*joint.Impossible{e}
	case interface{ Unwrap() []error }:
		var all []*joint.Impossible
		for _, one := range e.Unwrap() {
			all = append(all, impossibles(one)...)
		}
		return all
	}
	if inner := errors.Unwrap(err); inner != nil {
		return impossibles(inner)
	}
	return nil
}

func impossibleField(e *joint.Impossible, at string) problem.Field {
	return problem.Field{Pointer: "#" + at, Code: problem.CodeImpossible, Detail: say.Impossible(e)}
}
