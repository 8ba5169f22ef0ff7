package seed

import (
	"github.com/shopspring/decimal"

	"marchpane/pricing/actual"
	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/record"
)

// plans is what each month is to bring, in round figures: cakes, and their
// margin after the overhead they absorb.
var plans = []struct {
	month  string
	cakes  int
	margin string
}{
	{"2025-12", 28, "3800"}, {"2026-01", 13, "2400"}, {"2026-02", 16, "3900"}, {"2026-03", 17, "4300"},
	{"2026-04", 17, "5000"}, {"2026-05", 22, "7000"}, {"2026-06", 29, "9000"}, {"2026-07", 30, "9800"},
	{"2026-08", 33, "10000"}, {"2026-09", 30, "9800"}, {"2026-10", 19, "5200"}, {"2026-11", 20, "4600"},
	{"2026-12", 36, "5600"},
}

// keepBooks tells of the bills and the plan of every month, and of wages that
// were really paid.
func (y *year) keepBooks(list []*deal) error {
	c := newDice(-2)
	cur := y.x.Book.Studio.Currency
	kWh := map[string]exact.Number{}
	for _, d := range list {
		if d.delivered() {
			o, err := y.orderOf(d.made)
			if err != nil {
				return err
			}
			kWh[d.event.String()[:7]] = kWh[d.event.String()[:7]].Add(o.kWh)
		}
	}
	for _, p := range plans {
		m, err := actual.ParseMonth(p.month)
		if err != nil {
			return err
		}
		budget, err := y.x.Book.Overhead.On(m.First())
		if err != nil {
			return err
		}
		plan := actual.Plan{Month: m, Cakes: record.Some(p.cakes), Margin: record.Some(cur.Round(exact.Must(p.margin))), Overhead: record.Some(cur.Round(budget.Amount.Value.Number())), Hours: figure(290)}
		plan.On = m.First().AddDays(-4)
		y.note(plan.On, 18*60, Planned{plan})
		if m.First().After(Today) {
			continue
		}
		bill := func(on day.Date, cents int, note string) {
			b := actual.Bill{Month: m, Of: actual.OverheadCost, Amount: record.Some(cur.Round(exact.Frac(int64(cents), 100)))}
			b.On, b.Note = on, note
			y.note(on, 18*60+20, Billed{b})
		}
		rent := 158000
		if !m.First().Before(day.Must("2026-07-01")) {
			rent = 166000
		}
		bill(working(m.First()), rent, "rent and rates")
		bill(m.First().AddDays(4), 41200, "insurance")
		bill(m.First().AddDays(11), 24000+c.between(-1500, 2600), "water, waste and telephone")
		bill(m.First().AddDays(17), 30500+c.between(-900, 3400), "cleaning and laundry")
		bill(m.First().AddDays(22), 38000+c.between(-4000, 9000), "book-keeper, licences and advertising")
		switch p.month {
		case "2026-04":
			bill(day.Must("2026-04-16"), 46800, "mixer: new gearbox")
		case "2026-08":
			bill(day.Must("2026-08-12"), 31500, "cold room: engineer on a Sunday")
		case "2026-10":
			bill(day.Must("2026-10-02"), 59000, "stand at the wedding fair")
		}
		used := kWh[p.month].Mul(exact.Frac(int64(c.between(101, 116)), 100)).Add(exact.Int(int64(c.between(90, 140))))
		energy, err := y.x.Book.EnergyOn(m.First())
		if err != nil {
			return err
		}
		units := used.Round(0)
		e := actual.Bill{Month: m, Of: actual.EnergyCost, KWh: figure(int(units.IntPart()))}
		e.Amount = record.Some(cur.Round(exact.FromDecimal(units).Mul(energy.Price.Number()).Mul(exact.Frac(int64(c.between(970, 1060)), 1000))))
		e.On, e.Note = m.Next().First().AddDays(5), "electricity"
		y.note(e.On, 18*60+25, Billed{e})
	}
	for _, w := range []struct {
		from string
		Paying
	}{
		{"2026-02-02", Paying{"pastry", price("16.55"), day.Must("2026-10-31"), "with the learner, on average"}},
		{"2026-05-01", Paying{"decorator", price("20.75"), day.Must("2026-08-31"), "rate of the season"}},
		{"2026-06-15", Paying{"assistant", price("13.90"), day.Must("2026-08-30"), "holiday cover"}},
	} {
		y.note(day.Must(w.from), 18*60+40, w.Paying)
	}
	return nil
}

func price(s string) money.Price { return money.PriceOf(decimal.RequireFromString(s)) }
