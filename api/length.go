package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"
)

// LengthIn is a length as a request writes it: a text with or without unit,
// a bare number, or a length object that an answer gave. It is kept as
// written; only the service knows the request's unit and reads it.
type LengthIn struct {
	Text   string  // set when written as a text
	Number float64 // set when written as a number, or the object's mm
	Form   LengthForm
}

// LengthForm is how a length was written.
type LengthForm uint8

// The three ways of writing a length.
const (
	LengthText LengthForm = iota
	LengthNumber
	LengthObject
)

// MarshalJSON writes the length in the form in which it was read.
func (l LengthIn) MarshalJSON() ([]byte, error) {
	switch l.Form {
	case LengthNumber:
		return json.Marshal(l.Number)
	case LengthObject:
		return json.Marshal(map[string]float64{"mm": l.Number})
	}
	return json.Marshal(l.Text)
}

// UnmarshalJSON reads any of the three forms. null is none of them.
func (l *LengthIn) UnmarshalJSON(data []byte) error {
	data = bytes.TrimSpace(data)
	*l = LengthIn{}
	switch {
	case len(data) > 0 && data[0] == '"':
		l.Form = LengthText
		return l.readText(data)
	case len(data) > 0 && data[0] == '{':
		l.Form = LengthObject
		return l.readObject(data)
	case string(data) == "null":
		return errors.New("reading a length: null is none")
	default:
		l.Form = LengthNumber
		return json.Unmarshal(data, &l.Number)
	}
}

// readText reads what most texts are, without escapes, as it stands; data is
// JSON, as encoding/json promises.
func (l *LengthIn) readText(data []byte) error {
	last := len(data) - 1
	if last == 0 || data[last] != '"' || bytes.IndexByte(data, '\\') >= 0 || !utf8.Valid(data) {
		return json.Unmarshal(data, &l.Text)
	}
	l.Text = string(data[1:last])
	return nil
}

func (l *LengthIn) readObject(data []byte) error {
	var object struct {
		MM *float64 `json:"mm"`
	}
	if err := json.Unmarshal(data, &object); err != nil {
		return fmt.Errorf("reading a length object: %w", err)
	}
	if object.MM == nil {
		return errors.New("reading a length object: mm is missing")
	}
	l.Number = *object.MM
	return nil
}

// MarshalJSON writes the depth in the form in which it was read.
func (d Depth) MarshalJSON() ([]byte, error) {
	if d.Both != nil {
		return json.Marshal(d.Both)
	}
	return json.Marshal(map[string]*LengthIn{"pin_board": d.PinBoard, "tail_board": d.TailBoard})
}

// UnmarshalJSON reads one depth for both boards or an object with one for each.
// A length object also starts with a brace; its mm tells it apart.
func (d *Depth) UnmarshalJSON(data []byte) error {
	data = bytes.TrimSpace(data)
	*d = Depth{}
	if len(data) == 0 || data[0] != '{' {
		d.Both = new(LengthIn)
		return d.Both.UnmarshalJSON(data)
	}
	var object struct {
		MM        *float64  `json:"mm"`
		PinBoard  *LengthIn `json:"pin_board"`
		TailBoard *LengthIn `json:"tail_board"`
	}
	if err := json.Unmarshal(data, &object); err != nil {
		return fmt.Errorf("reading a depth: %w", err)
	}
	one, pin, tail := object.MM != nil, object.PinBoard != nil, object.TailBoard != nil
	switch {
	case one && !pin && !tail:
		d.Both = &LengthIn{Number: *object.MM, Form: LengthObject}
	case !one && pin && tail:
		d.PinBoard, d.TailBoard = object.PinBoard, object.TailBoard
	default:
		return errors.New("reading a depth: give mm, or both pin_board and tail_board")
	}
	return nil
}
