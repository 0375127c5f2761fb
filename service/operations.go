package service

import (
	"context"
	"encoding/json"
	"net/http"

	"github.com/labstack/echo/v4"

	"snugtail/api"
)

// operation is one row of the table: a method and a path of the contract, and
// what answers it.
type operation struct {
	method, path string
	handler      func(s *Service, request *shape) echo.HandlerFunc
	// outside says why the contract does not list this route; empty where it does.
	outside string
}

// operations is the one table of what the service answers. Routes are made of
// it, and a test holds it against the contract, both ways.
func (s *Service) operations() []operation {
	return append(s.platformOperations(),
		post("/v1/cutter-recommendations", recommendCutter, recommendationText, readRecommendation),
		post("/v1/fit-predictions", predictFit, predictionText, readPrediction),
		post("/v1/corrections", correctSetup, correctionText, readCorrection),
		post("/v1/layouts", layOut, layoutText, readLayout),
		get("/v1/cutters", listCutters, cuttersText),
		get("/v1/bushings", listBushings, bushingsText),
	)
}

// platformOperations are those that know nothing of joints.
func (s *Service) platformOperations() []operation {
	return []operation{
		raw("/openapi.yaml", serveContractYAML),
		raw("/openapi.json", serveContractJSON),
		raw("/docs", serveDocsPage),
		asset("/docs/:asset", serveDocsAsset, "files of the page /docs"),
	}
}

// post is an operation that answers a question Q, held against the contract
// before answer sees it. text makes the readable form of the answer; nil where
// there is none. read, if there is one, only reads the question: with it a
// request that the contract refuses is also told what else is wrong.
func post[Q, A any](path string, answer func(context.Context, *Q) (*A, error), text func(*A) string, read ...func(*reader, *Q)) operation {
	return operation{method: http.MethodPost, path: path, handler: func(s *Service, request *shape) echo.HandlerFunc {
		return func(c echo.Context) error {
			media, err := negotiate(c, text != nil)
			if err != nil {
				return err
			}
			question := new(Q)
			if err := s.decode(c, request, question, alsoWrong(read)); err != nil {
				return err
			}
			return answerWith(s, c, media, text, func(ctx context.Context) (*A, error) {
				return answer(ctx, question)
			})
		}
	}}
}

// alsoWrong finds the bad fields that the contract cannot see, such as a text
// that is no length, in what is left of a refused request.
func alsoWrong[Q any](read []func(*reader, *Q)) func(body []byte) []api.FieldError {
	if len(read) == 0 {
		return func([]byte) []api.FieldError { return nil }
	}
	return func(body []byte) []api.FieldError {
		question := new(Q)
		if json.Unmarshal(body, question) != nil {
			return nil
		}
		r := newReader(unitsOf(body))
		read[0](r, question)
		return r.bad
	}
}

// unitsOf looks up the unit that all of a request is read in.
func unitsOf(body []byte) api.Units {
	var request struct {
		Units api.Units `json:"units"`
	}
	_ = json.Unmarshal(body, &request) // the body was read before
	return request.Units
}

// get is an operation that needs no question.
func get[A any](path string, answer func(context.Context) (*A, error), text func(*A) string) operation {
	return operation{method: http.MethodGet, path: path, handler: func(s *Service, _ *shape) echo.HandlerFunc {
		return func(c echo.Context) error {
			media, err := negotiate(c, text != nil)
			if err != nil {
				return err
			}
			return answerWith(s, c, media, text, answer)
		}
	}}
}

// answerWith computes within the deadline and writes.
func answerWith[A any](s *Service, c echo.Context, media string, text func(*A) string, answer func(context.Context) (*A, error)) error {
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.config.AnswerWithin)
	defer cancel()
	a, err := answer(ctx)
	if err != nil {
		return err
	}
	if media == mediaText {
		return writeText(c, text(a))
	}
	return s.writeJSON(c, http.StatusOK, mediaJSON, a)
}

// raw is an operation that writes its answer itself.
func raw(path string, handler func(*Service, echo.Context) error) operation {
	return operation{method: http.MethodGet, path: path, handler: func(s *Service, _ *shape) echo.HandlerFunc {
		return func(c echo.Context) error { return handler(s, c) }
	}}
}

// asset is a raw route that the contract leaves out, and why.
func asset(path string, handler func(*Service, echo.Context) error, why string) operation {
	op := raw(path, handler)
	op.outside = why
	return op
}
