// Package day holds calendar dates: the day a price comes into force, a quote
// is issued, a deposit falls due. A [Date] has no clock and no time zone, since
// a price list does not either.
package day
