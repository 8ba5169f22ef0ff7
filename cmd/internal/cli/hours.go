package cli

import (
	"fmt"
	"slices"
	"strings"

	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
)

// parseHours reads 7, 7.5, 7,5 or 7:30 as whole minutes.
func parseHours(s string) (minutes int, err error) {
	wrong := fmt.Errorf("%q is no number of hours; write it as 7, 7.5 or 7:30", s)
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s), "h"))
	i := strings.IndexAny(text, ":.,")
	whole, rest := text, ""
	if i >= 0 {
		whole, rest = text[:i], text[i+1:]
	}
	if !digits(whole, 4) || i >= 0 && !digits(rest, 3) {
		return 0, wrong
	}
	minutes = number(whole) * 60
	switch {
	case i < 0:
	case text[i] == ':':
		if len(rest) != 2 || number(rest) > 59 {
			return 0, wrong
		}
		minutes += number(rest)
	default:
		parts := 1
		for range rest {
			parts *= 10
		}
		if number(rest)*60%parts != 0 {
			return 0, fmt.Errorf("%q is no whole number of minutes; write it as hours and minutes, such as 7:20", s)
		}
		minutes += number(rest) * 60 / parts
	}
	return minutes, nil
}

// digits reports whether s is one to most digits.
func digits(s string, most int) bool {
	return s != "" && len(s) <= most && strings.Trim(s, "0123456789") == ""
}

// number reads digits.
func number(s string) (n int) {
	for _, r := range s {
		n = n*10 + int(r-'0')
	}
	return n
}

// parseClock reads 8:00 or 8 as minutes after midnight, 24:00 as its end.
func parseClock(s string) (int, error) {
	hour, minute, ok := strings.Cut(strings.TrimSpace(s), ":")
	if !ok {
		minute = "00"
	}
	if !digits(hour, 2) || len(minute) != 2 || !digits(minute, 2) || number(minute) > 59 || number(hour)*60+number(minute) > schedule.DayMinutes {
		return 0, fmt.Errorf("%q is no time of day; write it as 8:30 or 16:00", s)
	}
	return number(hour)*60 + number(minute), nil
}

func parseWeekdays(s string) (works [7]bool, err error) {
	at := func(name string) int {
		name = strings.ToLower(strings.TrimSpace(name))
		for i, d := range weekdays {
			if name == d.flag || name == strings.ToLower(d.day.String()) {
				return i
			}
		}
		err = fmt.Errorf("%q is no weekday; write mon, tue, wed, thu, fri, sat, sun, such as mon-sat or tue,thu-sat", name)
		return 0
	}
	for part := range strings.SplitSeq(s, ",") {
		from, to, several := strings.Cut(part, "-")
		i := at(from)
		j := i
		if several {
			j = at(to)
		}
		for ; ; i = (i + 1) % len(weekdays) {
			works[weekdays[i].day] = true
			if i == j {
				break
			}
		}
	}
	return works, err
}

func parseDays(args []string) (days []day.Date, err error) {
	for _, arg := range args {
		from, to, several := strings.Cut(arg, "..")
		first, err := day.Parse(from)
		if err != nil {
			return nil, err
		}
		last := first
		if several {
			if last, err = day.Parse(to); err != nil {
				return nil, err
			}
		}
		if n := first.DaysUntil(last); n < 0 || n > 366 {
			return nil, fmt.Errorf("%s: name an earlier day and then a later one within a year", arg)
		}
		for d := first; !d.After(last); d = d.AddDays(1) {
			days = append(days, d)
		}
	}
	return days, nil
}

func compareDates(a, b day.Date) int { return strings.Compare(a.String(), b.String()) }

func with(list, days []day.Date) []day.Date {
	all := slices.Concat(list, days)
	slices.SortFunc(all, compareDates)
	return slices.Compact(all)
}

func without(list, days []day.Date) []day.Date {
	return slices.DeleteFunc(slices.Clone(list), func(d day.Date) bool { return slices.Contains(days, d) })
}

// workingDays writes the weekdays worked, runs of them in short.
func workingDays(c schedule.Capacity) string {
	var parts []string
	for i := 0; i < len(weekdays); i++ {
		if !c.Works[weekdays[i].day] {
			continue
		}
		j := i
		for j+1 < len(weekdays) && c.Works[weekdays[j+1].day] {
			j++
		}
		first, last := weekdays[i].day.String(), weekdays[j].day.String()
		switch j - i {
		case 0:
			parts = append(parts, first)
		case 1:
			parts = append(parts, first, last)
		default:
			parts = append(parts, first+" to "+last)
		}
		i = j
	}
	if len(parts) == 0 {
		return "no weekday"
	}
	return strings.Join(parts, ", ")
}

// spans writes days, runs of them in short.
func spans(days []day.Date) string {
	var parts []string
	for i := 0; i < len(days); {
		j := i
		for j+1 < len(days) && days[j].AddDays(1) == days[j+1] {
			j++
		}
		if j == i {
			parts = append(parts, days[i].String())
		} else {
			parts = append(parts, days[i].String()+".."+days[j].String())
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

func clockTime(minutes int) string { return fmt.Sprintf("%d:%02d", minutes/60, minutes%60) }

// hoursShort writes minutes as hours in a table: 7, 7:30.
func hoursShort(minutes int) string {
	if minutes%60 == 0 {
		return fmt.Sprint(minutes / 60)
	}
	return clockTime(minutes)
}

// hours writes minutes in a sentence: 45 min, 7 h, 7 h 30 min.
func hours(minutes int) string {
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}
