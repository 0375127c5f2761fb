package service

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"

	"snugtail/joint/length"
	"snugtail/service/check"
	"snugtail/service/fields"
	"snugtail/service/gate"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/read"
	"snugtail/service/transfer"
)

// operation is one row of the table: a method and a path of the contract, and
// what answers it.
type operation struct {
	method, path string // as the contract writes it: /v1/species/{id}
	handler      func(s *Service, request *check.Shape) echo.HandlerFunc
	// inBatch answers a body as an item of a batch; nil where it can't be one.
	inBatch func(ctx context.Context, request *check.Shape, body string) (any, error)
	// outside says why the contract does not list this route; empty where it does.
	outside string
}

// route is the operation's path as the router writes it: /v1/species/:id.
func (op operation) route() string {
	return strings.NewReplacer("{", ":", "}", "").Replace(op.path)
}

// post is an operation that answers a question Q, held against the contract
// before answer sees it. text makes the readable form of the answer; nil where
// there is none. reads, if there is one, only reads the question: with it a
// request that the contract refuses is also told what else is wrong.
func post[Q, A any](path string, answer func(context.Context, *Q) (*A, error), text func(*message.Printer, *A) string, reads ...func(*read.Reader, *Q)) operation {
	return postIn(path, answer, text, reads)
}

// postIn is post with further forms of the answer.
func postIn[Q, A any](path string, answer func(context.Context, *Q) (*A, error), text func(*message.Printer, *A) string, reads []func(*read.Reader, *Q), further ...form[Q]) operation {
	inBatch := func(ctx context.Context, request *check.Shape, body string) (any, error) {
		question := new(Q)
		if err := request.Decode(body, question, alsoWrong(reads)); err != nil {
			return nil, err
		}
		if err := admitted(gate.PassIn(ctx), question); err != nil {
			return nil, err
		}
		return answer(ctx, question)
	}
	return operation{method: http.MethodPost, path: path, inBatch: inBatch, handler: func(s *Service, request *check.Shape) echo.HandlerFunc {
		media := mediaOf(text != nil, further)
		return func(c echo.Context) error {
			liked, err := transfer.Negotiate(c, media...)
			if err != nil {
				return err
			}
			question := new(Q)
			if err := s.decode(c, request, question, alsoWrong(reads)); err != nil {
				return err
			}
			if i := slices.IndexFunc(further, func(f form[Q]) bool { return f.media == liked }); i >= 0 {
				return writeForm(s, c, &further[i], question)
			}
			return answerWith(s, c, liked, text, func(ctx context.Context) (*A, error) {
				return answer(ctx, question)
			})
		}
	}}
}

// postForms is an operation that answers only in forms of its own, the first
// of them by default, such as a drawing.
func postForms[Q any](path string, reads func(*read.Reader, *Q), forms ...form[Q]) operation {
	return operation{method: http.MethodPost, path: path, handler: func(s *Service, request *check.Shape) echo.HandlerFunc {
		media := mediaOf(false, forms)[1:]
		return func(c echo.Context) error {
			liked, err := transfer.Negotiate(c, media...)
			if err != nil {
				return err
			}
			question := new(Q)
			if err := s.decode(c, request, question, alsoWrong([]func(*read.Reader, *Q){reads})); err != nil {
				return err
			}
			i := slices.IndexFunc(forms, func(f form[Q]) bool { return f.media == liked })
			return writeForm(s, c, &forms[i], question)
		}
	}}
}

// form is one more form of the answer to a question Q, such as a drawing.
// It is written by write, or by writeAs where it comes in several ways, which
// parameters of the media type choose.
type form[Q any] struct {
	media   string // as Accept names it
	write   func(context.Context, *Q) ([]byte, error)
	takes   transfer.Choices
	writeAs func(context.Context, *Q, transfer.Parameters) ([]byte, error)
}

// mediaOf lists the forms in which an operation answers, the default first.
func mediaOf[Q any](hasText bool, further []form[Q]) []string {
	all := []string{transfer.JSON}
	if hasText {
		all = append(all, transfer.Text)
	}
	for _, f := range further {
		all = append(all, f.media)
	}
	return all
}

// writeForm makes a form within the deadline and writes it.
func writeForm[Q any](s *Service, c echo.Context, f *form[Q], question *Q) error {
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.config.AnswerWithin)
	defer cancel()
	if err := fieldsFit(ctx, f.media); err != nil {
		return err
	}
	asked, err := transfer.Asked(c, f.media, f.takes)
	if err != nil {
		return err
	}
	write := f.writeAs
	if write == nil {
		write = func(ctx context.Context, question *Q, _ transfer.Parameters) ([]byte, error) {
			return f.write(ctx, question)
		}
	}
	body, err := write(ctx, question, asked)
	if ended := ctx.Err(); ended != nil {
		return ended
	}
	if err != nil {
		return err
	}
	media := f.media
	if media == transfer.CSV {
		c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="cut-list.csv"`)
	}
	if strings.HasPrefix(media, "text/") {
		media += "; charset=utf-8"
	}
	return transfer.Write(c, http.StatusOK, f.takes.With(media, asked), body)
}

// alsoWrong finds the bad fields that the contract cannot see, such as a text
// that is no length, in what is left of a refused request.
func alsoWrong[Q any](reads []func(*read.Reader, *Q)) check.More {
	if len(reads) == 0 {
		return nil
	}
	return func(body []byte) ([]problem.Field, length.Unit) {
		question := new(Q)
		if json.Unmarshal(body, question) != nil {
			return nil, length.UnitMillimetre
		}
		r := read.New(read.UnitsOf(body), nil) // nothing is judged
		reads[0](r, question)
		return r.Bad, r.Unit
	}
}

// get is an operation that needs no question; its answer never changes.
func get[A any](path string, answer func(context.Context) (*A, error), text func(*message.Printer, *A) string) operation {
	return getOne(path, func(ctx context.Context, _ string) (*A, error) { return answer(ctx) }, text)
}

// getOne is an operation that needs nothing but the {id} in its path. What it
// answers never changes, so it is computed once and kept as a file.
func getOne[A any](path string, answer func(context.Context, string) (*A, error), text func(*message.Printer, *A) string) operation {
	return operation{method: http.MethodGet, path: path, handler: func(s *Service, _ *check.Shape) echo.HandlerFunc {
		media, kept := mediaOf[any](text != nil, nil), new(sync.Map)
		return func(c echo.Context) error {
			liked, err := transfer.Negotiate(c, media...)
			if err != nil {
				return err
			}
			language := s.language(c.Request().Context())
			key := liked + " " + language.Language + " " + c.Param("id")
			if file, ok := kept.Load(key); ok {
				return file.(*transfer.File).Serve(c)
			}
			a, err := answer(c.Request().Context(), c.Param("id"))
			if err != nil {
				return err
			}
			file, err := fileOf(liked, language, a, text)
			if err != nil {
				return err
			}
			kept.Store(key, file) // there are no more than the ids that are known, in each language
			return file.Serve(c)
		}
	}}
}

// fileOf is an answer that never changes, in one of its forms.
func fileOf[A any](media string, language *message.Catalogue, a *A, text func(*message.Printer, *A) string) (*transfer.File, error) {
	if media == transfer.Text {
		return transfer.NewFile(transfer.Text+"; charset=utf-8", transfer.ForAnHour, transfer.EndLine(text(&message.Printer{Catalogue: language}, a))), nil
	}
	b := new(bytes.Buffer)
	if err := transfer.Encode(b, a); err != nil {
		return nil, err
	}
	return transfer.NewFile(media, transfer.ForAnHour, b.Bytes()), nil
}

// answerWith computes within the deadline and writes.
func answerWith[A any](s *Service, c echo.Context, media string, text func(*message.Printer, *A) string, answer func(context.Context) (*A, error)) error {
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.config.AnswerWithin)
	defer cancel()
	if err := fieldsFit(ctx, media); err != nil {
		return err
	}
	a, err := answer(ctx)
	if ended := ctx.Err(); ended != nil {
		return ended
	}
	if err != nil {
		return err
	}
	s.watch.Tell(a)
	if media == transfer.Text {
		return transfer.WriteText(c, text(&message.Printer{Catalogue: s.language(ctx)}, a))
	}
	return s.buffers.WriteJSON(c, http.StatusOK, transfer.JSON, fields.From(ctx).Of(a))
}

// raw is an operation that writes its answer itself.
func raw(path string, handler echo.HandlerFunc) operation {
	return operation{method: http.MethodGet, path: path, handler: func(*Service, *check.Shape) echo.HandlerFunc { return handler }}
}

// asset is a raw route that the contract leaves out, and why.
func asset(path string, handler echo.HandlerFunc, why string) operation {
	op := raw(path, handler)
	op.outside = why
	return op
}

// decode reads the body, holds it against the contract, and makes question of
// it. also finds what else is wrong with what is left of a body that the
// contract refuses. The place for that, and for what is to be computed, is taken
// once the body is there.
func (s *Service) decode(c echo.Context, request *check.Shape, question any, also check.More) error {
	body, err := s.buffers.ReadBody(c, s.config.BodyLimit)
	if err != nil {
		return err
	}
	pass := gate.PassOf(c)
	if err := pass.Enter(costOfText(body)); err != nil {
		return err
	}
	if err := request.Decode(body, question, also); err != nil {
		return err
	}
	return admitted(pass, question)
}
