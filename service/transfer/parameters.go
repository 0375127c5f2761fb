package transfer

import (
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
)

// Parameters are those of a media type, by their names in small letters.
type Parameters map[string]string

// Choices are the parameters that a form takes, and their values.
type Choices []Choice

// Choice is one parameter and its values.
type Choice struct {
	Name   string
	Values []string
}

// Asked returns the parameters that the client asks of a form: those of the range
// that it likes best of those that name it, of equals the first. A value that the
// form does not take is no form of the answer; a parameter that it does not know,
// such as charset, is passed over.
func Asked(c echo.Context, media string, takes Choices) (Parameters, error) {
	asked := Parameters{}
	best := 0.0
	for part := range strings.SplitSeq(strings.Join(c.Request().Header.Values(echo.HeaderAccept), ","), ",") {
		name, params, _ := strings.Cut(part, ";")
		if !strings.EqualFold(strings.TrimSpace(name), media) {
			continue
		}
		if q := weight(params); q > best {
			best, asked = q, parametersOf(params)
		}
	}
	taken := Parameters{}
	for _, choice := range takes {
		value, ok := asked[choice.Name]
		if !ok {
			continue
		}
		if !slices.Contains(choice.Values, value) {
			return nil, problem.NotAcceptable(takes.forms(media))
		}
		taken[choice.Name] = value
	}
	return taken, nil
}

func parametersOf(text string) Parameters {
	all := Parameters{}
	for param := range strings.SplitSeq(text, ";") {
		name, value, _ := strings.Cut(param, "=")
		all[strings.ToLower(strings.TrimSpace(name))] = strings.ToLower(strings.Trim(strings.TrimSpace(value), `"`))
	}
	return all
}

// forms lists what the form may be asked as.
func (all Choices) forms(media string) []string {
	forms := []string{media}
	for _, choice := range all {
		for _, value := range choice.Values {
			forms = append(forms, media+";"+choice.Name+"="+value)
		}
	}
	return forms
}

// With writes the media type with its parameters, in the order of the choices.
func (all Choices) With(media string, asked Parameters) string {
	for _, choice := range all {
		if value, ok := asked[choice.Name]; ok {
			media += "; " + choice.Name + "=" + value
		}
	}
	return media
}
