package quote

import "marchpane/pricing/money"

// Taken is what came by one means, less what went back by it.
type Taken struct {
	Means Means
	Sum   money.Amount
}

// Taking is what payments come to. Those of one studio are in one currency.
type Taking struct {
	By  []Taken // in the order of [AllMeans], without those that nothing came by
	Sum money.Amount
}

// Takings adds payments up. One that was taken back and the entry that takes it
// back come to nothing.
func Takings(list []Payment) Taking {
	var t Taking
	for _, m := range AllMeans() {
		by := Taken{Means: m}
		some := false
		for _, p := range list {
			if p.Means == m {
				by.Sum, some = by.Sum.Add(p.Amount), true
			}
		}
		if some {
			t.By, t.Sum = append(t.By, by), t.Sum.Add(by.Sum)
		}
	}
	return t
}
