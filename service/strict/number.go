package strict

import (
	"math"
	"strconv"
)

func (p *parser) number() (any, *NotJSON) {
	start := p.at
	if err := p.scanNumber(); err != nil {
		return nil, err
	}
	if p.skimming {
		return nil, nil
	}
	number, err := strconv.ParseFloat(p.text[start:p.at], 64)
	switch { // the form was checked: what is left is a number beyond 1.8e308
	case err == nil:
		return number, nil
	case number < 0:
		p.spoilt(codeBeyond, "number_too_low", "")
		return -math.MaxFloat64, nil
	default:
		p.spoilt(codeBeyond, "number_too_high", "")
		return math.MaxFloat64, nil
	}
}

// scanNumber takes a number of JSON's form: no plus sign, no leading zero, a
// digit on both sides of the point.
func (p *parser) scanNumber() *NotJSON {
	if p.sees('-') {
		p.at++
	}
	first := p.at
	if !p.digits() {
		return p.expected("digit")
	}
	if p.text[first] == '0' && p.at-first > 1 {
		return p.fail(CodeNotJSON, "leading_zero")
	}
	if p.sees('.') {
		p.at++
		if !p.digits() {
			return p.expected("decimal")
		}
	}
	if !p.sees('e') && !p.sees('E') {
		return nil
	}
	p.at++
	if p.sees('+') || p.sees('-') {
		p.at++
	}
	if !p.digits() {
		return p.expected("exponent")
	}
	return nil
}

func (p *parser) digits() bool {
	start := p.at
	for p.at < len(p.text) && isDigit(p.text[p.at]) {
		p.at++
	}
	return p.at > start
}
