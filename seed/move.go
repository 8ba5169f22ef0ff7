package seed

import (
	"reflect"
	"strings"

	"marchpane/pricing/actual"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
)

// Move is how far the demo studio is carried through time, so that whoever looks
// around in it finds orders to make this week and a month to close. It is whole
// weeks: Saturdays' weddings stay on Saturdays. The zero Move leaves everything
// where it was written, which is what papers are compared with.
type Move struct{ days int }

// MoveTo returns the move by which [Today] comes to lie on a day, or in the six
// days before it: nothing that has happened lies ahead of it.
func MoveTo(now day.Date) Move {
	const week = 7
	days := Today.DaysUntil(now)
	return Move{days - ((days%week)+week)%week}
}

// Today returns the last day of the year as it is moved.
func (m Move) Today() day.Date { return Today.AddDays(m.days) }

// Book moves every day that a book names.
func (m Move) Book(b book.Book) book.Book { return moved(m, b) }

// Capacity moves the days of the kitchen's hours.
func (m Move) Capacity(c schedule.Capacity) schedule.Capacity { return moved(m, c) }

// Year moves what happened.
func (m Move) Year(list []Happening) []Happening { return moved(m, list) }

func moved[T any](m Move, v T) T {
	if m.days == 0 {
		return v
	}
	return m.value(reflect.ValueOf(&v).Elem()).Interface().(T)
}

var (
	dateType  = reflect.TypeFor[day.Date]()
	monthType = reflect.TypeFor[actual.Month]()
)

// value returns a copy of v with every day in it moved, at whatever depth: a
// field that is added to a record tomorrow is moved too.
func (m Move) value(v reflect.Value) reflect.Value {
	made := reflect.New(v.Type()).Elem()
	made.Set(v)
	switch {
	case v.Type() == dateType:
		if on := v.Interface().(day.Date); !on.IsZero() {
			made.Set(reflect.ValueOf(on.AddDays(m.days)))
		}
		return made
	case v.Type() == monthType:
		if month := v.Interface().(actual.Month); !month.IsZero() {
			made.Set(reflect.ValueOf(m.month(month)))
		}
		return made
	}
	switch v.Kind() {
	case reflect.String:
		made.SetString(m.words(v.String()))
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				made.Field(i).Set(m.value(v.Field(i)))
			}
		}
	case reflect.Slice:
		if !v.IsNil() {
			made.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		}
		for i := range v.Len() {
			made.Index(i).Set(m.value(v.Index(i)))
		}
	case reflect.Array:
		for i := range v.Len() {
			made.Index(i).Set(m.value(v.Index(i)))
		}
	case reflect.Map:
		if v.IsNil() {
			break
		}
		made.Set(reflect.MakeMapWithSize(v.Type(), v.Len()))
		for each := v.MapRange(); each.Next(); {
			made.SetMapIndex(m.value(each.Key()), m.value(each.Value()))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			made.Set(reflect.New(v.Type().Elem()))
			made.Elem().Set(m.value(v.Elem()))
		}
	case reflect.Interface:
		if !v.IsNil() {
			made.Set(m.value(v.Elem()))
		}
	}
	return made
}

// month moves a month of bills and plans by as many months as come nearest to
// the days, so that each keeps a month of its own.
func (m Move) month(of actual.Month) actual.Month {
	const days, months = 1461, 48 // in four years
	n := (2*m.days*months + days) / (2 * days)
	if m.days < 0 {
		n = (2*m.days*months - days) / (2 * days)
	}
	for ; n > 0; n-- {
		of = of.Next()
	}
	for ; n < 0; n++ {
		of = actual.MonthOf(of.First().AddDays(-1))
	}
	return of
}

// outOfSeason names cakes that are ordered for Christmas by what else they are.
var outOfSeason = strings.NewReplacer("Christmas presents", "presents", "a week before Christmas", "a week ahead", "Christmas", "presents")

// words leaves Christmas out where what is held before it in the year as it is
// written comes to lie in another season.
func (m Move) words(text string) string {
	const year, near = 365, 14 // days
	if off := ((m.days % year) + year) % year; off <= near || off >= year-near {
		return text
	}
	return outOfSeason.Replace(text)
}
