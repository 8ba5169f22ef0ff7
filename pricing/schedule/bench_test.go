package schedule_test

import (
	"fmt"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/quote"
	"marchpane/pricing/schedule"
)

// BenchmarkMake plans a busy month of the demo studio.
func BenchmarkMake(b *testing.B) {
	x := studio(b)
	c := schedule.Usual()
	c.Roles = map[book.ID]schedule.Hours{"pastry": schedule.EveryDay(960), "decorator": schedule.EveryDay(960), "assistant": schedule.EveryDay(480)}
	c.Appliances = map[book.ID]schedule.Hours{"oven": schedule.EveryDay(600)}
	for _, n := range []int{10, 100, 400} {
		var orders []schedule.Order
		for i := range n {
			cake := x.Book.Cakes[i%len(x.Book.Cakes)].ID
			orders = append(orders, schedule.Order{
				Ref: fmt.Sprintf("2026-%04d", i), Event: day.Must("2026-06-01").AddDays(i * 30 / n),
				Cakes: []quote.CakeWanted{{Cake: cake, Quantity: 1}}, Extras: []quote.ExtraWanted{{Extra: "delivery", Quantity: 1}},
			})
		}
		b.Run(fmt.Sprint(n, " orders"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := schedule.Make(x, c, orders, day.Date{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
