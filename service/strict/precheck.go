package strict

import (
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/getkin/kin-openapi/openapi3"
)

// Precheck is a schema made ready for one question: is this value surely good?
// It answers in a tenth of VisitJSON's time. A no is no verdict, only a reason
// to ask VisitJSON; a yes is one, and a fuzz test holds that VisitJSON then
// says yes too. It knows the keywords that the contract's requests use: no
// value passes where there is any other, for that precheck is nil.
type Precheck struct {
	text, number, boolean, array, object bool // the types that may pass
	whole                                bool // a number must have no fraction

	enum             []string // nil takes every text
	pattern          *regexp.Regexp
	shortest         int
	longest          int
	least, most      float64
	aboveLeast       bool // the least number itself does not pass
	items            *Precheck
	fewest, mostItem int
	members          map[string]*Precheck
	open             bool // members that are not listed may be anything
	required         []string
	unlike           []*openapi3.Schema // objects that may match one of these don't pass

	kind  string // of a oneOf: the member that picks the branch
	kinds map[string]*Precheck
}

// Prechecks has the prechecks made so far: a set-up stands in most operations, a
// length in a hundred places. One that is being made is nil there.
type Prechecks map[*openapi3.Schema]*Precheck

// Make makes a precheck, or nil for a schema that it does not know in full or
// that holds itself.
func (m Prechecks) Make(s *openapi3.Schema) *Precheck {
	made, known := m[s]
	if !known {
		m[s] = nil
		made = m.makeNew(s)
		m[s] = made
	}
	return made
}

func (m Prechecks) makeNew(s *openapi3.Schema) *Precheck {
	if !hasKnownKeywords(s) {
		return nil
	}
	if s.Discriminator != nil {
		return m.makeKinds(s)
	}
	v := &Precheck{
		text: s.Type.Permits(openapi3.TypeString), whole: s.Type.Is(openapi3.TypeInteger),
		number:  s.Type.Permits(openapi3.TypeNumber) || s.Type.Is(openapi3.TypeInteger),
		boolean: s.Type.Permits(openapi3.TypeBoolean), array: s.Type.Permits(openapi3.TypeArray),
		object: s.Type.Permits(openapi3.TypeObject), members: map[string]*Precheck{}, required: s.Required,
	}
	if !v.readPattern(s) || !v.readEnum(s) || !v.readNot(s) {
		return nil
	}
	v.readBounds(s)
	v.open = s.AdditionalProperties.Has != nil && *s.AdditionalProperties.Has
	if s.Items != nil {
		v.items = m.Make(s.Items.Value)
	}
	for name, member := range s.Properties {
		v.members[name] = m.Make(member.Value)
	}
	return v
}

// hasKnownKeywords is true where nothing is left when the keywords that are
// read below, and those that say nothing of the value, are taken away.
func hasKnownKeywords(s *openapi3.Schema) bool {
	rest := *s
	rest.Extensions, rest.Origin, rest.Title, rest.Description = nil, nil, "", ""
	rest.Default, rest.Example, rest.Deprecated, rest.ExternalDocs = nil, nil, false, nil
	rest.Type, rest.Enum, rest.Not, rest.Pattern, rest.MinLength, rest.MaxLength = nil, nil, nil, "", 0, nil
	rest.Min, rest.Max, rest.ExclusiveMin, rest.Items, rest.MinItems, rest.MaxItems = nil, nil, openapi3.ExclusiveBound{}, nil, 0, nil
	rest.Properties, rest.Required, rest.AdditionalProperties = nil, nil, openapi3.AdditionalProperties{}
	if s.Format == "double" {
		rest.Format = ""
	}
	if s.Discriminator != nil {
		rest.OneOf, rest.Discriminator = nil, nil
	}
	if s.Type.Is(openapi3.TypeInteger) && s.Format == "int32" && isWithin32(s) {
		rest.Format = ""
	} else if s.Type != nil && slices.Contains(s.Type.Slice(), openapi3.TypeInteger) {
		return false
	}
	return s.ExclusiveMin.Value == nil && reflect.ValueOf(rest).IsZero()
}

// isWithin32 is true for bounds that leave the format int32 nothing to refuse.
func isWithin32(s *openapi3.Schema) bool {
	return s.Min != nil && *s.Min >= math.MinInt32 && s.Max != nil && *s.Max <= math.MaxInt32
}

// makeKinds is for a oneOf whose branch a discriminator picks.
func (m Prechecks) makeKinds(s *openapi3.Schema) *Precheck {
	v := &Precheck{kind: s.Discriminator.PropertyName, kinds: map[string]*Precheck{}}
	for kind, branch := range s.Discriminator.Mapping {
		for _, each := range s.OneOf {
			if each.Ref != branch.Ref {
				continue
			}
			if v.kinds[kind] != nil {
				return nil // two branches at once match none
			}
			v.kinds[kind] = m.Make(each.Value)
		}
	}
	return v
}

func (v *Precheck) readPattern(s *openapi3.Schema) bool {
	if s.Pattern == "" {
		return true
	}
	if strings.Contains(s.Pattern, `\u`) { // kin-openapi reads these its own way
		return false
	}
	pattern, err := regexp.Compile(s.Pattern)
	if err != nil {
		return false
	}
	v.pattern = pattern
	return true
}

func (v *Precheck) readEnum(s *openapi3.Schema) bool {
	for _, value := range s.Enum {
		text, ok := value.(string)
		if !ok {
			return false
		}
		v.enum = append(v.enum, text)
	}
	if v.enum != nil {
		v.number, v.boolean, v.array, v.object = false, false, false, false
	}
	return true
}

// readNot takes what a length is not: a type, or an object of some form.
func (v *Precheck) readNot(s *openapi3.Schema) bool {
	if s.Not == nil {
		return true
	}
	if len(s.Not.Value.AnyOf) == 0 {
		return false
	}
	for _, branch := range s.Not.Value.AnyOf {
		switch types := branch.Value.Type.Slice(); {
		case slices.Equal(types, []string{openapi3.TypeBoolean}):
			v.boolean = false
		case slices.Equal(types, []string{openapi3.TypeArray}):
			v.array = false
		case slices.Equal(types, []string{openapi3.TypeObject}):
			v.unlike = append(v.unlike, branch.Value)
		default:
			return false
		}
	}
	return true
}

func (v *Precheck) readBounds(s *openapi3.Schema) {
	v.least, v.most, v.aboveLeast = math.Inf(-1), math.Inf(1), s.ExclusiveMin.IsTrue()
	v.shortest, v.longest, v.fewest, v.mostItem = int(s.MinLength), math.MaxInt, int(s.MinItems), math.MaxInt
	if s.Min != nil {
		v.least = *s.Min
	}
	if s.Max != nil {
		v.most = *s.Max
	}
	if s.MaxLength != nil {
		v.longest = int(*s.MaxLength)
	}
	if s.MaxItems != nil {
		v.mostItem = int(*s.MaxItems)
	}
}

// Passes is true for a value that is surely good.
func (v *Precheck) Passes(value any) bool {
	if v == nil {
		return false
	}
	switch value := value.(type) {
	case string:
		return v.text && v.passesText(value)
	case float64:
		return v.number && v.passesNumber(value)
	case bool:
		return v.boolean
	case []any:
		return v.array && v.passesArray(value)
	case map[string]any:
		if v.kinds != nil {
			kind, _ := value[v.kind].(string)
			return v.kinds[kind].Passes(value)
		}
		return v.object && v.passesObject(value)
	default:
		return false
	}
}

func (v *Precheck) passesNumber(number float64) bool {
	return number >= v.least && number <= v.most && !(v.aboveLeast && number == v.least) &&
		!(v.whole && number != math.Trunc(number))
}

func (v *Precheck) passesText(text string) bool {
	length := utf8.RuneCountInString(text)
	return length >= v.shortest && length <= v.longest &&
		(v.enum == nil || slices.Contains(v.enum, text)) &&
		(v.pattern == nil || v.pattern.MatchString(text))
}

func (v *Precheck) passesArray(items []any) bool {
	if len(items) < v.fewest || len(items) > v.mostItem {
		return false
	}
	for _, item := range items {
		if !v.items.Passes(item) {
			return false
		}
	}
	return true
}

func (v *Precheck) passesObject(members map[string]any) bool {
	for name, member := range members {
		if known, listed := v.members[name]; v.open && !listed {
			continue
		} else if !known.Passes(member) {
			return false
		}
	}
	for _, name := range v.required {
		if _, ok := members[name]; !ok {
			return false
		}
	}
	for _, other := range v.unlike {
		if !isUnlike(members, other) {
			return false
		}
	}
	return true
}

// isUnlike is true for an object that surely does not match a schema: it lacks
// a required member, or has one that a closed object does not take.
func isUnlike(members map[string]any, other *openapi3.Schema) bool {
	if uint64(len(members)) < other.MinProps {
		return true
	}
	for _, name := range other.Required {
		if _, ok := members[name]; !ok {
			return true
		}
	}
	closed := other.AdditionalProperties.Has != nil && !*other.AdditionalProperties.Has
	for name := range members {
		if closed && other.Properties[name] == nil {
			return true
		}
	}
	return false
}
