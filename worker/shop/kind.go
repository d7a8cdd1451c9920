package shop

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"platewright/support/plane"
)

// number is a length, speed, time or other measure, kept in a float64 or, in
// degrees, in a plane.Angle. Whole numbers are taken too.
type number struct {
	least, most float64
	of          string  // unit
	per         float64 // the value in the file is this many times the value kept; 0 means 1
	orZero      bool    // 0 is allowed below the range
	orNaN       bool    // nan is allowed
}

func (n number) unit() string { return n.of }

func (n number) allowed() string {
	s := decimal(n.least) + " to " + decimal(n.most)
	if n.orZero {
		s = "0 or " + s
	}
	if n.orNaN {
		s = "nan or " + s
	}
	return s
}

func (n number) read(v, field any) string {
	x, ok := v.(float64)
	if i, whole := v.(int64); whole {
		x, ok = float64(i), true
	}
	if !ok {
		return misfit(v, "a number")
	}
	if wrong := n.outside(x); wrong != "" {
		return wrong
	}
	switch p := field.(type) {
	case *float64:
		*p = x / n.scale()
	case *plane.Angle:
		*p = plane.Angle(x) * plane.Degree
	default:
		panic(fmt.Sprintf("shop: number kept in %T", field))
	}
	return ""
}

func (n number) outside(x float64) string {
	switch {
	case n.orNaN && math.IsNaN(x), n.orZero && x == 0:
		return ""
	case math.IsNaN(x):
		return "not a number"
	case x < n.least:
		return "too small"
	case x > n.most:
		return "too large"
	}
	return ""
}

func (n number) write(field any) any {
	switch p := field.(type) {
	case *plane.Angle:
		return tidy(p.Degrees())
	case *float64:
		if n.per == 0 {
			return *p
		}
		return tidy(*p * n.per)
	}
	panic(fmt.Sprintf("shop: number kept in %T", field))
}

func (n number) scale() float64 {
	if n.per == 0 {
		return 1
	}
	return n.per
}

// tidy rounds to 14 digits, so that 45° taken into radians and back is 45.
func tidy(x float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 14, 64), 64)
	if err != nil {
		return x
	}
	return out
}

// whole is a number without fraction, kept in an int or int64.
type whole struct {
	least, most int64
	of          string
	orZero      bool
}

func (w whole) unit() string { return w.of }

func (w whole) allowed() string {
	s := fmt.Sprintf("%d to %d", w.least, w.most)
	if w.orZero {
		s = "0 or " + s
	}
	return "whole number, " + s
}

func (w whole) read(v, field any) string {
	x, ok := v.(int64)
	switch {
	case !ok:
		return misfit(v, "a whole number")
	case w.orZero && x == 0:
	case x < w.least:
		return "too small"
	case x > w.most:
		return "too large"
	}
	switch p := field.(type) {
	case *int:
		*p = int(x)
	case *int64:
		*p = x
	default:
		panic(fmt.Sprintf("shop: whole number kept in %T", field))
	}
	return ""
}

func (w whole) write(field any) any {
	x, large := field.(*int64)
	if !large {
		small := int64(*field.(*int))
		x = &small
	}
	if *x == 0 && w.least > 0 && !w.orZero {
		return nil // not given
	}
	return *x
}

// yesNo is true or false, kept in a bool.
type yesNo struct{}

func (yesNo) unit() string    { return "" }
func (yesNo) allowed() string { return "true or false" }

func (yesNo) read(v, field any) string {
	x, ok := v.(bool)
	if !ok {
		return misfit(v, "true or false")
	}
	*field.(*bool) = x
	return ""
}

func (yesNo) write(field any) any { return *field.(*bool) }

// text is text under a rule, kept in a string.
type text struct {
	right string              // what is allowed, in words
	rule  func(string) string // what is wrong with it
}

func (text) unit() string      { return "" }
func (t text) allowed() string { return t.right }

func (t text) read(v, field any) string {
	x, ok := v.(string)
	if !ok {
		return misfit(v, "text")
	}
	if wrong := t.rule(x); wrong != "" {
		return wrong
	}
	*field.(*string) = x
	return ""
}

func (text) write(field any) any { return *field.(*string) }

// choice returns the kind of a text that is one of a few words.
func choice(of ...string) text {
	return text{right: choices(of), rule: func(s string) string {
		if slices.Contains(of, s) {
			return ""
		}
		return "not one of the words"
	}}
}

// misfit says that a value is of the wrong type.
func misfit(v any, want string) string {
	return typeName(v) + " where " + want + " belongs"
}
